"""Findings of several bolts that say the same, said together."""

from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.sentences import names_together, together


def finding(
    subject: str,
    rest: str = "not marked.",
    weight: Weight = Weight.STOP,
    rule: str = "workshop_rules/not-marked",
    entry: int = 1,
) -> Finding:
    """A finding whose sentence begins with its subject, as those of the rules do."""
    return Finding(rule=rule, weight=weight, subject=subject, says=f"{subject}: {rest}", entry=entry)


def test_bolts_of_a_group_are_said_in_one_sentence() -> None:
    """Each number stands in it, and each finding behind it."""
    found = [finding("bolt 1"), finding("bolt 2"), finding("bolt 5")]
    (said,) = together(found)

    assert ("bolt 1, 2, 5: not marked.", tuple(found)) == (said.says, said.findings)


def test_one_alone_keeps_its_own_words() -> None:
    """Nothing to say together."""
    assert ["axle nut: not marked."] == [each.says for each in together([finding("axle nut")])]


def test_what_differs_is_said_apart_and_in_its_order() -> None:
    """Another rule, weight, group or sentence is another thing to do."""
    found = [
        finding("bolt 1"),
        finding("nut 1"),
        finding("bolt 2", weight=Weight.NOTE),
        finding("bolt 3", rule="workshop_rules/not-checked"),
        finding("bolt 4", "not marked, and why."),
        finding("bolt 5"),
    ]
    expected = [
        "bolt 1, 5: not marked.",
        "nut 1: not marked.",
        "bolt 2: not marked.",
        "bolt 3: not marked.",
        "bolt 4: not marked, and why.",
    ]

    assert expected == [each.says for each in together(found)]


def test_a_bolt_that_is_found_twice_is_named_once() -> None:
    """Two entries can cause the same sentence."""
    found = [finding("bolt 1", entry=1), finding("bolt 1", entry=2), finding("bolt 3", entry=3)]
    (said,) = together(found)

    assert ("bolt 1, 3: not marked.", 3) == (said.says, len(said.findings))


def test_a_sentence_that_does_not_begin_with_its_subject_stays_whole() -> None:
    """A plugin may write it otherwise."""
    found = [
        Finding(rule="rule", weight=Weight.STOP, subject="vehicle", says="bike-3: stands on a slope.", entry=entry)
        for entry in (1, 2)
    ]

    assert ["bike-3: stands on a slope."] == [each.says for each in together(found)]


def test_nothing_found_says_nothing() -> None:
    """No findings, no sentences."""
    assert together([]) == []


def test_names_of_a_group_are_said_once() -> None:
    """Twelve times "bolt" would hide the one nut."""
    expected = "sprocket bolt 1, 3; rear axle nut; M8 stud 2"
    actual = names_together(["sprocket bolt 1", "sprocket bolt 3", "rear axle nut", "M8 stud 2"])

    assert expected == actual
