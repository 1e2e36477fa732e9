"""The card of a motorcycle's owner as JSON."""

from typing import TYPE_CHECKING

from torqueaudit.reports.json.values import Object, iso

if TYPE_CHECKING:
    from torqueaudit.model.shown.customer import CustomerView, Told


def customer_json(view: "CustomerView") -> Object:
    """What is known of an owner, what is due, and what was said on either side, the newest first."""
    return {
        "vehicle": view.vehicle,
        "tag": view.tag,
        "model": view.model,
        "known": [{"field": each.field, "value": each.value} for each in view.known],
        "consent": view.consent,
        "reminded_by": list(view.reminded_by),
        "others": [{"vehicle": each.number, "tag": each.tag} for each in view.others],
        "due": list(view.due),
        "said": [_told_json(each) for each in view.said],
        "reminders": [_told_json(each) for each in view.reminders],
        "disclosed": list(view.disclosed),
        "demo": view.demo,
    }


def _told_json(told: "Told") -> Object:
    return {"on": iso(told.on), "job": told.job or None, "says": told.says, "entry": told.entry}
