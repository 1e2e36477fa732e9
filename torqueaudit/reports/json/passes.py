"""The passes over a fastener as JSON."""

from torqueaudit.model.shown.passes import PassView, TighteningsView
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.reports.json.values import Object, digits, iso


def tightenings_json(view: TighteningsView) -> Object:
    """Every pass over one fastener or group, with the budget of its torque line by line."""
    return {
        "job": view.job,
        "fastener": view.fastener,
        "specified": view.specified,
        "source": view.source,
        "demo": view.demo,
        "passes": [_pass(each) for each in view.passes],
    }


def _pass(view: PassView) -> Object:
    return {
        "entry": view.entry,
        "position": view.position,
        "name": view.name,
        "stands": view.stands,
        "final": view.final,
        "by": view.by,
        "when": iso(view.when),
        "outcome": view.outcome,
        "wrench": view.wrench,
        "shown": view.shown,
        "applied_nm": digits(view.applied_nm),
        "expanded_nm": digits(view.expanded_nm),
        "beyond": view.beyond,
        "verdict": view.verdict,
        "decision_rule": view.decision_rule,
        "probability": digits(view.probability),
        "not_proved": view.not_proved,
        "budget": [_share(each) for each in view.budget],
        "cycles": view.cycles,
    }


def _share(line: BudgetLine) -> Object:
    return {"name": line.name, "relative": digits(line.relative)}
