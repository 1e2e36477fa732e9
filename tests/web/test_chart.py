"""A chart as a phone shows it: right places, every word escaped, small, and with its text for who cannot see it."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.act import Say
from torqueaudit.model.shown.section import Chart
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.reports.chart import BOTTOM, LEFT, RIGHT, TOP, draw
from torqueaudit.web.app import create_app
from torqueaudit.workshop.jobs.steps_and_parts import do_step

if TYPE_CHECKING:
    from tests.web.conftest import Yard

Page = Callable[[str], str]
MOST = 2_000  # bytes
WEAR = Chart(
    title="Chain wear",
    says="Wear grows by 0.05 % in 1000 km; the limit is reached at 20 000 km (18 000 … 23 000 km).",
    x_name="distance in km",
    y_name="wear in %",
    points=tuple((1000.0 * each, 0.05 * each) for each in range(21)),
    line=((0, 0), (20_000, 1)),
    band=((0, 0, 0.1), (20_000, 0.9, 1)),
    limit=0.8,
)
numbers = st.floats(-1e12, 1e12)
pairs = st.tuples(numbers, numbers)


def paths(chart: Chart) -> list[str]:
    return [each.attrib["d"] for each in ET.fromstring(draw(chart)).iter("path")]  # noqa: S314  # our own


def test_a_chart_is_drawn_where_its_numbers_say() -> None:
    """From 0 to 20 000 km over the field's width, from 0 to 1 % over its height; by hand."""
    band, line, limit, axes, points = paths(WEAR)
    height = BOTTOM - TOP

    assert f"M{LEFT} {BOTTOM}L{RIGHT} {TOP}" == line
    assert f"M{LEFT} {round(BOTTOM - 0.8 * height)}H{RIGHT}" == limit
    assert f"M{LEFT} {BOTTOM}L{RIGHT} {round(BOTTOM - 0.9 * height)}L{RIGHT} {TOP}" in band
    assert 21 == points.count("h0")
    assert points.startswith(f"M{LEFT} {BOTTOM}h0")
    assert points.endswith(f"M{RIGHT} {TOP}h0")
    assert axes.startswith(f"M{LEFT} ")


def test_the_words_are_there_and_the_text_is_its_title() -> None:
    picture = ET.fromstring(draw(WEAR))  # noqa: S314  # our own

    assert "img" == picture.attrib["role"]
    assert f"{WEAR.title}: {WEAR.says}" == picture[0].text
    assert "title" == picture[0].tag
    assert ["limit 0.8", "0", "1", "0", "20000", "distance in km", "wear in %"] == [
        each.text for each in picture.iter("text")
    ]


def test_a_chart_stays_small() -> None:
    many = WEAR._replace(points=tuple((1000.0 * each, 0.01 * each) for each in range(80)))

    assert [len(draw(chart).encode()) < MOST for chart in (WEAR, many)] == [True, True]
    assert 7 * 200 > len(draw(WEAR._replace(points=((0, 0),), line=(), band=(), limit=None)).encode())


@given(text=st.text("<>&\"'/x é"))
def test_every_word_is_escaped(text: str) -> None:
    chart = WEAR._replace(title=f"a{text}", says=f"b{text}", x_name=f"c{text}", y_name=f"d{text}")
    picture = ET.fromstring(draw(chart))  # noqa: S314  # our own

    assert f"a{text}: b{text}" == picture[0].text
    assert [f"c{text}", f"d{text}"] == [each.text for each in picture.iter("text")][-2:]


@given(
    points=st.lists(pairs, min_size=1, max_size=8),
    line=st.lists(pairs, max_size=4),
    band=st.lists(st.tuples(numbers, numbers, numbers), max_size=3),
    limit=st.none() | numbers,
)
def test_whatever_the_numbers_all_is_drawn_inside_the_field(
    points: list[tuple[float, float]],
    line: list[tuple[float, float]],
    band: list[tuple[float, float, float]],
    limit: float | None,
) -> None:
    """One point, all of them equal, a span that is next to none."""
    chart = WEAR._replace(points=tuple(points), line=tuple(line), band=tuple(band), limit=limit)
    places = re.findall(r"(-?\d+) (-?\d+)", " ".join(paths(chart)))

    assert all(LEFT <= int(x) <= RIGHT and TOP - 6 <= int(y) <= BOTTOM for x, y in places)


PANEL = """
from torqueaudit.hooks import hookimpl
from torqueaudit.model.shown.section import Chart, ExtraSection

@hookimpl
def record_panels(job, around):
    chart = Chart("Wear <b>", "It wears & wears.", "km", "%", ((0, 0), (1, 1)))
    return [ExtraSection("Wear of the chain", ("Look again.",), chart=chart)]
"""
LOOKS = """
format = 1
name = "jerks"
title = "Jerks in the drive"
edition = "1"
[[work]]
step = "chain-look"
name = "chain <i>"
says = "Look for kinks."
look = true
"""


@pytest.fixture
def page(book: Path, clock: list[datetime], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Page]:
    """What a record's page says where a plugin adds a panel with a picture."""
    monkeypatch.syspath_prepend(tmp_path)
    module = f"charted_{tmp_path.name}".replace("-", "_")
    (tmp_path / f"{module}.py").write_text(PANEL, encoding="utf-8")
    plugins = Plugins([*entry_points(group=GROUP), EntryPoint("charted", module, GROUP)])
    with create_app(book, lambda: clock[0], Random(3), plugins) as app:
        yield lambda token: app.test_client().get(f"/r/{token}/record", base_url="http://bench.example").text


def test_a_panels_picture_is_drawn_on_the_record(yard: "Yard", page: Page, procedures: Path) -> None:
    """As markup of the program's own, in which the plugin's words are text."""
    text = page(yard.token(yard.open(procedures / "front-wheel.toml")))
    panel = text.partition("<h2>Wear of the chain</h2>")[2].partition("</section>")[0]

    assert 1 == panel.count("<svg ")
    assert "<title>Wear &lt;b&gt;: It wears &amp; wears.</title>" in panel
    assert [] == re.findall(r"<script|\son\w+=|\sstyle=", panel)


def test_a_fault_carried_over_stands_before_the_stops_of_the_job_that_follows(
    yard: "Yard", page: Page, procedures: Path, tmp_path: Path
) -> None:
    """And a record without fasteners has no heading for them."""
    (tmp_path / "jerks.toml").write_text(LOOKS, encoding="utf-8")
    looked = yard.open(tmp_path / "jerks.toml")
    do_step(yard.workshop, looked, "chain-look", "no", "stiff", Say(yard.mechanic))
    before = page(yard.token(looked))
    after = page(yard.token(yard.open(procedures / "front-wheel.toml", follows=looked)))
    carried = "<h2>Carried over from job 1</h2>"

    assert [False, False, True] == [carried in before, "<h2>Fasteners</h2>" in before, "fault found (stiff)" in before]
    assert 0 < after.index(carried) < after.index("chain &lt;i&gt;: fault found (stiff)") < after.index("<h2>Stops and")
