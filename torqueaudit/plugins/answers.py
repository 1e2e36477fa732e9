"""What one plugin answered: something that can be used, or what is wrong with it."""

from typing import Any, Generic, NamedTuple, TypeVar

T = TypeVar("T")


class WrongAnswer(Exception):  # a plugin's answer, and no fault of the program
    """What is wrong with an answer that came without an error, as the rest of a sentence about the plugin."""


class Answer(NamedTuple, Generic[T]):
    """What one plugin gives; nothing where there is a fault, which is what it raised, or a WrongAnswer."""

    plugin: str
    given: list[T]
    fault: Exception | None = None

    def says(self, doing: str) -> str:
        """The fault as the rest of a sentence about the plugin; `doing` is what it was asked for: "looked at it"."""
        if self.fault is None or isinstance(self.fault, WrongAnswer):
            return str(self.fault or "")
        return f"broke while it {doing} ({named(self.fault)})"


def named(fault: Exception) -> str:
    """A fault with the name of its class, "KeyError: 'gain'"; a wrong answer says enough without one."""
    return str(fault) if isinstance(fault, WrongAnswer) else f"{type(fault).__name__}: {fault}"


def list_of(kind: type[T], plugin: str, answer: Any, wrong: str) -> Answer[T]:
    """An answer that has to be a list of one kind of thing; `wrong` is said where it is none."""
    if isinstance(answer, Exception):
        return Answer(plugin, [], answer)
    if not isinstance(answer, list) or not all(isinstance(each, kind) for each in answer):
        return Answer(plugin, [], WrongAnswer(wrong))
    return Answer(plugin, answer)
