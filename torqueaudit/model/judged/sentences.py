"""Findings said together where they say the same of several bolts of a group."""

from collections.abc import Iterable
from typing import NamedTuple

from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.subject import Subject


class Saying(NamedTuple):
    """One sentence for one or more findings of one rule."""

    weight: Weight
    rule: str
    says: str
    findings: tuple[Finding, ...]


def together(findings: Iterable[Finding]) -> list[Saying]:
    """The findings in their order; "bolt 1: not marked", "bolt 2: not marked" become "bolt 1, 2: not marked"."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for each in findings:
        alike = (each.weight, each.rule, each.called, each.about.name, each.words)
        groups.setdefault(alike, []).append(each)
    return [Saying(each[0].weight, each[0].rule, said_of(each), tuple(each)) for each in groups.values()]


def said_of(alike: list[Finding]) -> str:
    """One sentence for findings that differ in what they are about alone."""
    first = alike[0]
    named = names_together(each.about for each in alike)
    return f"{named}: {first.words}" if first.called is None else first.says


def names_together(subjects: Iterable[Subject]) -> str:
    """Names in their order, with the numbers of a group behind its name: "sprocket bolt 1, 2, 3; rear axle nut"."""
    groups: dict[str, dict[str, None]] = {}
    for subject in subjects:
        numbers = groups.setdefault(subject.name, {})
        if subject.number is not None:
            numbers[str(subject.number)] = None
    return "; ".join(_with_numbers(name, numbers) for name, numbers in groups.items())


def _with_numbers(name: str, numbers: Iterable[str]) -> str:
    return f"{name} {', '.join(numbers)}".rstrip()
