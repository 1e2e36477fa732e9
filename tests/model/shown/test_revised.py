"""What a procedure states, in words, and in what a revision differs from the one before."""

from collections.abc import Iterator, Mapping
from copy import deepcopy
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.shown.revised import changes_between
from torqueaudit.model.shown.stated import pieces_of
from torqueaudit.plugins import Plugins

ROOT = Path(__file__).parents[3]
FRONT_WHEEL = (ROOT / "examples" / "procedures" / "front-wheel.toml").read_text(encoding="utf-8")
EVERYTHING = (ROOT / "tests" / "ledgers" / "everything.toml").read_text(encoding="utf-8")
# Worked out of what is written beside it, so that none of it ever changes alone.
WORKED_OUT = {"lower_nm", "upper_nm", "nominal_nm", "half_digit_nm", "own_tolerance", "stage_torques", "distance_m"}
READ_AS = {"lower_nm", "upper_nm", "nominal_nm", "final_lower_nm", "final_upper_nm", "lower", "upper"}
WORKED_OUT |= {"final_lower_nm", "final_upper_nm", "lower", "upper", "nm", "small", "width", "height"}


def read(text: str, plugins: Plugins) -> Procedure:
    """A procedure from its text, with the units and kinds of the installed plugins."""
    return read_procedure(text, plugins.units, Decimal(10), (), plugins.kinds, plugins.part_kinds, picture_in)


def picture_in(name: str) -> Picture:
    """Any picture that is named."""
    return Picture(file=name, says="", digest="a" * 64, small="b" * 64, width=4, height=3)


def told(old: str, new: str, plugins: Plugins) -> list[str]:
    """The differences between two texts, in words."""
    return list(map(str, changes_between(read(old, plugins), read(new, plugins))))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('torque = "22 N·m"', 'torque = "24 N·m"', "fastener: front disc bolt: torque “24 N·m”, before “22 N·m”"),
        ('torque = "22 N·m"', 'torque = "22.0 Nm"', "fastener: front disc bolt: torque “22.0 Nm”, before “22 N·m”"),
        ('page = "8-6"', 'page = "8-7"', "fastener: front disc bolt: page “8-7”, before “8-6”"),
        (
            'tolerance = "workshop"',
            'tolerance = "10 %"',
            "fastener: axle pinch bolt: tolerance “10 %”, before “10 % (the workshop's own: none is printed)”",
        ),
        ('angle = "45°"', 'angle = "90°"', "fastener: front caliper bolt: angle “90°”, before “45°”"),
        ('condition = "dry"\n', "", "fastener: front axle: condition of the thread “dry” is said no more"),
        (
            "years = [2019, 2031]",
            "years = [2019, 2032]",
            "source: Kestrel 500 workshop manual: model years “2019 to 2032”, before “2019 to 2031”",
        ),
        ("days = 14", "days = 7", "the re-check: days “7”, before “14”"),
        ('name = "front axle"', 'name = "axle"', "fastener: axle: is called “axle”, before “front axle”"),
    ],
)  # fmt: skip
def test_a_value_that_differs_is_told_with_both(old: str, new: str, says: str, installed_plugins: Plugins) -> None:
    """And with the piece of work that it belongs to, as the mechanic knows it."""
    assert says in told(FRONT_WHEEL, FRONT_WHEEL.replace(old, new, 1), installed_plugins)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("cross = true", "pattern = [1, 4, 2, 5, 3, 6]"),
        ('direction = "right"\n', ""),
        ("# Threadlocked, so", "# So"),
        ('torque = "22 N·m"', 'torque = "22 Nm"'),
        ('torque = "62 … 68 N·m"', 'torque = "62-68 N.m"'),
        ('max = "0.15 mm"', 'max = "0,15 mm"'),
        ('conditions = { place = "5 mm inside the edge" }', 'conditions.place = "5 mm inside the edge"'),
    ],
)
def test_what_is_only_written_otherwise_is_no_difference(old: str, new: str, installed_plugins: Plugins) -> None:
    """A remark, a default that is spelled out, and another spelling of the same order mean what they meant."""
    changed = FRONT_WHEEL.replace(old, new, 1)

    assert FRONT_WHEEL != changed
    assert [] == told(FRONT_WHEEL, changed, installed_plugins)


def test_what_is_new_gone_or_elsewhere_in_the_order_is_told(installed_plugins: Plugins) -> None:
    """What is new says at once what is printed of it."""
    start, end = FRONT_WHEEL.index("[[work]]\nmeasure"), FRONT_WHEEL.index('[[work]]\nstep = "lever-firm"')
    moved = FRONT_WHEEL.replace(FRONT_WHEEL[start:end], "").replace("[recheck]", FRONT_WHEEL[start:end] + "[recheck]")
    without = FRONT_WHEEL.replace(FRONT_WHEEL[start:end], "").replace('measurements = ["disc-run-out"]\n', "")

    assert ["measurement: front disc run-out: comes behind step: front brake tried now"] == told(
        FRONT_WHEEL, moved, installed_plugins
    )
    assert "measurement: front disc run-out: is done no more" in told(FRONT_WHEEL, without, installed_plugins)
    assert "measurement: front disc run-out: is new (limits max 0.15 mm; taken so place: 5 mm inside the edge)" in told(
        without, FRONT_WHEEL, installed_plugins
    )


@pytest.mark.parametrize("text", [FRONT_WHEEL, EVERYTHING], ids=["front-wheel", "everything"])
def test_no_value_changes_unseen(text: str, installed_plugins: Plugins) -> None:
    """Each value that is stored of a procedure is changed once, and each time some difference is told."""
    procedure = read(text, installed_plugins)
    form = normal_form(procedure)
    tried = [(path, from_normal_form(changed)) for path, changed in each_changed(form)]

    assert len(tried) > 60
    assert [] == [path for path, changed in tried if not changes_between(procedure, changed)]


def test_what_is_printed_names_its_page(installed_plugins: Plugins) -> None:
    """Whoever reads value by value looks there for it; what the workshop wants stands apart."""
    piece = next(each for each in pieces_of(read(FRONT_WHEEL, installed_plugins)) if each.key == "front-axle")
    printed = [(each.label, each.says) for each in piece.stated if each.printed]

    assert ("Kestrel 500 workshop manual, page 8-10", "fastener: front axle") == (piece.page, piece.called)
    assert [("torque", "62 … 68 N·m"), ("condition of the thread", "dry")] == printed


def each_changed(form: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], Mapping[str, Any]]]:
    """The normal form with one value changed, for each value of it, and where that stands."""
    for path in _leaves(form, ()):
        changed = deepcopy(dict(form))
        holder: Any = changed
        for key in path[:-1]:
            holder = holder[key]
        read_as = READ_AS & holder.keys() if path[-1] in ("written", "final_written") else ()
        for key in (path[-1], *read_as):  # what was read of it changes with it
            holder[key] = _other(holder[key])
        yield path, changed


def _leaves(value: Any, path: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
    if path and (path[-1] in WORKED_OUT or (path[-1] in ("work", "unit") and isinstance(value, str))):
        return
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves(inner, (*path, key))
    elif isinstance(value, list):
        for nth, inner in enumerate(value):
            yield from _leaves(inner, (*path, nth))
    else:
        yield path


def _other(value: Any) -> Any:
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    return f"1{value}"
