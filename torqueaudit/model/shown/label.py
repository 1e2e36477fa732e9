"""What a label says, apart from how and on what it is printed."""

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.model.shown.wrench import WrenchView

JOB, WRENCH = "r", "w"  # the part of a record's address before the job's token or the wrench's number
PERSON = "sign"  # and of the page on which somebody signs in, before their number
ADMIT = "admit"  # and of the page that lets a device in, before the code
FOR_OWNERS = frozenset({JOB})  # what is opened by the address of the labels, from home too


# Ranks of what a tag is read for at arm's length: its letters are never smaller than that asks for. HEAD_LINE says by
# itself what it is, so that it may stand across the top without its name.
# SPARE_LINE, of a card, is printed where it has room whole, and is no loss where it has not.
HEAD_LINE, MAIN_LINE, SPARE_LINE = "head", "main", "spare"


class LabelLine(NamedTuple):
    """One thing a label says: a small name, and the words; no words leave a line to write on."""

    name: str
    words: str
    instead: str = ""  # printed, and said, where the font lacks a character of the words
    also: str = ""  # further words in a row of their own: "12800 km" below "2031-04-16"
    rank: str = ""  # HEAD_LINE, of the first line alone, MAIN_LINE or SPARE_LINE


class LabelContent(NamedTuple):
    """The words and the symbol of one label.

    `figure` is printed in large figures or as the headline; `title` is only what messages and a screen
    reader call the label.
    `shape` says how it is laid out. "tag": symbol, large figures, short lines, of which the last ones go where there
    is no room. "card": a headline and sentences that wrap; the last one is cut where there is no room. "list": a
    headline and every line whole, or no label.
    """

    title: str  # "job 12": what messages and a screen reader call it
    address: str  # what the QR symbol says
    figure: str  # the large figures, or the headline
    token: str  # in readable groups, printed under the symbol; "" for none
    lines: tuple[LabelLine, ...]  # in the order of their importance, or of the list
    demo: bool = False
    shape: str = "tag"
    under: tuple[str, ...] = ()  # of a card: what it opens, in rows below the symbol; those after the first may go
    remarks: tuple[str, ...] = ()  # what whoever prints it is told, in sentences: decision 0042


class LabelKind(NamedTuple):
    """One kind of label: its name, a sentence, the bundled stocks it fits (empty: all), and what it says.

    One of the three functions is given: it says what the label of a job, of a wrench, or of a person by their number,
    says, and raises ValueError with a sentence where there is nothing to print. `called` is how the label is named in
    a sentence, such as "the owner's tag"; `at_hand_over` says that it is printed when the vehicle leaves, and
    `telephone` that the workshop's own stands on it.
    """

    name: str
    says: str
    stocks: frozenset[str] = frozenset()
    of_job: Callable[["JobView", "Settings"], LabelContent] | None = None
    of_wrench: Callable[["WrenchView", "Settings"], LabelContent] | None = None
    of_person: Callable[[str, "Settings"], LabelContent] | None = None
    called: str = ""
    at_hand_over: bool = False
    telephone: bool = False

    @property
    def named(self) -> str:
        """How the label is named in a sentence, "the owner's tag"."""
        return self.called or f"the {self.name} label"


class LabelStock(NamedTuple):
    """One paper that labels are printed on: its name, what it is in words, and how many labels one page holds.

    0 where that is not known.
    """

    name: str
    says: str
    per_page: int = 1


class LabelFile(NamedTuple):
    """A file of labels, each of which was read back, and what is printed otherwise than asked for, in sentences."""

    data: bytes
    says: tuple[str, ...] = ()


def base_of(settings: "Settings", way: str) -> str:
    """What an address of this way begins with, without its last slash.

    What owners open has the address of the labels, all else that of the workshop's own pages, where one was chosen.
    """
    own = settings.base_address if way in FOR_OWNERS else settings.workshop_address or settings.base_address
    return own.rstrip("/")


def bases_of(settings: "Settings") -> tuple[str, ...]:
    """What the addresses of the book's pages begin with: the labels', and the workshop's own where it is another."""
    return tuple(dict.fromkeys(base_of(settings, way) for way in (JOB, WRENCH)))


def record_address(settings: "Settings", way: str, key: str) -> str:
    """The address of a record: `way` is JOB with a token, or WRENCH or PERSON with a number.

    It is in capitals where these are chosen; a path of small letters stays as it is written (`allows_capitals`).
    """
    base = base_of(settings, way)
    address = f"{base}/{way}/{key.lower()}"
    return address.upper() if settings.upper_case_labels and allows_capitals(base) else address


def stop_address(settings: "Settings", token: str) -> str:
    """The address of the page that ends all reminders of a vehicle; "" where labels open published files."""
    if settings.labels_published:
        return ""
    return f"{base_of(settings, JOB)}/stop/{token}"


def allows_capitals(base_address: str) -> bool:
    """Whether an address says the same in capitals: scheme and host do in any case, a path as its server likes."""
    path = urlsplit(base_address).path
    return path == path.upper()


def is_own(settings: "Settings", address: str) -> bool:
    """Whether an address begins as those of the book do, in small letters or capitals."""
    return address.strip().lower().startswith(tuple(f"{base.lower()}/" for base in bases_of(settings)))


def record_key(address: str) -> tuple[str, str]:
    """The way and the key that the address of a label ends in, in small letters; two empty texts where it is none."""
    try:
        parts = urlsplit(address.strip().lower()).path.rstrip("/").split("/")
    except ValueError:  # a code of anything else may begin like an address and be none
        return "", ""
    return (parts[-2], parts[-1]) if parts[-2:-1] in ([JOB], [WRENCH], [PERSON]) and parts[-1] else ("", "")
