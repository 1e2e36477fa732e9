"""A wrench put right by an entry: its range, lever, kind, tag and what else it was entered with."""

from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.wrench import UseView
from torqueaudit.model.wrench.acts import WrenchChange
from torqueaudit.model.wrench.entries import fold_wrench, stated_in
from torqueaudit.model.wrench.words import change_text
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.uses import uses_put_right
from torqueaudit.workshop.wrenches.wrench import day_of, require_fitting_class, require_wrench, stated


class WrenchChanged(NamedTuple):
    """What was put right of a wrench, in which entry, and what it did while it was taken for something else."""

    wrench: str
    entry: int
    says: str
    uses: tuple[UseView, ...]


def change_wrench(workshop: Workshop, number: str, told: WrenchChange, say: Say) -> WrenchChanged:
    """Record what a wrench is otherwise than it was entered, as a foreman.

    What was judged with it stays as it was; from now on the corrected facts count, also where what it did before is
    judged today. Raises Refused where nothing is new, and for what no wrench can be (see `stated`).
    """
    subject, said = f"wrench/{number}", stated(workshop, told)

    def build(attempt: Attempt) -> list[Draft]:
        entries = attempt.entries(subject) if number.startswith("W-") else []
        if not entries:
            raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
        news = _news(fold_wrench(entries), said)
        return [attempt.draft(subject, "changed.1", news, {"on": day_of(attempt)})]

    return _changed(workshop, record(workshop, say, ActName.CHANGE_WRENCH, subject, said, build)[0])


def _news(wrench: Wrench, said: dict[str, Any]) -> dict[str, Any]:
    """Of what is told what is new. Refused where nothing is, and where a scale would be as wide as the range."""
    now = stated_in(said)
    after = wrench._replace(**now)
    new = {name for name in now if getattr(after, name) != getattr(wrench, name)}
    if "direction_stated" in new:
        new.add("direction")
    if "lever_expanded_mm" in new:
        new.add("lever_mm")  # the one it is of, for a U that is left out is told by nothing else
    if not new:
        raise Refused(f"{wrench.number}: nothing of this is new, so nothing is recorded")
    require_fitting_class(after.kind, after.construction, after.iso_class)
    for scale in after.scales:
        if after.max_nm is not None and scale.division * scale.unit_nm >= after.max_nm:
            raise Refused(f"a division of {scale.division:f} {scale.unit} is as wide as the whole scale")
    return {name: value for name, value in said.items() if name in new}


def _changed(workshop: Workshop, entry: Entry) -> WrenchChanged:
    wrench = require_wrench(workshop, entry.key)
    says = next((change_text(wrench, each) for each in wrench.changes if each.entry == entry.sequence), "")
    return WrenchChanged(entry.key, entry.sequence, says, tuple(uses_put_right(workshop, wrench)))
