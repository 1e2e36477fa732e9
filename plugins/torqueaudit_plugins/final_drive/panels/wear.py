"""How a chain wears over a vehicle's jobs: in words and as a picture."""

from decimal import Decimal

from torqueaudit.plugin import Around, Chart, ExtraSection, Job
from torqueaudit_plugins.final_drive.calc.trend import (
    LEAST_DISTANCES,
    LEAST_FOR_BOTH_ENDS,
    NOT_RISING,
    TOO_FEW,
    Reach,
    Trend,
    fit,
    sure_words,
)
from torqueaudit_plugins.final_drive.rules.wear_history import Worn, limit_percent, percent_of, sure_percent, worn_chain
from torqueaudit_plugins.final_drive.table.content import WEAR, Stated

TITLE = "Chain wear"
PLACES = 7  # where the band is worked out
BEYOND = 1.0  # how far past the last point the line is drawn, in spans of the points


def wear_panel(job: Job, around: Around, stated: Stated) -> ExtraSection | None:
    """The wear of the chain, for a job that measures wear, once it was measured while this chain was on."""
    item = next((each for each in job.procedure.measurements() if each.kind == WEAR), None)
    if item is None:
        return None
    worn = worn_chain(job, around, stated)
    if not worn.points and not worn.without_distance:
        return None
    limit = limit_percent(item, stated)
    sure, told = sure_percent(job, stated)
    line = line_of(worn, sure)
    sentences = (*_history(around, worn), *_past(worn, line, limit, stated), *_told(line, limit, worn, stated))
    if line:
        sentences += (sure_words(sure, told=told),)
    drawn = len({km for km, _ in worn.points}) >= LEAST_DISTANCES - 1
    return ExtraSection(TITLE, sentences, chart=_chart(worn, line, limit) if drawn else None)


def _past(worn: Worn, line: Trend | None, limit: Decimal | None, stated: Stated) -> tuple[str, ...]:
    """Said before all else of the line: the chain is at its end, whatever a line says of tomorrow."""
    if limit is None or not is_past(worn, line, limit, stated):
        return ()
    if worn.off:
        return (f"It was past the limit of {limit:.3g} % when it came off.",)
    return (f"Past the limit of {limit:.3g} % now: replace chain and both sprockets.",)


def is_past(worn: Worn, line: Trend | None, limit: Decimal, stated: Stated) -> bool:
    """Whether the value measured last, or the line at the last distance, lies past the limit."""
    wears = [percent_of(each.value, each.unit, stated) for each in worn.taken]
    last = wears[-1] if wears else None
    return (last is not None and last > limit) or (line is not None and line.is_past(limit, max(worn.points)[0]))


def line_of(worn: Worn, sure: float) -> Trend | None:
    """The line through a chain's wear, each sure to so many percent; None where too few distances are known."""
    if len({km for km, _ in worn.points}) < LEAST_DISTANCES:
        return None
    return fit([km for km, _ in worn.points], [wear for _, wear in worn.points], sure_percent=sure)


def _history(around: Around, worn: Worn) -> tuple[str, ...]:
    said = []
    if worn.off:
        day = worn.off.happened_at.astimezone(around.settings.timezone).date()
        said.append(f"This chain came off on {day}, see job {worn.off.job}.")
    if worn.without_distance:
        said.append(f"{worn.without_distance} measured without a distance and left out.")
    return tuple(said)


def _told(line: Trend | None, limit: Decimal | None, worn: Worn, stated: Stated) -> tuple[str, ...]:
    if line is None:
        return (f"{TOO_FEW[0].upper()}{TOO_FEW[1:]}.",)
    low, high = line.slope_interval
    wears = "It wore" if worn.off else "It wears"
    slope = f"{wears} by {line.slope * 1000:.3f} % in 1000 km ({low * 1000:.3f} to {high * 1000:.3f})"
    if limit is None:
        return (f"{slope}. No limit is stated, so no distance to it.",)
    if is_past(worn, line, limit, stated):
        return (f"{slope}.",)
    reach = line.reaches(float(limit))
    if reach is None:
        return (f"{slope}." if worn.off else f"{slope}. {NOT_RISING[0].upper()}{NOT_RISING[1:]}.",)
    return (f"{slope}. {_reached(reach, limit, worn)}",)


def reach_words(reach: Reach) -> tuple[str, str, str]:
    """Where the limit is reached, the least distance, and the interval: "22890", "20250", "20250 to 26780 km"."""
    low, at = (f"{round(km, -1):.0f}" for km in (reach.low_km, reach.distance_km))
    if reach.high_km is None:
        return at, low, f"at least {low} km"
    return at, low, f"{low} to {round(reach.high_km, -1):.0f} km"


def _reached(reach: Reach, limit: Decimal, worn: Worn) -> str:
    at, low, between = reach_words(reach)
    few = "" if reach.high_km is not None else f"; too few points for an upper end, which takes {LEAST_FOR_BOTH_ENDS}"
    would = "would have reached" if worn.off else "reaches"
    said = f"The line {would} the limit of {limit:.3g} % at {at} km ({between}, 95 % interval{few})."
    if worn.off:
        return said
    if reach.low_km <= max(km for km, _ in worn.points):
        return f"{said} The latest measurement lies within that: measure again soon, and judge the wear itself."
    return f"{said} Wear quickens near its end: measure again before {low} km."


def _chart(worn: Worn, line: Trend | None, limit: Decimal | None) -> Chart:
    first, last = min(worn.points), max(worn.points)
    ends = " to ".join(f"{wear:.2f} % at {km:.0f} km" for km, wear in (first, last))
    fitted = ", with the line through them and its 95 % band" if line else ""
    says = f"{len(worn.points)} measurements, from {ends}{fitted}."
    shown = None if limit is None else round(float(limit), 3)
    chart = Chart(title=TITLE, says=says, x_name="distance in km", y_name="wear in %", points=worn.points, limit=shown)
    if line is None:
        return chart
    at = _places(first[0], last[0], line.reaches(float(limit)) if limit is not None else None)
    band = tuple((km, line.at(km) - line.band_percent(km), line.at(km) + line.band_percent(km)) for km in at)
    return chart._replace(line=((at[0], line.at(at[0])), (at[-1], line.at(at[-1]))), band=band)


def _places(first: float, last: float, reach: Reach | None) -> list[float]:
    """Evenly from the first point to where the limit is reached, if that is not too far past the last one."""
    end = min(max(last, reach.distance_km if reach else last), last + BEYOND * (last - first))
    return [first + (end - first) * step / (PLACES - 1) for step in range(PLACES)]
