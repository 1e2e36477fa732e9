"""The answer to the bench question, as lines for whoever holds the wrench and as data."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from torqueaudit.plugin import applied_text, likely_text, share_text, torque_text
from torqueaudit.plugin.commands import BenchAnswer, StageSetting

ALWAYS = (
    "The vehicle maker's manual prevails; this works from what the procedure says and supplies no specification. "
    "Never put a pipe on the handle."
)


def as_lines(answer: BenchAnswer) -> Iterator[str]:
    """What to set first, then what that reaches, then what to heed."""
    yield f"{answer.fastener}: {answer.specified}"
    if answer.derived:
        yield f"  {answer.derived}"
    if answer.setting is None:
        yield f"NOT with wrench {answer.wrench}: {answer.why_not}."
        yield (
            f"Take {' or '.join(answer.instead)}."
            if answer.instead
            else "No other wrench of this workshop can either, with what is fitted."
        )
        yield from answer.cautions
        yield ALWAYS
        return
    verb = "Turn until wrench {} shows" if answer.kind == "indicating" else "Set wrench {} to"
    fitted = f", {answer.calibrated_with}" if answer.calibrated_with else ""
    yield f"{verb.format(answer.wrench)} {answer.setting:f} {answer.unit}{fitted}"
    if answer.stages:
        yield f"  stages before that: {', then '.join(_stage(answer, each) for each in answer.stages)}"
    yield f"  reaches {_reached(answer)}: {answer.verdict} ({_judged(answer)})"
    yield from (f"  {share_text(line)}" for line in answer.budget)
    yield from answer.cautions
    yield ALWAYS


def as_data(answer: BenchAnswer) -> dict[str, Any]:
    """The answer with decimal strings; `setting` and what follows from it are null where it cannot be done."""
    data = answer._asdict()
    for name in ("setting", "applied_nm", "expanded_uncertainty_nm", "probability"):
        data[name] = _decimal(data[name])
    data["stages"] = [_stage_data(each) for each in answer.stages]
    data["budget"] = [{"name": line.name, "relative": _decimal(line.relative)} for line in answer.budget]
    return {**data, "warnings": [ALWAYS]}


def _stage(answer: BenchAnswer, stage: StageSetting) -> str:
    if stage.aim_nm is None:
        return f"by {stage.written}"
    if stage.setting is None:
        return f"{torque_text(stage.aim_nm)} ({stage.written}), which this wrench does not reach: take another for it"
    setting = f"{stage.setting:f} {answer.unit}"
    return setting if setting == stage.written else f"{setting} ({stage.written})"


def _stage_data(stage: StageSetting) -> dict[str, str | None]:
    return {"stage": stage.written, "setting": _decimal(stage.setting), "aim_nm": _decimal(stage.aim_nm)}


def _reached(answer: BenchAnswer) -> str:
    coverage = "" if answer.expanded_uncertainty_nm is None else " (k = 2)"
    return f"{applied_text(answer.applied_nm or Decimal(0), answer.expanded_uncertainty_nm)}{coverage}"


def _judged(answer: BenchAnswer) -> str:
    likely = "" if answer.probability is None else f", {likely_text(answer.probability)}"
    return f"{answer.decision_rule}{likely}"


def _decimal(number: Decimal | None) -> str | None:
    return None if number is None else format(number, "f")
