"""Words that an act chooses between, as people type them: in any case, with or without comma and hyphen.

A few short forms are known besides, each of which says all that its word says. What is stored is always the word
(decision 0065).
"""

from collections.abc import Iterable, Mapping
from typing import TypeVar

from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome, Slot
from torqueaudit.model.nearest import did_you_mean, letters_of

LOOKED = {"in order": "yes", "fault": "no"}  # what a look is answered with, and how it is stored
ANSWERS = ("yes", "no", "not applicable", *LOOKED)

_Word = TypeVar("_Word", bound=str)

OUTCOMES: Mapping[str, Outcome] = {
    "turned and clicked": Outcome.TURNED_CLICKED,
    "turned, clicked": Outcome.TURNED_CLICKED,
    "clicked, did not turn": Outcome.CLICKED_ONLY,
    "shown": Outcome.VALUE_SHOWN,
    "torque shown": Outcome.VALUE_SHOWN,
    "not reached": Outcome.NOT_REACHED,
    "torque not reached": Outcome.NOT_REACHED,
    "did not reach": Outcome.NOT_REACHED,
    "no wrench fits": Outcome.NO_WRENCH,
}
METHODS: Mapping[str, CheckMethod] = {"self": CheckMethod.SELF}
SLOTS: Mapping[str, Slot] = {"turned on": Slot.TURNED_ON}
SAID: Mapping[str, str] = {"y": "yes", "n": "no", "n/a": "not applicable"}


def read_outcome(text: str) -> Outcome:
    """What happened when a fastener was tightened. Raises ValueError, also for a click that does not say enough."""
    if letters_of(text) in {"clicked", "click"}:
        raise ValueError(f"{text}: did it turn before? Say “{Outcome.TURNED_CLICKED}” or “{Outcome.CLICKED_ONLY}”")
    return read_word(text, Outcome, OUTCOMES)


def read_mark(text: str) -> MarkState:
    """What was seen of a witness mark. Raises ValueError."""
    return read_word(text, MarkState)


def read_method(text: str) -> CheckMethod:
    """How the second person looked. Raises ValueError."""
    return read_word(text, CheckMethod, METHODS)


def read_slot(text: str) -> Slot:
    """How the slot of a castle nut came to the hole for its pin. Raises ValueError."""
    return read_word(text, Slot, SLOTS)


def read_answer(text: str) -> str:
    """What a step is answered with, one of `ANSWERS`. Raises ValueError."""
    return read_word(text, ANSWERS, SAID)


def read_word(text: str, known: Iterable[_Word], short: Mapping[str, _Word] | None = None) -> _Word:
    """The one of the known words that a text spells, or has a short form of. Raises ValueError with all of them."""
    words = tuple(known)
    found = {letters_of(spelling): word for spelling, word in (short or {}).items()}
    found |= {letters_of(word): word for word in words}
    if letters_of(text) not in found:
        choices = f"write {' or '.join(f'“{word}”' for word in words)}"
        raise ValueError(f"{text}: {did_you_mean(text, words, choices)}")
    return found[letters_of(text)]
