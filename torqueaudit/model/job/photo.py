"""A photo of work as an entry names it, and the two kinds of entry that tell of one."""

from typing import NamedTuple

PHOTOGRAPHED, ERASED = "photographed.1", "photo_erased.1"


class Photo(NamedTuple):
    """A photo by the SHA-256 of its content in hexadecimal, with its bytes; `small` is that of the small one of it."""

    digest: str
    bytes: int
    small: str

    @property
    def name(self) -> str:
        """What it is called in the folder of photos."""
        return name_of(self.digest)

    @property
    def small_name(self) -> str:
        """What the small one is called there."""
        return small_name_of(self.digest)


def name_of(digest: str) -> str:
    """What the photo of a digest is called in the folder of photos."""
    return f"{digest}.jpg"


def small_name_of(digest: str) -> str:
    """What the small one of a photo is called there."""
    return f"{digest}.small.jpg"
