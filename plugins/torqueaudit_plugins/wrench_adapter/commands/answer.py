"""The answer to the bench question, as lines for whoever holds the wrench and as data."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from torqueaudit.plugin import BudgetLine, applied_text, at_seat_text, likely_text, share_text, torque_text
from torqueaudit.plugin.commands import BenchAnswer, ChoiceView, JudgedView, StageSetting

ALWAYS = (
    "The vehicle maker's manual prevails; this works from what the procedure says and supplies no specification. "
    "Never put a pipe on the handle."
)


def as_lines(answer: BenchAnswer) -> Iterator[str]:
    """What to set first, then what that reaches, then what to heed."""
    yield f"{answer.fastener}: {answer.specified}"
    if answer.derived:
        yield f"  {answer.derived}"
    if answer.choice and answer.instead:
        yield f"Rather take {' or '.join(answer.instead)}."
    yield from _chosen(answer, answer.choice) if answer.choice else _not_with_it(answer)
    yield from answer.cautions
    yield ALWAYS


def _not_with_it(answer: BenchAnswer) -> Iterator[str]:
    yield f"NOT with wrench {answer.wrench}: {answer.why_not}."
    if answer.instead:
        yield f"Take {' or '.join(answer.instead)}."
    else:
        fitted = ", with what is fitted" if answer.fitted else ""
        yield f"No other wrench of this workshop can either{fitted}."


def _chosen(answer: BenchAnswer, choice: ChoiceView) -> Iterator[str]:
    verb = "Turn until wrench {} shows" if answer.kind == "indicating" else "Set wrench {} to"
    fitted = f", {choice.calibrated_with}" if choice.calibrated_with else ""
    yield f"{verb.format(answer.wrench)} {choice.setting:f} {answer.unit}{fitted}"
    yield from (f"  with {each}" for each in answer.fitted)
    if choice.stages:
        yield f"  stages before that: {', then '.join(_stage(answer.unit, each) for each in choice.stages)}"
    if choice.at_slot is not None:
        click = "" if answer.kind == "indicating" else ", where it must not click"
        yield f"  turned on to the next slot: at most {choice.at_slot:f} {answer.unit}{click}"
    nm, expanded_nm = choice.applied_nm, choice.expanded_nm
    if choice.seat:
        nm, expanded_nm = choice.seat.nm, choice.seat.expanded_nm
    reached = applied_text(nm, expanded_nm)
    if choice.drag:
        reached = at_seat_text(choice.applied_nm, choice.drag.nm, reached)
    reached += "" if expanded_nm is None else " (k = 2)"
    yield f"  reaches {reached}: {choice.judged.verdict} ({_judged(choice.judged)})"
    drag = choice.drag.lines if choice.drag else ()
    yield from (f"  {share_text(line)}" for line in (*choice.budget, *drag))


def as_data(answer: BenchAnswer) -> dict[str, Any]:
    """The answer with decimal strings; `setting` and what follows from it are null where it cannot be done."""
    choice = _choice_data(answer.choice) if answer.choice else NO_CHOICE
    return {
        "job": answer.job,
        "fastener": answer.fastener,
        "specified": answer.specified,
        "derived": answer.derived,
        "wrench": answer.wrench,
        "fitted": list(answer.fitted),
        "kind": answer.kind,
        "possible": answer.choice is not None,
        "setting": choice["setting"],
        "unit": answer.unit,
        "applied_nm": choice["applied_nm"],
        "expanded_uncertainty_nm": choice["expanded_uncertainty_nm"],
        "verdict": choice["verdict"],
        "decision_rule": choice["decision_rule"],
        "probability": choice["probability"],
        "budget": choice["budget"],
        "cautions": list(answer.cautions),
        "why_not": answer.why_not,
        "instead": list(answer.instead),
        "calibrated_with": choice["calibrated_with"],
        "stages": choice["stages"],
        "at_slot": choice["at_slot"],
        "drag_nm": choice["drag_nm"],
        "drag_budget": choice["drag_budget"],
        "seat_nm": choice["seat_nm"],
        "seat_expanded_nm": choice["seat_expanded_nm"],
        "warnings": [ALWAYS],
    }


NO_CHOICE: dict[str, Any] = {
    "setting": None,
    "applied_nm": None,
    "expanded_uncertainty_nm": None,
    "verdict": "",
    "decision_rule": "",
    "probability": None,
    "budget": [],
    "calibrated_with": "",
    "stages": [],
    "at_slot": None,
    "drag_nm": None,
    "drag_budget": [],
    "seat_nm": None,
    "seat_expanded_nm": None,
}


def _choice_data(choice: ChoiceView) -> dict[str, Any]:
    return {
        "setting": _decimal(choice.setting),
        "applied_nm": _decimal(choice.applied_nm),
        "expanded_uncertainty_nm": _decimal(choice.expanded_nm),
        "verdict": choice.judged.verdict,
        "decision_rule": choice.judged.decision_rule,
        "probability": _decimal(choice.judged.probability),
        "budget": _lines(choice.budget),
        "calibrated_with": choice.calibrated_with,
        "stages": [_stage_data(each) for each in choice.stages],
        "at_slot": _decimal(choice.at_slot),
        "drag_budget": _lines(choice.drag.lines if choice.drag else ()),
        "drag_nm": _decimal(choice.drag.nm if choice.drag else None),
        "seat_nm": _decimal(choice.seat.nm if choice.seat else None),
        "seat_expanded_nm": _decimal(choice.seat.expanded_nm if choice.seat else None),
    }


def _lines(budget: tuple[BudgetLine, ...]) -> list[dict[str, Any]]:
    return [{"name": line.name, "relative": _decimal(line.relative), "adds": line.adds} for line in budget]


def _stage(unit: str, stage: StageSetting) -> str:
    if stage.aim_nm is None:
        return f"by {stage.written}"
    if stage.setting is None:
        return f"{torque_text(stage.aim_nm)} ({stage.written}), which this wrench does not reach: take another for it"
    setting = f"{stage.setting:f} {unit}"
    return setting if setting == stage.written else f"{setting} ({stage.written})"


def _stage_data(stage: StageSetting) -> dict[str, str | None]:
    return {"stage": stage.written, "setting": _decimal(stage.setting), "aim_nm": _decimal(stage.aim_nm)}


def _judged(judged: JudgedView) -> str:
    likely = "" if judged.probability is None else f", {likely_text(judged.probability)}"
    return f"{judged.decision_rule}{likely}"


def _decimal(number: Decimal | None) -> str | None:
    return None if number is None else format(number, "f")
