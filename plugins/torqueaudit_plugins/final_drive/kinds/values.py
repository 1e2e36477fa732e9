"""What comes of the readings of each kind; `kinds` imports this when a measurement is taken.

Every function raises ValueError, with a sentence, for readings that cannot be right.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import cos, radians
from typing import Any

from torqueaudit.plugin import Derived, Measurement, Reading, Readings, format_number, to_decimal, told_beside
from torqueaudit_plugins.final_drive.calc.adjuster import wear_for_travel
from torqueaudit_plugins.final_drive.calc.alignment import END, End, Skew, end_named, far_words, is_far, one_end, skew
from torqueaudit_plugins.final_drive.calc.sprockets import drive_of
from torqueaudit_plugins.final_drive.calc.wear import Span, span_of, worst
from torqueaudit_plugins.final_drive.table.content import Stated, stated_in

Tables = Mapping[str, Mapping[str, Any]]
MOST_SLACK_MM, MOST_RIVET_MM, MOST_POSITION_MM = 300, 30, 500
RIVETS = 2


def wear(readings: Readings, measurement: Measurement, tables: Tables) -> Derived:
    """Wear in %, or the length over the pins that the printed limit holds for; the longest place counts."""
    stated = stated_in(tables)
    lengths = readings.inputs["length"]
    span = _span(readings.inputs["pins"][0].value, stated)
    if measurement.unit == "mm" and span.pins != stated.wear_pins:
        raise ValueError(f"the limit holds for {stated.wear_pins or 'a stated number of'} pins; count so many")
    wears = [span.wear_percent(each.value) for each in lengths]
    counts = worst([each.value for each in lengths])
    length = lengths[counts]
    where = _which(lengths, counts, "worst")
    found = f"{format_number(wears[counts], 3)} %" if measurement.unit == "mm" else _mm(length.value)
    says = f"{where}{found} over {span.pitches} pitches, {_mm(span.nominal_mm)} when new"
    if caution := span.caution(length.value):
        if wears[counts] < 0:
            raise ValueError(caution.rstrip("."))
        says += f"; {caution.rstrip('.')}"
    expanded = None if length.expanded is None else span.share_percent(length.expanded)
    mend = _worn(wears[counts], expanded, span, measurement, caution)
    if measurement.unit == "mm":
        return Derived(length.value, length.expanded, says, mend)
    return Derived(wears[counts], expanded, says, mend)


def _worn(wear: Decimal, expanded: Decimal | None, span: Span, measurement: Measurement, caution: str | None) -> str:
    """What a chain past its limit asks for; counting again comes first where so much is hardly true."""
    if measurement.upper is None:
        return ""
    in_mm = measurement.unit == "mm"
    limit = span.share_percent(measurement.upper - span.nominal_mm) if in_mm else measurement.upper
    spread = f" ± {format_number(expanded, 2)} %" if expanded else ""
    worn, most = told_beside(wear, 3, limit), told_beside(limit, 3, wear)
    first = f"{caution.rstrip('.')}. If it is so all the same: " if caution else ""
    printed = f" ({measurement.written})" if in_mm else ""
    return (
        f"{first}worn {worn} %{spread}, the most is {most} %{printed}: replace "
        "chain and both sprockets (as a set: common practice, no source); do not tension it once more"
    )


def _span(pins: Decimal, stated: Stated) -> Span:
    if stated.pitch_mm is None:
        raise ValueError('the procedure does not say what chain it is; write chain = "520" into its [x.final_drive]')
    if pins != int(pins):
        raise ValueError(f"pins: {pins} is no count; count from the first to the last, both included, such as 21")
    return span_of(int(pins), stated.pitch_mm)


def slack(readings: Readings, measurement: Measurement, tables: Tables) -> Derived:
    """The tightest of the places counts."""
    del tables
    places = readings.inputs["slack"]
    for each in places:
        _require(each.value, MOST_SLACK_MM, "slack", "measure the whole movement up and down")
    values = [each.value for each in places]
    tightest = values.index(min(values))
    says = ""
    if len(places) > 1:
        says = f"{_which(places, tightest, 'tightest').rstrip(': ')}, loosest {_mm(max(values))}"
    mend = (
        f"{_mm(values[tightest])}{_spread(places[tightest])}, {measurement.written} is specified: move the axle and "
        "measure again; a chain worn past its limit is replaced, not set"
    )
    return Derived(values[tightest], places[tightest].expanded, says, mend)


def _spread(reading: Reading) -> str:
    return f" ± {_mm(reading.expanded)}" if reading.expanded else ""


def alignment(readings: Readings, measurement: Measurement, tables: Tables) -> Derived:
    """How far left and right differ in mm, or the angle of that in degrees; never below zero."""
    left, right = (readings.inputs[side][0] for side in ("left", "right"))
    base = stated_in(tables).base_mm
    if measurement.unit == "°" and base is None:
        raise ValueError(
            "an angle needs the distance between left and right; write alignment_base_mm = … into [x.final_drive]"
        )
    found = skew(left.value, right.value, base or Decimal(1))
    expanded = _root_of_squares(left, right)
    end_of(left.place, right.place, readings.conditions)
    says = skew_says(found, angle=base is not None)
    mend = _far(found, stated_in(tables), measurement)
    if measurement.unit == "mm" or base is None:
        return Derived(abs(found.difference_mm), expanded, says, mend)
    if expanded is not None:  # dε/dx = cos² ε/W
        slope = cos(radians(found.angle_deg)) ** 2 / float(base) / radians(1)
        expanded *= to_decimal(Fraction(slope))
    return Derived(to_decimal(Fraction(abs(found.angle_deg))), expanded, says, mend)


def _far(found: Skew, stated: Stated, measurement: Measurement) -> str:
    """Nobody moves an axle by what was read wrongly."""
    pitch = None if stated.adjuster_pitch_mm is None else float(stated.adjuster_pitch_mm)
    if not is_far(float(abs(found.difference_mm)), pitch):
        return ""
    reads = f"{found.more} reads {_mm(abs(found.difference_mm))} more than {found.other}"
    return (
        f"{reads}, {measurement.written} is specified; {far_words(pitch)}: measure both sides again before you move any"
    )


def end_of(left_place: str, right_place: str, conditions: Mapping[str, str]) -> End | None:
    """The end of the swinging arm that both readings were taken from, as told or as the procedure asks."""
    asked = end_named(conditions.get(END, ""))
    told = one_end(end_named(left_place), end_named(right_place))
    if asked and told and asked is not told:
        raise ValueError(
            f"taken from the {told} end, and the procedure asks for the {asked} end; take it again from there"
        )
    return told or asked


def skew_says(found: Skew, *, angle: bool) -> str:
    """What a skew is, with its angle where the base is stated."""
    if not found.more:
        return "left and right read the same"
    degrees = f", {abs(found.angle_deg):.2f}°" if angle else ""
    return f"{found.more} reads {_mm(abs(found.difference_mm))} more than {found.other}{degrees}"


def flare(readings: Readings, measurement: Measurement, tables: Tables) -> Derived:
    """The rivet that lies furthest out; both are measured."""
    del tables
    rivets = readings.inputs["rivet"]
    if len(rivets) < RIVETS:
        raise ValueError("a rivet link has two rivets; measure the flare of both")
    for each in rivets:
        _require(each.value, MOST_RIVET_MM, "rivet", "measure across the flared head")
    counts = max(range(len(rivets)), key=lambda index: _outness(rivets[index].value, measurement))
    return Derived(rivets[counts].value, rivets[counts].expanded, mend=_flared(rivets, measurement))


def _flared(rivets: Sequence[Reading], measurement: Measurement) -> str:
    """Each rivet that is outside, the worst first, and what to do: one that cracks is not mended by pressing on."""
    named = [(each.place or f"rivet {number}", each) for number, each in enumerate(rivets, start=1)]
    outside = sorted(
        (each for each in named if _outness(each[1].value, measurement) > 0),
        key=lambda each: -_outness(each[1].value, measurement),
    )
    over = [measurement.upper is not None and each.value > measurement.upper for _, each in outside]
    said = [
        f"{name} {_mm(each.value)}{_spread(each)} is {'over-flared and cracks' if cracks else 'flared too little'}"
        for (name, each), cracks in zip(outside, over, strict=True)
    ]
    do = "fit a new link" if any(over) else "press on a little at a time and measure both again"
    return f"{', '.join(said)} ({measurement.written} is specified): {do}" if said else ""


def _outness(value: Decimal, measurement: Measurement) -> Decimal:
    """How near the nearest limit is, larger the worse; without limits a smaller head is the worse."""
    gaps = [measurement.lower - value] if measurement.lower is not None else []
    gaps += [value - measurement.upper] if measurement.upper is not None else []
    return max(gaps, default=-value)


def position(readings: Readings, measurement: Measurement, tables: Tables) -> Derived:
    """The middle of both adjusters, to be found again; and the travel that is left, where its end is stated."""
    del measurement
    left, right = (readings.inputs[side][0] for side in ("left", "right"))
    for each in (left, right):
        _require(each.value, MOST_POSITION_MM, "adjuster", "read its scale, or measure what shows of the thread")
    stated = stated_in(tables)
    says = ""
    if stated.adjuster_end_mm is not None:
        travel = travel_left(left.value, right.value, stated.adjuster_end_mm)
        says = f"{_mm(travel)} of travel left{_taken_up(travel, stated)}"
    expanded = _root_of_squares(left, right)
    return Derived((left.value + right.value) / 2, None if expanded is None else expanded / 2, says)


def _taken_up(travel: Decimal, stated: Stated) -> str:
    """What the travel that is left says of wear, where the source states teeth and links."""
    if not (stated.front and stated.rear and stated.links and stated.pitch_mm):
        return ""
    try:
        drive = drive_of(stated.front, stated.rear, float(stated.pitch_mm))
        left = wear_for_travel(drive, stated.links, float(travel))
    except ValueError:  # entered without this plugin, which would have said so
        return ""
    return f", taken up by about {left.least_percent:.1f} to {left.most_percent:.1f} % more wear"


def travel_left(left_mm: Decimal, right_mm: Decimal, end_mm: Decimal) -> Decimal:
    """Travel of the adjuster that has less of it."""
    return min(abs(end_mm - left_mm), abs(end_mm - right_mm))


def _root_of_squares(left: Reading, right: Reading) -> Decimal | None:
    if left.expanded is None or right.expanded is None:
        return None
    return (left.expanded**2 + right.expanded**2).sqrt()


def _require(value: Decimal, most: int, what: str, do: str) -> None:
    if not 0 <= value <= most:
        raise ValueError(f"{what}: {_mm(value)} is none; {do}, from 0 to {most} mm")


def _which(readings: Sequence[Reading], index: int, how: str) -> str:
    if len(readings) == 1:
        return ""
    place = readings[index].place or f"place {index + 1}"
    return f"{how} of {len(readings)} at {place}: "


def _mm(value: Decimal) -> str:
    return f"{format_number(value, 7)} mm"
