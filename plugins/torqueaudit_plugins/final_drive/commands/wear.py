"""The commands `torqueaudit chain wear` and `trend`: how worn a chain is, and when it will be at its limit."""

import re
from decimal import Decimal
from typing import Any

import click

from torqueaudit.plugin import GROUPS, NOT_JUDGED
from torqueaudit_plugins.final_drive.calc.trend import LEAST_FOR_BOTH_ENDS, NOT_RISING, Reach, Trend, fit, sure_words
from torqueaudit_plugins.final_drive.calc.wear import LEAST_BELIEVED, Span, judge, read_limit, span_of, worst
from torqueaudit_plugins.final_drive.commands.answer import (
    AS_A_SET,
    MM,
    Answer,
    Calculator,
    Number,
    exact,
    json_option,
    pitch_mm,
    pitch_options,
    places,
    read_number,
    show,
)
from torqueaudit_plugins.final_drive.rules.wear_history import UNTOLD_PERCENT

MOST_KM, MOST_PERCENT = 2_000_000, 50
SHORTER = "not judged: no chain is shorter than new"
MEASURED_ONLY = "measured, not judged: no limit stated (--limit with the model's own)"


@click.command(cls=Calculator, name="wear")
@click.option("--pins", type=int, required=True, metavar="NUMBER", help="From the first to the last, both counted.")
@click.option(
    "--length",
    "lengths",
    type=MM,
    required=True,
    multiple=True,
    metavar="MM",
    help="Under tension; again for each place.",
)
@pitch_options
@click.option("--limit", metavar="LIMIT", help="The model's own: “0.8 %”, or the printed length over the same pins.")
@click.option("--uncertainty", type=MM, metavar="MM", help="Expanded (k = 2), of rule or caliper as it is used.")
@click.option(
    "--guard", type=Number(""), default="1", show_default=True, metavar="R", help="Guard band in uncertainties, 0 to 1."
)
@json_option
def wear(
    *,
    pins: int,
    lengths: tuple[Decimal, ...],
    pitch: Decimal | None,
    size: str | None,
    limit: str | None,
    uncertainty: Decimal | None,
    guard: Decimal,
    as_json: bool,
) -> None:
    """Wear of a chain, measured under tension; the worst counts."""
    span = span_of(pins, pitch_mm(pitch, size))
    if uncertainty is not None and not 0 <= uncertainty < span.pitch_mm:
        raise ValueError(f"an uncertainty of {uncertainty} mm is none of a rule or caliper; give it in mm, such as 0.5")
    if not 0 <= guard <= 1:
        raise ValueError(f"a guard band of {guard} uncertainties is not used; give 0 (simple acceptance) to 1")
    shown = _measured(span, lengths)
    length = lengths[worst(lengths)]
    judged = _judged(span, length, limit, uncertainty, guard)
    lines = (*shown.lines, *judged.lines)
    if doubt := span.caution(length):
        lines = (doubt, *lines)
    content = {**shown.content, **judged.content, "hardly_true": doubt is not None}
    show(Answer(content, lines, judged.warnings), as_json=as_json)


def _measured(span: Span, lengths: tuple[Decimal, ...]) -> Answer:
    wears = [span.wear_percent(length) for length in lengths]
    which = worst(lengths)
    content: dict[str, Any] = {
        "wear_percent": exact(wears[which]),
        "pitches": span.pitches,
        "nominal_mm": exact(span.nominal_mm),
        "length_mm": exact(lengths[which]),
        "place": which + 1,
        "places_percent": [exact(each) for each in wears],
    }
    place = f", the worst of {len(lengths)} places (number {which + 1})" if len(lengths) > 1 else ""
    line = (
        f"wear {places(wears[which], 2)} %{place}: {exact(lengths[which])} mm over {span.pitches} "
        f"{'pitch' if span.pitches == 1 else 'pitches'}, {exact(span.nominal_mm)} mm when new"
    )
    return Answer(content, (line,))


def _judged(span: Span, length: Decimal, limit: str | None, uncertainty: Decimal | None, guard: Decimal) -> Answer:
    stated = {} if uncertainty is None else {"uncertainty_percent": exact(span.share_percent(uncertainty))}
    if limit is None:
        return Answer({"verdict": NOT_JUDGED, **stated}, (MEASURED_ONLY,))
    percent = read_limit(limit, span)
    if span.wear_percent(length) < LEAST_BELIEVED:
        return Answer({"verdict": NOT_JUDGED, "limit_percent": exact(percent), **stated}, (SHORTER,))
    verdict = judge(span, length, percent, uncertainty, guard)
    limit_mm = span.nominal_mm * (100 + percent) / 100
    content: dict[str, Any] = {
        "verdict": verdict.word,
        "rule": verdict.rule,
        "limit_percent": exact(percent),
        "limit_mm": exact(limit_mm),
        **stated,
        "probability_in": None if verdict.probability is None else exact(verdict.probability),
    }
    how = "no uncertainty stated, so nothing is proved" if uncertainty is None else verdict.rule
    line = f"{verdict.word}: the limit is {places(percent, 2)} %, {places(limit_mm, 3)} mm ({how})"
    return Answer(content, (line,), (AS_A_SET,) if percent < span.wear_percent(length) else ())


@click.command(cls=Calculator, name="trend")
@click.option(
    "--at",
    "points",
    multiple=True,
    required=True,
    metavar="KM:PERCENT",
    help="A wear and where: 6000:0.3; again for each.",
)
@click.option("--limit", type=Number("%"), required=True, metavar="PERCENT", help="The model's own limit of wear.")
@click.option(
    "--uncertainty",
    type=Number("%"),
    metavar="PERCENT",
    help="Expanded (k = 2), of each wear; 0.1 % where none is told.",
)
@json_option
def trend(*, points: tuple[str, ...], limit: Decimal, uncertainty: Decimal | None, as_json: bool) -> None:
    """Wear of one chain by distance, and where it meets its limit."""
    if uncertainty is not None and not 0 < uncertainty <= MOST_PERCENT:
        raise ValueError(f"an uncertainty of {uncertainty} % is none of a wear; give it in percent, such as 0.1")
    sure = UNTOLD_PERCENT if uncertainty is None else float(uncertainty)
    if not 0 < limit <= MOST_PERCENT:
        raise ValueError(f"a limit of {limit} % wear is none; give the model's own, such as 0.6")
    read = [_point(text) for text in points]
    line = fit([float(km) for km, _ in read], [float(percent) for _, percent in read], sure_percent=sure)
    last_km, last = max(read)
    past = last > limit or line.is_past(limit, float(last_km))
    answer = _trend_answer(line, limit, float(last_km), past=past)
    lines = (*answer.lines, sure_words(sure, told=uncertainty is not None))
    show(answer._replace(lines=lines), as_json=as_json)


def _point(text: str) -> tuple[Decimal, Decimal]:
    km, colon, percent = text.partition(":")
    if not colon:
        raise ValueError(f'--at "{text[:40]}" is no wear at a distance; write KM:PERCENT, such as 6000:0.3')
    distance, wear_percent = read_number(re.sub(GROUPS, "", km), "km", "--at"), read_number(percent, "%", "--at")
    if not 0 <= distance <= MOST_KM or abs(wear_percent) > MOST_PERCENT:
        raise ValueError(f'--at "{text[:40]}" is no chain\'s; write its distance in km and its wear in percent')
    return distance, wear_percent


def _trend_answer(line: Trend, limit: Decimal, latest_km: float, *, past: bool) -> Answer:
    reach = None if past else line.reaches(float(limit))
    low, high = line.slope_interval
    content: dict[str, Any] = {
        "points": line.points,
        "slope_percent_per_km": exact(line.slope),
        "slope_low_percent_per_km": exact(low),
        "slope_high_percent_per_km": exact(high),
        "intercept_percent": exact(line.intercept_percent),
        "scatter_percent": exact(line.scatter_percent),
        "limit_percent": exact(limit),
        "past_limit": past,
        "distance_km": None if reach is None else exact(reach.distance_km),
        "distance_low_km": None if reach is None else exact(reach.low_km),
        "distance_high_km": None if reach is None or reach.high_km is None else exact(reach.high_km),
    }
    slope = (
        f"{line.points} points: {places(line.slope * 1000, 3)} % in 1000 km "
        f"({places(low * 1000, 3)} to {places(high * 1000, 3)})"
    )
    if past:
        return Answer(content, (f"past the limit of {exact(limit)} % now", slope), (AS_A_SET,))
    return Answer(
        content, (slope, *_reach_lines(reach, limit, latest_km)), ("Wear quickens near its end: measure again.",)
    )


def _reach_lines(reach: Reach | None, limit: Decimal, latest_km: float) -> tuple[str, ...]:
    if reach is None:
        return (NOT_RISING,)
    where = f"the line reaches {exact(limit)} % at {reach.distance_km:.0f} km"
    high = "" if reach.high_km is None else f" to {reach.high_km:.0f}"
    least = "" if high else "at least "
    few = "" if high else f"; too few points for an upper end, which takes {LEAST_FOR_BOTH_ENDS}"
    between = f"{where} (95 % interval {least}{reach.low_km:.0f}{high} km{few})"
    if reach.low_km <= latest_km:
        return (between, f"the latest measurement at {latest_km:.0f} km lies within that: judge the wear itself")
    return (between,)
