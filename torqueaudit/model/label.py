"""What a label says, apart from how and on what it is printed."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from torqueaudit.workshop.views import JobView


class LabelContent(NamedTuple):
    """The words and the symbol of one label."""

    address: str  # what the QR symbol says
    figure: str  # the large figures: the job's number
    token: str  # in readable groups, printed under the symbol
    lines: tuple[tuple[str, str], ...]  # (name, words) in the order of their importance
    demo: bool = False


@dataclass(frozen=True, slots=True)
class LabelKind:
    """One kind of label: its name, the stocks it fits (empty: all), and what it says of a job."""

    name: str
    stocks: frozenset[str]
    content: Callable[["JobView", str], LabelContent]  # the job and the workshop's base address
