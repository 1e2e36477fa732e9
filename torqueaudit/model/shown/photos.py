"""The photos of a job, each once, with everything that it shows and what of that was turned since."""

from typing import NamedTuple

from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.shown.job import JobView, PhotoView


class ShownPhoto(NamedTuple):
    """A photo, what it shows, and which of these fasteners were turned or loosened since it was taken."""

    view: PhotoView
    shows: tuple[Subject, ...]
    turned: tuple[Subject, ...]

    @property
    def names(self) -> str:
        """What it shows, in words: "rear axle nut; sprocket bolt 1, 2"."""
        return names_together(self.shows)

    @property
    def since(self) -> str:
        """What became of it in words, "" where it stands: it was erased, or some of what it shows was turned."""
        if self.view.erased or not self.turned:
            return self.view.erased
        return "turned since" if self.turned == self.shows else f"turned since: {names_together(self.turned)}"


def photos_of(view: JobView) -> tuple[ShownPhoto, ...]:
    """Every photo of a job, in the order in which they were recorded."""
    shows: dict[int, list[tuple[Subject, PhotoView]]] = {}
    of_fasteners = [(each.subject, each.photos) for each in view.fasteners]
    of_items = [(Subject(each.name, key=each.key), each.photos) for each in view.items]
    for subject, taken in (*of_fasteners, *of_items):
        for photo in taken:
            shows.setdefault(photo.entry, []).append((subject, photo))
    return tuple(
        ShownPhoto(
            view=told[0][1],
            shows=tuple(subject for subject, _ in told),
            turned=tuple(subject for subject, photo in told if not photo.stands),
        )
        for _, told in sorted(shows.items())
    )
