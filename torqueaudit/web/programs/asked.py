"""What a program asks for, and one address that answers it: the row of the table in `routes.py`."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.read.day import read_day

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.reports.json.schema.terms import Schema
    from torqueaudit.web.asking import Asking
    from torqueaudit.workshop.door.workshop import Workshop

Typed: TypeAlias = str | int | date
_WHOLE, _DAY = re.compile("[0-9]{1,15}"), re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


class BadQuery(ValueError):
    """What stands behind the question mark of an address cannot be read; the sentence says why."""


class Word(NamedTuple):
    """One word of a query: what it says, and its schema. `default` is what counts where it is not given."""

    name: str
    says: str
    schema: "Schema"
    default: Typed | None = None
    required: bool = False

    def read(self, text: str) -> Typed:
        """What was told. Raises BadQuery."""
        if self.schema["type"] == "integer":
            return self._whole(text)
        if self.schema.get("format") == "date":
            return self._day(text)
        if not re.search(self.schema.get("pattern", ""), text) or len(text) > self.schema["maxLength"]:
            raise BadQuery(f"{self.name}: {self.says}")
        return text

    def _day(self, text: str) -> date:
        if not _DAY.fullmatch(text):  # ISO 8601 has other forms, which the description does not
            raise BadQuery(f"{self.name}: write a date as 2031-04-02.")
        try:
            return read_day(text)
        except ValueError as error:
            raise BadQuery(f"{self.name}: {error}.") from None

    def _whole(self, text: str) -> int:
        least, most = self.schema["minimum"], self.schema["maximum"]
        if not _WHOLE.fullmatch(text) or not least <= int(text) <= most:
            raise BadQuery(f"{self.name}: give a whole number from {least} to {most}.")
        return int(text)


class Asked(NamedTuple):
    """One question: of which workshop, by whom, what stands in the address, and what behind its question mark.

    `job_of` gives the number of the job of a label's token, and ends the request where there is none.
    """

    workshop: "Workshop"
    asking: "Asking"
    job_of: Callable[[str], str]
    address: Mapping[str, str]
    query: Mapping[str, Typed | None]

    @property
    def say(self) -> "Say":
        """Who is shown something."""
        return self.asking.say


class Answer(NamedTuple):
    """What one address gives as data: made by `ask`, as `schema` says it.

    `columns` are those of the table that a list is given as too ("overload.on" lies within "overload"); `table` makes
    one of its own. `role` is the least that a program has to be let in for; None where no program is given it.
    """

    path: str
    says: str
    ask: Callable[[Asked], Any]
    schema: "Schema"
    role: ProgramRole | None = ProgramRole.READS
    query: tuple[Word, ...] = ()
    columns: tuple[str, ...] = ()
    rows: "Callable[[Any], Sequence[Mapping[str, Any]]]" = list
    table: Callable[[Asked], bytes] | None = None
    refused: int = 404  # the code where the workshop refuses (RFC 9110)

    @property
    def has_table(self) -> bool:
        """Whether it is given as CSV too."""
        return bool(self.columns or self.table)

    def read(self, told: Mapping[str, Sequence[str]]) -> dict[str, Typed | None]:
        """What stands behind the question mark, each word once. Raises BadQuery."""
        words = {word.name: word for word in self.query}
        if unknown := sorted(told.keys() - words.keys()):
            known = ", ".join(words) or "none"
            raise BadQuery(f"{unknown[0]}: this address knows no such word; it takes {known}.")
        if twice := next((name for name, values in told.items() if len(values) > 1), ""):
            raise BadQuery(f"{twice}: give it once.")
        return {name: self._one(word, told) for name, word in words.items()}

    @staticmethod
    def _one(word: Word, told: Mapping[str, Sequence[str]]) -> Typed | None:
        if word.name in told:
            return word.read(told[word.name][0])
        if word.required:
            raise BadQuery(f"{word.name}: is missing; {word.says}")
        return word.default
