"""The job `final-drive` tapped through from its first step, on whatever shows the pages."""

from collections.abc import Callable
from typing import Any, Protocol

READ = {
    "rivet flare": {"read.rivet.1": "6.2", "read.rivet.2": "6.25"},
    "chain slack": {"read.slack.1": "37", "read.slack.2": "39"},
    "rear wheel alignment": {"read.left.1": "412.5", "read.right.1": "412.0"},
}
PARTS = {"with.material": "steel", "with.make and type": "Millrace", "with.seal": "X-ring"}
MOST_TAPS, MOST_BYTES = 45, 400_000


class Shows(Protocol):
    """A phone, with a browser or without one."""

    @property
    def html(self) -> str:
        """The page that it shows."""

    def tap(self, says: str, /, **typed: str) -> object:
        """Type into the fields of a form, and tap the button that begins so."""


def next_of(phone: Shows) -> str:
    """The heading of the screen that comes next."""
    headings: list[str] = [part.partition("</h2>")[0] for part in phone.html.split("<h2>")[1:]]
    return next(each for each in headings if not each.startswith(("Recorded", "Not recorded")))


def work(phone: Shows, yard: Any, seen: Callable[[], object] = lambda: None) -> None:
    """Do whatever the screen asks, until somebody else has to; `seen` is told of each screen."""
    for _ in range(60):
        yard.later(minutes=4)
        seen()
        heading = next_of(phone)
        if heading == "Step":
            phone.tap("Done")
        elif heading == "Look":
            phone.tap("In order")
        elif heading.startswith("Part"):
            asked = phone.html.partition("<summary>Another part")[0]
            phone.tap("Fitted as stated", **{name: told for name, told in PARTS.items() if f'"{name}"' in asked})
        elif heading.startswith("Tighten"):
            _tighten(phone)
        elif heading == "Measure":
            name = phone.html.partition('<h2>Measure</h2><p class="big due">')[2].partition("</p>")[0]
            phone.tap("Measured", **READ[name])
        else:
            return


def _tighten(phone: Shows) -> None:
    """Take the wrench where none is chosen, and say what happened."""
    if "Choose a wrench" in phone.html:
        phone.tap("W-1")
    elif "by hand</p>" in phone.html:
        phone.tap("All 5: turned by hand")
    else:
        all_of = "All 5: turned, then clicked" if '<svg class="bolts"' in phone.html else "Turned, then clicked"
        phone.tap(all_of)
