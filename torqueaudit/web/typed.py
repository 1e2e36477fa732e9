"""What a form brought: the fields by name, as they were typed."""

from collections.abc import Iterable, Iterator

from werkzeug.datastructures import MultiDict

from torqueaudit.model.act import Refused

LONGEST = 500  # characters of one field; what is longer belongs into a paper


class Typed:
    """The fields of one form; what was not sent is empty."""

    def __init__(self, fields: "MultiDict[str, str]") -> None:
        self._fields = fields

    def one(self, name: str) -> str:
        """A field, without the spaces around it."""
        told = self._fields.get(name, "").strip()
        if len(told) > LONGEST:
            raise Refused(f"at most {LONGEST} characters can be told here; “{told[:20]}…” has {len(told)}")
        return told

    def each(self) -> Iterator[tuple[str, str]]:
        """Every field with what stands in it, as often as it is there."""
        yield from ((name, told.strip()) for name, told in self._fields.items(multi=True))

    def has(self, *begins: str) -> bool:
        """Whether anything was typed into a field whose name begins so."""
        return any(told and name.startswith(begins) for name, told in self.each())

    def other(self, name: str) -> str:
        """A field, "" where it stands as the page showed it, which the form says beside it."""
        told = self.one(name)
        return "" if told == self.one(f"was-{name}") else told

    def every(self, name: str) -> tuple[str, ...]:
        """A field that may be there several times; those left empty are not told."""
        return tuple(text for each in self._fields.getlist(name) if (text := each.strip()))

    def whole(self, name: str) -> tuple[str, ...]:
        """A field as often as it is there, with the spaces around it: of a table, in which they are empty cells."""
        return tuple(self._fields.getlist(name))

    def without(self, *names: str) -> "Typed":
        """The form as if some of its fields had not been sent."""
        return Typed(MultiDict((name, told) for name, told in self._fields.items(multi=True) if name not in names))

    def chosen(self, name: str, known: Iterable[str]) -> str:
        """A field that holds one of the known words. Raises Refused for any other."""
        told = self.one(name)
        if told not in known:
            raise Refused("nothing was chosen; tap one of the answers")
        return told

    def number(self, name: str) -> int:
        """A field that holds a whole number from 0 on, 0 where it was left empty. Raises Refused."""
        told = self.one(name) or "0"
        if not (told.isascii() and told.isdecimal()) or len(told) > 9:  # noqa: PLR2004  # digits
            raise Refused(f"{told[:20]}: write a whole number in digits")
        return int(told)
