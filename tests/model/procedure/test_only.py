"""A procedure with some of its fasteners alone: what stays of it, and that what stays is whole."""

import json
import tomllib
from collections.abc import Collection, Mapping
from decimal import Decimal
from hashlib import sha256
from itertools import chain, combinations
from pathlib import Path
from typing import Any

import pytest

import torqueaudit.testing
import torqueaudit_plugins.demo
from torqueaudit.model.procedure.only import reduced
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Procedure, Step
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.plugins import load_plugins

PLAYED = Path(torqueaudit_plugins.demo.__file__ or "").parent / "procedures"
FOR_TESTS = Path(torqueaudit.testing.__file__ or "").parent
PROCEDURES = {
    **{f"demo/{file.stem}": file for file in sorted(PLAYED.glob("*.toml"))},
    **{f"testing/{file.stem}": file for file in sorted(FOR_TESTS.glob("*.toml"))},
    "ledgers/everything": Path(__file__).parents[2] / "ledgers" / "everything.toml",
}
PLUGINS = load_plugins()

# A drive whose table names looks, parts and joints; all of it is invented.
TABLES = """
format = 1
name = "tables"
title = "Work with tables"
edition = "1"
[source.manual]
document = "Manual"
edition = "3"
model = "Kestrel 500"
years = [2028, 2031]
[source.leaflet]
document = "Leaflet"
edition = "1"
model = "Kestrel 500"
years = [2028, 2029]
[[work]]
step = "axle-look"
name = "axle by eye"
says = "Look."
look = true
[[work]]
fit = "own-chain"
name = "chain"
part = "chain"
[[work]]
tighten = "axle-nut"
name = "axle nut"
thread = "M18x1.5"
torque = "100 N·m"
tolerance = "10 %"
after = ["own-chain"]
source = "manual"
page = "1"
[[work]]
step = "nut-look"
name = "nut by eye"
says = "Look."
look = true
after = ["axle-nut"]
[[work]]
tighten = "guard-bolt"
name = "guard bolt"
thread = "M6"
torque = "10 N·m"
tolerance = "10 %"
source = "leaflet"
page = "2"
[x.final_drive]
chain = "525"
always_look = ["axle-look", "nut-look"]
complaint = ["axle-look"]
[x.final_drive.parts]
chain = "own-chain"
[x.clamp_load.axle-nut]
friction_thread = 0.13
[x.clamp_load.guard-bolt]
friction_thread = 0.14
"""

TEXTS = {**{name: file.read_text(encoding="utf-8") for name, file in PROCEDURES.items()}, "tables": TABLES}


def picture_in(name: str) -> Picture:
    """A picture that is known by its name: none is looked at here."""
    digest = sha256(name.encode()).hexdigest()
    return Picture(file=name, says="", digest=digest, small=digest, width=40, height=30)


def read(text: str) -> Procedure:
    """A procedure as one that is entered is read: by every check, those of the plugins too."""
    tables = [table for _, given, _ in PLUGINS.tables() for table in given]
    return read_procedure(text, PLUGINS.units, Decimal(10), tables, PLUGINS.kinds, PLUGINS.part_kinds, picture_in)


def subsets(procedure: Procedure) -> list[tuple[str, ...]]:
    """Every choice of a procedure's fasteners, from one to all."""
    keys = [fastener.key for fastener in procedure.fasteners()]
    return [*chain.from_iterable(combinations(keys, size) for size in range(1, len(keys) + 1))]


def value_text(value: Any) -> str:
    """A value as TOML, tables inline."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {value_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(value_text, value)) + "]"
    return str(value) if isinstance(value, Decimal) else json.dumps(value, ensure_ascii=False)


def written_as(text: str, left: Procedure) -> str:
    """The file as its author would have written it, had they written down what is left alone."""
    told = tomllib.loads(text, parse_float=Decimal)
    items = {item.key: item for item in left.work}
    by_key = {
        next(each[kind] for kind in ("tighten", "measure", "step", "fit") if kind in each): each
        for each in told["work"]
    }
    told["title"] = left.title
    told["needs"] = list(left.needs)
    told["source"] = {source.key: told["source"][source.key] for source in left.sources}
    told["work"] = [{**by_key[key], **links_of(item)} for key, item in items.items()]
    told.pop("recheck", None)
    if left.recheck:
        kept = {name: list(getattr(left.recheck, name)) for name in ("marks", "measurements", "torques")}
        told["recheck"] = {**tomllib.loads(text, parse_float=Decimal)["recheck"], **kept}
    told["x"] = {name: as_left(table, left.x[name]) for name, table in told.get("x", {}).items() if name in left.x}
    return "\n".join(f"{key} = {value_text(value)}" for key, value in told.items())


def links_of(item: Any) -> dict[str, list[str]]:
    """What an item refers to other work by."""
    names = {Measurement: ("after", "again_after"), Step: ("after", "covers")}.get(type(item), ("after",))
    return {name: list(getattr(item, name)) for name in names}


def as_left(told: Any, left: Any) -> Any:
    """A plugin's table as written, without what is not left of it."""
    if isinstance(told, Mapping):
        return {key: as_left(value, left[key]) for key, value in told.items() if key in left}
    return left if isinstance(told, list) and all(isinstance(each, str) for each in told) else told


def keys(procedure: Procedure) -> list[str]:
    return [item.key for item in procedure.work]


@pytest.mark.parametrize("name", TEXTS)
def test_what_is_left_is_what_a_file_with_no_more_in_it_would_say(name: str) -> None:
    """Every choice of fasteners of every procedure: written down alone it passes each check, and reads as the same."""
    text = TEXTS[name]
    procedure = read(text)
    chosen = subsets(procedure)
    left = [reduced(procedure, each) for each in chosen]

    assert bool(procedure.fasteners()) == bool(chosen)
    assert [each for each in left if read(written_as(text, each)) != each] == []
    assert [set(each) for each in chosen] == [{f.key for f in each.fasteners()} for each in left]


@pytest.mark.parametrize("name", TEXTS)
def test_what_is_left_keeps_the_order_it_had(name: str) -> None:
    """Of two items that stay the one still comes after the other where it did, also where all between them is gone."""

    def before(procedure: Procedure, key: str) -> set[str]:
        item = procedure.item(key)
        own = item.after if item else ()
        return {*own, *chain.from_iterable(before(procedure, each) for each in own)}

    procedure = read(TEXTS[name])
    for chosen in subsets(procedure):
        left = reduced(procedure, chosen)
        for key in keys(left):
            assert before(procedure, key) & {*keys(left)} == before(left, key)


def example(name: str) -> Procedure:
    return read(TEXTS[name])


def test_of_a_nut_that_holds_a_wheel_its_values_and_the_proof_of_the_brake_stay() -> None:
    """Slack and alignment are taken again after it; the brake is tried, and what leads up to that is done."""
    left = reduced(example("demo/final-drive"), ["rear-axle-nut"])
    expected = ["slack", "alignment", "rear-axle-nut", "wheel-free", "pedal-firm", "brake-tried"]

    assert expected == keys(left)
    assert "Chain and both sprockets (only the rear axle nut)" == left.title
    assert example("demo/final-drive").warnings == left.warnings
    assert left.recheck
    assert (("rear-axle-nut",), ("slack", "alignment"), ("rear-axle-nut",)) == (
        left.recheck.marks,
        left.recheck.measurements,
        left.recheck.torques,
    )


def test_of_a_nut_with_a_lock_washer_the_washer_and_its_cover_stay() -> None:
    """It holds no wheel and no brake, so that nothing proves the brake; what covers it is put on again."""
    left = reduced(example("demo/final-drive"), ["front-sprocket-nut"])

    assert ["tab-washer", "front-sprocket-nut", "cover-on"] == keys(left)
    assert ["tab-washer"] == [fit.key for fit in left.fits()]
    assert left.steps()[0].covers == ("front-sprocket-nut",)


def test_of_pinch_bolts_the_step_right_before_them_stays() -> None:
    """The fork is settled before they are tightened, also where nothing else of the wheel is done again."""
    left = reduced(example("demo/front-wheel"), ["pinch-bolt"])

    assert ["fork-settled", "pinch-bolt", "lever-firm", "brake-tried"] == keys(left)
    assert "Front wheel out and in, new brake disc (only axle pinch bolt 1 to 2)" == left.title


def test_several_fasteners_are_named_in_the_order_of_the_work() -> None:
    """Whatever order they are asked for in."""
    left = reduced(example("demo/final-drive"), ["rear-axle-nut", "sprocket-bolt", "torque-arm-bolt"])
    names = "rear sprocket bolt 1 to 5, the brake torque arm bolt and the rear axle nut"

    assert f"Chain and both sprockets (only {names})" == left.title


def test_a_re_check_that_looks_at_nothing_of_it_is_not_planned() -> None:
    """The plan of the whole looks at other fasteners."""
    procedure = example("ledgers/everything")

    assert reduced(procedure, ["drag-nut"]).recheck is None
    assert reduced(procedure, ["slotted-nut"]).recheck is not None


def test_what_plugins_are_told_of_work_that_is_gone_is_gone() -> None:
    """Their tables name looks, parts and joints by key; a text that is no key stays, such as the size of the chain."""
    procedure = read(TABLES)
    drive, clamp = ({"chain": "525"}, {"guard-bolt": {"friction_thread": "0.14"}})

    assert {"final_drive": drive, "clamp_load": clamp} == reduced(procedure, ["guard-bolt"]).x
    assert {"chain": "525", "always_look": ["nut-look"]} == reduced(procedure, ["axle-nut"]).x["final_drive"]


@pytest.mark.parametrize(("key", "source"), [("axle-nut", "manual"), ("guard-bolt", "leaflet")])
def test_only_the_sources_of_what_is_left_have_to_hold(key: str, source: str) -> None:
    """A leaflet for other years says nothing against a nut whose torque stands in the manual."""
    assert [source] == [each.key for each in reduced(read(TABLES), [key]).sources]


@pytest.mark.parametrize("wrong", [[], ["slack"], ["rear-axle-nut", "slack"], ["sprocket-bolt-1"]])
def test_a_key_of_no_fastener_is_refused(wrong: Collection[str]) -> None:
    """A group is named as a whole: whoever asks knows its keys."""
    with pytest.raises(ValueError, match="final-drive has no such fasteners"):
        reduced(example("demo/final-drive"), wrong)


def test_the_procedure_itself_stays_as_it_is() -> None:
    """It is the same for every other job."""
    procedure = example("demo/final-drive")
    reduced(procedure, ["rear-axle-nut"])

    assert example("demo/final-drive") == procedure
    assert all(isinstance(item, Fastener) for item in procedure.fasteners())
