"""`measurement_kinds`: known to procedures, needed from then on, and refused where two clash."""

from collections.abc import Callable
from pathlib import Path

import pytest

import torqueaudit.testing
from torqueaudit.model.act import Refused, Say
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure

Written = Callable[..., Plugins]
Stops = Callable[[Plugins], list[str]]


KIND = """
from decimal import Decimal
from torqueaudit.model.procedure.kinds import Derived, InputSpec, MeasurementKind

def derive(readings, measurement, tables):
    loaded, free = (readings.inputs[name][0].value for name in ("loaded", "free"))
    return Derived(free - loaded)

@hookimpl
def measurement_kinds():
    return [MeasurementKind({name!r}, ("mm",), (InputSpec("loaded", "mm"), InputSpec("free", "mm")), derive)]
"""


SAG = '[[work]]\nmeasure = "sag"\nname = "fork sag"\nkind = "fork sag"\nunit = "mm"\n'


def with_a_measurement(folder: Path, work: str) -> Path:
    """The procedure "axle" with one more thing to do."""
    text = Path(torqueaudit.testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    path = folder / "sagging.toml"
    path.write_text(text.replace("[recheck]", f"{work}\n[recheck]"), encoding="utf-8")
    return path


def test_measurement_kinds_are_known_to_procedures_and_make_their_plugin_needed(
    book_file: Path, tmp_path: Path, written: Written
) -> None:
    """What is told goes to the plugin, and its answer into the entry."""
    plugins = written(sag=KIND.format(name="fork sag"))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        digest = enter_procedure(workshop, with_a_measurement(tmp_path, SAG), Say("P-2"))
        play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 by P-2")
        play(workshop, "2031-04-02 10:01 job 1 sag measured loaded 40 mm, free 75 mm by P-2")
        taken = workshop.record("1").measured("sag")

        assert ("sag",) == workshop.procedure(digest).procedure.needs
        assert taken is not None
        assert ("35", "mm", "fork sag") == (str(taken.value), taken.unit, taken.kind)


@pytest.mark.parametrize(
    ("work", "says"),
    [
        (
            SAG.replace('kind = "fork sag"', 'kind = "fork sack"'),
            'line 28, sag.kind: "fork sack" is known to no plugin; did you mean "fork sag"?',
        ),
        (SAG.replace('unit = "mm"', 'unit = "%"'), 'line 29, sag.unit: fork sag comes out in mm, not in "%"'),
        (
            SAG.replace('unit = "mm"', 'max = "3 %"\nsource = "manual"\npage = "2-1"'),
            'line 28, sag.kind: fork sag comes out in mm, not in "%"',
        ),
        (
            '[[work]]\nstep = "look"\nname = "look"\nsays = "Look."\nmeans = "Worn."',
            "line 29, look.means: says what a fault means that is found; write look = true as well",
        ),
    ],
)
def test_a_kind_that_nobody_knows_is_a_mistake_with_its_line(
    book_file: Path, tmp_path: Path, written: Written, work: str, says: str
) -> None:
    plugins = written(sag=KIND.format(name="fork sag"))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        path = with_a_measurement(tmp_path, work)
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, path, Say("P-2"))

    assert f"the procedure was not entered:\n{path}:{says}" == str(refused.value)


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (KIND.format(name="fork sag"), "“fork sag” is also given by plugin sag"),
        (KIND.format(name="dimension"), "“dimension” is also given by the core"),
        (KIND.format(name=""), "“” has no name, no unit or no input"),
        (KIND.format(name="a").replace("return [M", "return [1, M"), "it gave something that is not a list of kinds"),
        ("@hookimpl\ndef measurement_kinds():\n    return 3 / 0\n", "division by zero"),
    ],
)
def test_measurement_kinds_that_clash_are_refused_with_their_plugin(
    stops: Stops, written: Written, code: str, says: str
) -> None:
    """As units are, once somebody asks for kinds; the other plugin's kind stays."""
    plugins = written(sag=KIND.format(name="fork sag"), sag_too=code).asked_through()
    play_ready = stops(plugins)

    assert f"its measurement kinds were refused: {says}" == plugins.states["sag_too"].state
    assert ["sag"] == [owned.plugin for owned in plugins.kinds.values() if owned.plugin != "final_drive"]
    assert [f"plugin sag_too: its measurement kinds were refused: {says}"] == play_ready
