"""`record_panels`: plain text and pictures as numbers; one that breaks is a panel that says so."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.shown.job import JobView
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop

Written = Callable[..., Plugins]
Shown = Callable[[Plugins], JobView]


PANELS = (
    "from torqueaudit.model.shown.section import ExtraSection\n@hookimpl\ndef record_panels(job, around):\n    return "
)


@pytest.fixture
def panels(book_file: Path, ready: str) -> Shown:
    """A job with nothing wrong, as it is shown with some plugins."""

    def of(plugins: Plugins) -> JobView:
        with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
            play(workshop, ready)
            return show_job(workshop, "1")

    return of


def test_record_panels_stand_on_the_record(panels: Shown, written: Written) -> None:
    """As data and at the bench; how the phone sets them is tried with the pages."""
    code = "[ExtraSection('Sag', (around.vehicle.tag,), ('where', 'mm'), (('front', '38'), ('rear wheel', '9')))]\n"
    view = panels(written(sag=PANELS + code))
    lines = list(lines_of(view))

    assert [("Sag", ("bike-1",), ("where", "mm"), (("front", "38"), ("rear wheel", "9")), None)] == list(view.panels)
    at = lines.index("Sag:")
    assert ["", "Sag:", "  bike-1", "  where       mm", "  front       38", "  rear wheel  9"] == lines[at - 1 : at + 5]


@pytest.mark.parametrize("answer", ["None", "[]"])
def test_a_plugin_without_a_panel_adds_nothing(panels: Shown, written: Written, answer: str) -> None:
    """None is no fault."""
    assert () == panels(written(sag=f"{PANELS}{answer}\n")).panels


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("[3 / 0]", "broke while it added to the record (ZeroDivisionError: division by zero)"),
        ("'<b>Sag</b>'", "answered with something that is not a list of record sections"),
        ("[ExtraSection('Sag', ('a',), ('mm',), ((38,),))]", "its section “Sag” holds something that is not text"),
        ("[ExtraSection('Sag', None)]", "its section “Sag” holds something that is not text"),
        ("[ExtraSection('Sag', rows=(('38',),))]", "its section “Sag” has rows that do not fit its columns"),
    ],
)
def test_a_plugin_that_breaks_a_panel_is_a_panel_that_says_so(
    panels: Shown, written: Written, answer: str, says: str
) -> None:
    """The record is shown all the same, and nothing is stopped by it."""
    view = panels(written(sag=f"{PANELS}{answer}\n"))
    sentence = f"Plugin sag: {says}. What it would have told is not known; have it mended."

    assert [("Not shown", (sentence,), (), (), None)] == list(view.panels)
    assert () == view.stops


@pytest.mark.parametrize(
    "chart",
    [
        "'<svg/>'",
        "Chart('Wear', '', 'km', '%', ((0, 1),))",
        "Chart('Wear', 'It wears.', 'km', '%', ())",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, float('nan')),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1e300),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1, 2),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1),), limit='1')",
        "Chart('Wear', 'It wears.', 'km', 3, ((0, 1),))",
    ],
)
def test_a_picture_that_cannot_be_drawn_is_told(panels: Shown, written: Written, chart: str) -> None:
    code = f"{PANELS}[ExtraSection('Wear', chart={chart})]\n".replace("import Extra", "import Chart, Extra")
    view = panels(written(sag=code))
    says = "Plugin sag: its section “Wear” holds a picture that is no chart of finite numbers with its text."

    assert [f"{says} What it would have told is not known; have it mended."] == [
        s for p in view.panels for s in p.in_words
    ]


def test_a_picture_is_its_text_at_the_bench(panels: Shown, written: Written) -> None:
    chart = "Chart('Wear', 'It wears by 0.1 %.', 'km', '%', ((0, 1),))"
    code = f"{PANELS}[ExtraSection('Sag', ('Look.',), chart={chart})]\n".replace("import Extra", "import Chart, Extra")
    lines = list(lines_of(panels(written(sag=code))))

    assert ["Sag:", "  Look.", "  It wears by 0.1 %."] == lines[lines.index("Sag:") : lines.index("Sag:") + 3]
