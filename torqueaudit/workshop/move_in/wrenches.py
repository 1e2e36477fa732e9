"""A torque wrench of a workshop's own list: looked at as if it were entered by hand, then entered.

It is known again by its key in the list, or else by all that is said of it: nothing of that is anybody's.
"""

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.entry import Draft, hash_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.move_in.mapping import WrenchColumns
from torqueaudit.model.move_in.rows import ListedWrench
from torqueaudit.model.nearest import letters_of
from torqueaudit.model.register.permits import IMPORT, ActName
from torqueaudit.model.wrench.entries import NOT_STATED, stated_in
from torqueaudit.model.wrench.words import facts_of
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.read.wrench_row import read_wrench_row
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.names import refuse_personal
from torqueaudit.workshop.door.numbers import number_new
from torqueaudit.workshop.move_in.rows import Comes, RowLook
from torqueaudit.workshop.wrenches.wrench import cut_text, due_of, entered_with, wrenches

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


class WrenchLooks:
    """Looks at row after row of a list, each behind those before it."""

    def __init__(self, workshop: "Workshop", means: WrenchColumns, sign: str) -> None:
        self._workshop = workshop
        self._means = means
        self._sign = sign
        self._rows: dict[str, tuple[int, ListedWrench]] = {}
        self._tags = {letters_of(each.tag): each.number for each in wrenches(workshop)}

    def look(self, row: LogRow) -> RowLook:
        """What a row would do."""
        try:
            told = read_wrench_row(row, self._means, self._sign, self._workshop.plugins.units)
            said = entered_with(self._workshop, told.new)
            id_ = id_of(told, said)
            if there := self._again(id_, told):
                return RowLook(row, Comes.THERE, there[1], number=there[0], told=told)
            refuse_personal(self._workshop, said)
            self._require_free(told)
        except (ValueError, Refused) as why:
            return RowLook(row, Comes.WRONG, str(why))
        self._rows[id_] = (row.line, told)
        self._tags[letters_of(told.new.tag)] = f"line {row.line}"
        return RowLook(row, Comes.ENTERED, self._says(told, said), told=told)

    def _again(self, id_: str, told: ListedWrench) -> tuple[str, str] | None:
        """The wrench that a row is, with a sentence, where it is there or stands above."""
        if id_ in self._rows:
            line, other = self._rows[id_]
            if other != told:
                raise Refused(f"line {line} has this key, and says something else; leave one of them out")
            return "", f"the same as line {line}"
        before = self._workshop.book.of_act(id_)
        return (before[0].key, f"as {before[0].key}") if before else None

    def _require_free(self, told: ListedWrench) -> None:
        if other := self._tags.get(letters_of(told.new.tag)):
            says = f"{other} is called {told.new.tag} too. If it is the same one, leave this row out"
            raise Refused(f"{says}; if not, give it a tag of its own, for it is taken by that")

    def _says(self, told: ListedWrench, said: Mapping[str, Any]) -> str:
        new, months = told.new, self._workshop.settings.calibration_months
        due = due_of(Attempt(self._workshop, Say(IMPORT)), new.due_on).get("due_on", "")
        facts = [
            f"{new.tag}: {new.kind}",
            *_facts(said),
            f"lent by {new.owner}" if new.owner else "",
            f"due by {due}" if due else "",
            cut_text(new.due_on, date.fromisoformat(due), months) if due else "",
        ]
        return "; ".join(filter(None, facts))


def _facts(said: Mapping[str, Any]) -> list[str]:
    """What a row states of a wrench besides tag and kind, as its own page says it."""
    nothing = {**NOT_STATED, "number": "", "kind": said["kind"], "tag": said["tag"], "due_on": None, "withdrawn": ""}
    unsaid, facts = facts_of(Wrench(**nothing)), facts_of(Wrench(**nothing | stated_in(said)))
    return [f"{name} {says}" for name, says in facts.items() if says != unsaid[name]]


def id_of(told: ListedWrench, said: Mapping[str, Any]) -> str:
    """By what a row is known again, wherever it stands."""
    return f"moved-{hash_of(canonical({'key': told.key} if told.key else dict(said)))}"


def enter_wrench_row(workshop: "Workshop", told: ListedWrench, whence: Mapping[str, Any], say: Say) -> str:
    """Enter a row as what the import itself says; returns the number of the wrench.

    `whence` tells who had it read, of which file and line. Raises Refused, and IdUsed where a wrench of this key says
    something else.
    """
    said = entered_with(workshop, told.new)

    def build(attempt: Attempt) -> list[Draft]:
        subject = number_new(attempt, "wrench", "W", {})
        return [attempt.draft(subject, "entered.1", said, {**due_of(attempt, told.new.due_on), **whence})]

    itself = say._replace(id=id_of(told, said))
    return record(workshop, itself, ActName.MOVE_WRENCH_IN, "wrench", said, build)[0].key
