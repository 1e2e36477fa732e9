"""Reading one [[work]] table: a fastener, a measurement, a step or a part to fit."""

from decimal import Decimal

from torqueaudit.model.procedure.picture import Picture, PictureIn, no_picture
from torqueaudit.model.procedure.procedure import (
    CASTLE_NUT,
    DIMENSION,
    NEEDED,
    THREADLOCKER,
    Fastener,
    Fit,
    Measurement,
    Step,
    Work,
)
from torqueaudit.model.procedure.toml.stages import look_at_stages, read_stages
from torqueaudit.model.procedure.toml.torque import read_specification
from torqueaudit.model.procedure.toml.values import KEY, SHORT_NAME, Table, bad_key
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.torque.decimals import leading_number
from torqueaudit.model.torque.printed_torque import split_range
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.torque.units import UnitTable

KINDS = ("tighten", "measure", "step", "fit")
LARGEST_GROUP = 20

# By number of bolts; trade practice, the cross pattern as in ASME PCC-1 (from memory).
CROSS = {4: (1, 3, 2, 4), 5: (1, 3, 5, 2, 4), 6: (1, 4, 2, 5, 3, 6), 8: (1, 5, 3, 7, 2, 6, 4, 8)}


def read_work(
    table: Table, units: UnitTable, own_tolerance_percent: Decimal, picture_in: PictureIn = no_picture
) -> Work | None:
    """What the table says is to be done; None where it does not say what kind of work it is."""
    kinds = [kind for kind in KINDS if table.has(kind)]
    if len(kinds) != 1:
        table.wrong("", f"has to hold exactly one of {', '.join(KINDS)}; it holds {' and '.join(kinds) or 'none'}")
        return None
    key = table.text(kinds[0])
    table.name = key or table.name
    if key and not KEY.fullmatch(key):
        table.wrong(kinds[0], bad_key(key), bad_key(key, SHORT_NAME))
    item: Work
    match kinds[0]:
        case "tighten":
            item = _fastener(table, key, units, own_tolerance_percent)
        case "measure":
            item = _measurement(table, key)
        case "step":
            item = _step(table, key)
        case _:
            item = _fit(table, key)
    item = item._replace(picture=_picture(table, picture_in))
    table.finish()
    return item


def _picture(table: Table, picture_in: PictureIn) -> Picture | None:
    """What is shown of the work: the file, and the same in words, as not everybody sees it."""
    says = table.text("picture_says", required=table.has("picture"))
    if says and not table.has("picture"):
        says = "says what a picture shows;"
        table.wrong("picture_says", f"{says} write picture = … as well", f"{says} name the {FIELDS['picture']} as well")
    picture = table.read("picture", picture_in)
    return picture._replace(says=says) if picture else None


def _fastener(table: Table, key: str, units: UnitTable, own_tolerance_percent: Decimal) -> Fastener:
    size = table.whole("count", 2, LARGEST_GROUP) or 1
    stages = read_stages(table, units)
    fastener = Fastener(
        key=key,
        name=table.text("name", required=True),
        specification=read_specification(table, units, own_tolerance_percent),
        after=table.keys("after"),
        says=table.text("says"),
        thread=table.text("thread"),
        property_class=table.text("property_class"),
        direction=table.choice("direction", ("right", "left"), "right"),
        condition=table.choice("condition", ("dry", "oiled", THREADLOCKER), ""),
        working_time_min=table.whole("working_time_min", 1, 10_000),
        cure_time_h=table.number("cure_time_h"),
        single_use=table.keys("single_use"),
        size=size,
        pattern=_pattern(table, size),
        stages=stages.written,
        stage_torques=stages.torques,
        locking=table.choice("locking", (CASTLE_NUT,), ""),
        adapter=table.choice("adapter", (NEEDED,), ""),
        mark=table.flag("mark"),
        photo=table.flag("photo"),
        check=table.flag("check"),
        holds=table.choice("holds", ("wheel", "sprocket", "brake"), ""),
    )
    look_at_stages(table, fastener)
    _look_at_threadlocker(table, fastener)
    _look_at_locking(table, fastener)
    return fastener


def _pattern(table: Table, size: int) -> tuple[int, ...]:
    cross = table.flag("cross")
    if table.has("pattern"):
        if cross:
            table.wrong("cross", "does not go with a pattern; leave one of them out")
        return _own_pattern(table, size)
    if cross and size not in CROSS:
        says = f"is known for a count of 4, 5, 6 or 8, not {size};"
        table.wrong("cross", f"{says} write pattern = [1, …]", f"{says} tell the numbers in their order")
    return CROSS.get(size, ()) if cross else ()


def _own_pattern(table: Table, size: int) -> tuple[int, ...]:
    match table.raw("pattern"):
        case [*numbers] if all(type(number) is int for number in numbers) and sorted(numbers) == [*range(1, size + 1)]:
            return tuple(numbers)
    each = f"each number from 1 to {size} once"
    table.wrong("pattern", f"has to be a list of {each}, as count says", f"is “cross”, or {each}")
    return ()


def _look_at_threadlocker(table: Table, fastener: Fastener) -> None:
    if fastener.condition == THREADLOCKER:
        if not table.has("cure_time_h"):
            says = "is threadlocker; write how many hours it cures,"
            table.wrong("condition", f"{says} cure_time_h = …", f"{says} at “{FIELDS['cure_time_h']}”")
        return
    for key in ("working_time_min", "cure_time_h"):
        if table.has(key):
            typed = f"needs “{THREADLOCKER}” as the {FIELDS['condition']}"
            table.wrong(key, f'needs condition = "{THREADLOCKER}"', typed)


def _look_at_locking(table: Table, fastener: Fastener) -> None:
    """A castle nut is turned on to its next slot, which only a printed maximum allows."""
    specification = fastener.specification
    if fastener.locking != CASTLE_NUT or not specification.limits_nm:
        return
    if specification.method == TORQUE_AND_ANGLE:
        table.wrong("locking", "is castle nut, which does not go with torque and angle; compare it with the source")
    elif specification.upper_nm is None or specification.own_tolerance:
        says = "is castle nut, which is turned on to the next slot only up to a printed maximum; write the range or the"
        table.wrong("locking", f"{says} tolerance that the document prints")


def _measurement(table: Table, key: str) -> Measurement:
    written, lower, upper, unit = _measured_limits(table)
    limited = bool(written)
    conditions = table.inner("conditions")
    return Measurement(
        key=key,
        name=table.text("name", required=True),
        unit=unit,
        kind=table.text("kind") or DIMENSION,
        after=table.keys("after"),
        says=table.text("says"),
        written=written,
        lower=lower,
        upper=upper,
        conditions=tuple((name, conditions.text(name)) for name in conditions.written()),
        again_after=table.keys("again_after"),
        source=table.text("source", required=limited),
        page=table.text("page", required=limited),
    )


def _measured_limits(table: Table) -> tuple[str, Decimal | None, Decimal | None, str]:
    """The limits as written, both as numbers, and their unit, which `unit` or the limits themselves say."""
    unit = table.text("unit")
    ends = table.read("limit", _two_ends) or ("", "")
    if table.has("limit") and (table.has("min") or table.has("max")):
        table.wrong("limit", "does not go with min or max; leave one of them out")
        return "", None, None, unit
    texts = {"min": table.text("min") or ends[0], "max": table.text("max") or ends[1]}
    amounts = {key: _amount(table, key, text) for key, text in texts.items() if text}
    for _, said in reversed(amounts.values()):
        unit = unit or said
        if said and said != unit:
            table.wrong("unit", f"is {unit}, but the limit is in {said}; write both in one unit")
    if not unit and not table.has("limit"):
        says = "is missing; write what it is measured in,"
        table.wrong("unit", f'{says} like unit = "mm"', f"{says} such as mm")
    lower, upper = (amounts[key][0] if key in amounts else None for key in ("min", "max"))
    if lower is not None and upper is not None and lower >= upper:
        table.wrong("limit", "has a lower end that is not below the upper end")
    written = table.text("limit") or " and ".join(f"{key} {text}" for key, text in texts.items() if text)
    return written, lower, upper, unit


def _two_ends(text: str) -> tuple[str, str]:
    ends = split_range(text)
    if not ends:
        raise ValueError(f'"{text}" is no range; write it as 32 … 42 mm, or use min or max')
    return ends


def _amount(table: Table, key: str, text: str) -> tuple[Decimal | None, str]:
    below_zero = text.startswith(("-", "−"))
    try:
        number, unit = leading_number(text[below_zero:])
    except ValueError as error:
        table.wrong(key if table.has(key) else "limit", str(error))
        return None, ""
    return -number if below_zero else number, unit


def _step(table: Table, key: str) -> Step:
    step = Step(
        key=key,
        name=table.text("name", required=True),
        says=table.text("says", required=True),
        after=table.keys("after"),
        required=table.flag("required", default=True),
        proves=table.choice("proves", ("brake",), ""),
        look=table.flag("look"),
        means=table.text("means"),
        covers=table.keys("covers"),
    )
    if step.means and not step.look:
        says = "says what a fault means that is found;"
        table.wrong("means", f"{says} write look = true as well", f"{says} tick that it is {FIELDS['look']} as well")
    return step


def _fit(table: Table, key: str) -> Fit:
    return Fit(
        key=key,
        name=table.text("name", required=True),
        part=table.text("part", required=True),
        after=table.keys("after"),
        says=table.text("says"),
        single_use=table.flag("single_use"),
        attributes=table.texts("attributes"),
        kind=table.text("kind"),
    )
