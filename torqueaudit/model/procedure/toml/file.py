"""Reading a procedure from its TOML text (`format = 1`); docs/procedure-keys.md describes every key."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.picture import PictureIn, no_picture
from torqueaudit.model.procedure.procedure import Fastener, Plain, Procedure, RecheckPlan, Source, Work
from torqueaudit.model.procedure.toml.order import (
    Told,
    look_at_covers,
    look_at_keys,
    look_at_kinds,
    look_at_measurements,
    look_at_order,
    look_at_part_kinds,
    look_at_recheck,
)
from torqueaudit.model.procedure.toml.values import KEY, SHORT_NAME, Mistake, ProcedureMistakes, Table, bad_key
from torqueaudit.model.procedure.toml.work import read_work
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.register.distance import length_m
from torqueaudit.model.torque.units import UnitTable

if TYPE_CHECKING:
    from torqueaudit.model.procedure.kinds import OwnedKind
    from torqueaudit.model.procedure.part_kinds import OwnedPartKind
    from torqueaudit.model.procedure.toml.tables import ProcedureTable

FORMAT = 1
LARGEST_GUARD_FACTOR = 3
MOST_HOURS = 10_000
_LARGEST_INTEGER = 2**53 - 1  # what the ledger holds as a number


def read_procedure(
    text: str,
    units: UnitTable,
    own_tolerance_percent: Decimal,
    tables: "Iterable[ProcedureTable]" = (),
    kinds: "Mapping[str, OwnedKind]" = MappingProxyType({}),
    part_kinds: "Mapping[str, OwnedPartKind]" = MappingProxyType({}),
    picture_in: PictureIn = no_picture,
) -> Procedure:
    """The procedure a TOML text holds.

    `own_tolerance_percent` stands in where the text says `tolerance = "workshop"`; `tables` are those of `[x.NAME]`
    that plugins look at, `kinds` and `part_kinds` the kinds of measurement and of part they know; `picture_in` gives
    the pictures that it names. A plugin whose kind is used is needed. Raises ProcedureMistakes: the first error of TOML
    alone, else every mistake of meaning at once.
    """
    mistakes: list[Mistake] = []
    top = Table.of(text, mistakes)
    if mistakes:
        raise ProcedureMistakes(mistakes)
    told = _work(top, units, own_tolerance_percent, picture_in)
    procedure = _procedure(top, told, tables, kinds, part_kinds)
    if mistakes:
        raise ProcedureMistakes(mistakes)
    return procedure


def _procedure(
    top: Table,
    told: tuple[Told, ...],
    tables: "Iterable[ProcedureTable]",
    kinds: "Mapping[str, OwnedKind]",
    part_kinds: "Mapping[str, OwnedPartKind]",
) -> Procedure:
    _look_at_format(top)
    name = top.text("name", required=True)
    if name and not KEY.fullmatch(name):
        top.wrong("name", bad_key(name), bad_key(name, SHORT_NAME))
    sources = _sources(top.inner("source"))
    _look_at_sources(told, sources)
    needed = (*look_at_kinds(told, kinds), *look_at_part_kinds(told, part_kinds))
    work = tuple(item for _, item in told)
    procedure = Procedure(
        name=name,
        title=top.text("title", required=True),
        edition=top.text("edition", required=True),
        sources=sources,
        work=work,
        needs=tuple(dict.fromkeys((*top.texts("needs"), *needed))),
        warnings=top.texts("warnings"),
        recheck=_recheck(top.inner("recheck"), work) if top.has("recheck") else None,
        guard_factor=_guard_factor(top),
        x=_plugin_tables(top.inner("x"), work, tables),
    )
    top.finish()
    return procedure


def _guard_factor(top: Table) -> Decimal | None:
    """The decision rule this work demands: 0 is simple acceptance, 1 a guard band as wide as the uncertainty."""
    if type(top.raw("guard_factor")) is int and top.raw("guard_factor") == 0:
        return Decimal(0)
    factor = top.number("guard_factor")
    if factor is not None and factor > LARGEST_GUARD_FACTOR:
        top.wrong("guard_factor", f"has to be from 0 (simple acceptance) to {LARGEST_GUARD_FACTOR}; 1 is usual")
    return factor


def _look_at_format(top: Table) -> None:
    if not top.has("format"):
        top.wrong("format", f"is missing; write format = {FORMAT}")
    elif top.raw("format") is True or top.raw("format") != FORMAT:
        top.wrong("format", f"is {top.raw('format')}; this program reads format = {FORMAT}")


def _sources(table: Table) -> tuple[Source, ...]:
    return tuple(_source(table.inner(key), key) for key in table.written())


def _source(table: Table, key: str) -> Source:
    if not KEY.fullmatch(key):
        table.wrong("", bad_key(key), bad_key(key, SHORT_NAME))
    source = Source(
        key=key,
        document=table.text("document", required=True),
        edition=table.text("edition", required=True),
        model=table.text("model", required=True),
        years=_years(table),
        frames=_frames(table),
    )
    table.finish()
    return source


def _years(table: Table) -> tuple[int, int]:
    match table.raw("years"):
        case [int(first), int(last)] if 1885 <= first <= last <= 2200:  # noqa: PLR2004 -- the first motorcycle
            return first, last
    says = "have to be the first and the last model year"
    table.wrong("years", f"{says}, like years = [2028, 2031]", says)
    return 0, 0


def _frames(table: Table) -> tuple[str, str] | None:
    match table.raw("frames"):
        case None:
            return None
        case [str(first), str(last)] if first.strip() and last.strip() and len(first) == len(last) and first <= last:
            return first.strip(), last.strip()
    says = "have to be two frame numbers of one length"
    table.wrong("frames", f'{says}, like ["KS501", "KS549"]', says)
    return None


def _work(top: Table, units: UnitTable, own_tolerance_percent: Decimal, picture_in: PictureIn) -> tuple[Told, ...]:
    tables = top.listed("work")
    if not tables:
        says = "is missing; a procedure has at least one [[work]] table"
        top.wrong("work", says, "nothing is to be done yet; add a fastener, a measurement, a step or a part")
    items = [(table, read_work(table, units, own_tolerance_percent, picture_in)) for table in tables]
    told = tuple((table, item) for table, item in items if item)
    look_at_keys(told)
    look_at_order(told)
    look_at_covers(told)
    look_at_measurements(told)
    return told


def _look_at_sources(told: tuple[Told, ...], sources: tuple[Source, ...]) -> None:
    known = [source.key for source in sources]
    for table, _ in told:
        named = table.raw("source")
        if isinstance(named, str) and named.strip() and named not in known:
            table.wrong("source", f'"{named}" is not known here; {did_you_mean(named, known)}')


def _recheck(table: Table, work: tuple[Work, ...]) -> RecheckPlan:
    plan = RecheckPlan(
        distance_m=table.read("distance", length_m),
        distance_written=table.text("distance"),
        days=table.whole("days", 1, 3650),
        grace_days=table.whole("grace_days", 0, 365) or 0,
        grace_m=table.read("grace_distance", length_m) or Decimal(0),
        marks=_marks(table, work),
        measurements=table.keys("measurements"),
        torques=table.keys("torques"),
        run_min=_minutes(table, "hours"),
        grace_min=_minutes(table, "grace_hours") or 0,
    )
    if not any(table.has(key) for key in ("distance", "days", "hours")):
        table.wrong("", "needs a distance, days or hours after which it is due")
    if table.has("distance") and plan.distance_m == 0:
        table.wrong("distance", "has to be above zero")
    if not (table.has("marks") or plan.measurements or plan.torques):
        table.wrong("", "names nothing to look at; write marks, measurements or torques")
    look_at_recheck(table, plan, work)
    table.finish()
    return plan


def _minutes(table: Table, key: str) -> int | None:
    """Running hours, such as 2.5, in minutes."""
    hours = table.number(key)
    if hours is None:
        return None
    if hours > MOST_HOURS or hours * 60 % 1:
        table.wrong(key, f"has to be whole minutes of at most {MOST_HOURS} hours, such as 2.5")
    return int(hours * 60)


def _marks(table: Table, work: tuple[Work, ...]) -> tuple[str, ...]:
    if table.raw("marks") != "all":
        return table.keys("marks")
    marked = tuple(item.key for item in work if isinstance(item, Fastener) and item.mark)
    if not marked:
        says = 'is "all", but no fastener has'
        table.wrong("marks", f"{says} mark = true", f"{says} a {FIELDS['mark']}")
    return marked


def _plugin_tables(
    table: Table, work: tuple[Work, ...], tables: "Iterable[ProcedureTable]"
) -> dict[str, Mapping[str, Plain]]:
    for each in tables:
        if table.has(each.name):
            each.look_at(table.inner(each.name), work)
    return {name: _kept_plain(table.inner(name).values) for name in table.written()}


def _kept_plain(value: object) -> Any:
    """The value with every number the ledger cannot hold, and every date, as text."""
    if isinstance(value, Mapping):
        return {key: _kept_plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_kept_plain(item) for item in value]
    if isinstance(value, bool | str) or (isinstance(value, int) and abs(value) <= _LARGEST_INTEGER):
        return value
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
