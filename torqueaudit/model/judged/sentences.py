"""Findings said together where they say the same of several bolts of a group."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from torqueaudit.model.judged.finding import Finding, Weight

NUMBERED = re.compile(r"(.+) (\d+)")


class Saying(NamedTuple):
    """One sentence for one or more findings of one rule."""

    weight: Weight
    rule: str
    says: str
    findings: tuple[Finding, ...]


def together(findings: Iterable[Finding]) -> list[Saying]:
    """The findings in their order; "bolt 1: not marked", "bolt 2: not marked" become "bolt 1, 2: not marked"."""
    groups: dict[tuple[Weight, str, str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.weight, finding.rule, _stem(finding.subject), _rest(finding)), []).append(finding)
    return [
        Saying(weight, rule, _sentence(stem, rest, members), tuple(members))
        for (weight, rule, stem, rest), members in groups.items()
    ]


def names_together(names: Iterable[str]) -> str:
    """Names in their order, with the numbers of a group behind its name: "sprocket bolt 1, 2, 3; rear axle nut"."""
    groups: dict[str, list[str]] = {}
    for name in names:
        stem = _stem(name)
        groups.setdefault(stem, []).extend([name.removeprefix(f"{stem} ")] * (stem != name))
    return "; ".join(f"{stem} {', '.join(numbers)}" if numbers else stem for stem, numbers in groups.items())


def _stem(subject: str) -> str:
    matched = NUMBERED.fullmatch(subject)
    return matched[1] if matched else subject


def _rest(finding: Finding) -> str:
    """The sentence behind the subject; a sentence that does not begin with it is kept whole."""
    return finding.says.removeprefix(f"{finding.subject}: ")


def _sentence(stem: str, rest: str, members: list[Finding]) -> str:
    if len({member.says for member in members}) == 1:
        return members[0].says
    numbers = dict.fromkeys(matched[2] for member in members if (matched := NUMBERED.fullmatch(member.subject)))
    return f"{stem} {', '.join(numbers)}: {rest}" if numbers else f"{stem}: {rest}"
