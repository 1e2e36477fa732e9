"""Findings said together where they say the same of several bolts of a group."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from torqueaudit.model.act import See, plainly
from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.subject import Subject, subject_at
from torqueaudit.model.procedure.procedure import Fastener


class Saying(NamedTuple):
    """One sentence for one or more findings of one rule."""

    weight: Weight
    rule: str
    sentence: str
    see: See | None
    findings: tuple[Finding, ...]

    @property
    def says(self) -> str:
        """The sentence in plain words."""
        return plainly(self.sentence, self.see)


def together(findings: Iterable[Finding]) -> list[Saying]:
    """The findings in their order; "bolt 1: not marked", "bolt 2: not marked" become "bolt 1, 2: not marked"."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for each in findings:
        alike = (each.weight, each.rule, each.called, each.about.name, each.words, each.see)
        groups.setdefault(alike, []).append(each)
    return [_saying(alike) for alike in groups.values()]


def stops_text(count: int) -> str:
    """So many stops, in words: "no stop", "1 stop", "2 stops"."""
    return f"{count or 'no'} stop{'s' * (count > 1)}"


def sentence(text: str) -> str:
    """A text that ends as a sentence does."""
    return text if text.endswith((".", "!", "?")) else f"{text}."


def with_capital(text: str) -> str:
    """A text that begins as a sentence does."""
    return text[:1].upper() + text[1:]


def whole_sentence(text: str) -> str:
    """A text that begins and ends as a sentence does."""
    return sentence(with_capital(text))


def said_of(alike: list[Finding]) -> str:
    """One sentence for findings that differ in what they are about alone."""
    first = alike[0]
    named = names_together(each.about for each in alike)
    return f"{named}: {first.words}" if first.called is None else first.sentence


def _saying(alike: list[Finding]) -> Saying:
    first = alike[0]
    return Saying(weight=first.weight, rule=first.rule, sentence=said_of(alike), see=first.see, findings=tuple(alike))


def names_together(subjects: Iterable[Subject]) -> str:
    """Names in their order, with the numbers of a group behind its name: "sprocket bolt 1, 2, 3; rear axle nut"."""
    groups: dict[str, dict[str, None]] = {}
    for subject in subjects:
        numbers = groups.setdefault(subject.name, {})
        if subject.number is not None:
            numbers[str(subject.number)] = None
    return "; ".join(_with_numbers(name, numbers) for name, numbers in groups.items())


def bolts_together(fastener: Fastener, positions: Collection[str]) -> str:
    """Which of a group: "sprocket bolt 3 of 5", "sprocket bolt 1, 2, 4", "sprocket bolt 1 to 5"."""
    if fastener.size > 1 and len(positions) == fastener.size:
        return f"{fastener.name} 1 to {fastener.size}"
    ordered = sorted(positions, key=fastener.positions.index)
    of = f" of {fastener.size}" if fastener.size > 1 and len(positions) == 1 else ""
    return f"{names_together(subject_at(fastener, each) for each in ordered)}{of}"


def _with_numbers(name: str, numbers: Iterable[str]) -> str:
    return f"{name} {', '.join(numbers)}".rstrip()
