"""Findings of several bolts that say the same, said together."""

from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.sentences import names_together, together, whole_sentence
from torqueaudit.model.judged.subject import Subject


def finding(
    about: Subject,
    words: str = "not marked.",
    weight: Weight = Weight.STOP,
    rule: str = "workshop_rules/not-marked",
    entry: int = 1,
) -> Finding:
    """What a rule says of one fastener."""
    return Finding(rule=rule, weight=weight, about=about, words=words, entry=entry)


def bolt(number: int) -> Subject:
    """One bolt of the group."""
    return Subject("bolt", number)


def test_bolts_of_a_group_are_said_in_one_sentence() -> None:
    """Each number stands in it, and each finding behind it."""
    found = [finding(bolt(1)), finding(bolt(2)), finding(bolt(5))]
    (said,) = together(found)

    assert ("bolt 1, 2, 5: not marked.", tuple(found)) == (said.says, said.findings)


def test_one_alone_keeps_its_own_words() -> None:
    """Nothing to say together."""
    assert ["axle nut: not marked."] == [each.says for each in together([finding(Subject("axle nut"))])]


def test_what_differs_is_said_apart_and_in_its_order() -> None:
    """Another rule, weight, group or sentence is another thing to do."""
    found = [
        finding(bolt(1)),
        finding(Subject("nut", 1)),
        finding(bolt(2), weight=Weight.NOTE),
        finding(bolt(3), rule="workshop_rules/not-checked"),
        finding(bolt(4), "not marked, and why."),
        finding(bolt(5)),
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
    found = [finding(bolt(1), entry=1), finding(bolt(1), entry=2), finding(bolt(3), entry=3)]
    (said,) = together(found)

    assert ("bolt 1, 3: not marked.", 3) == (said.says, len(said.findings))


def test_what_is_called_otherwise_is_said_by_that_name_once() -> None:
    """A vehicle by its tag; or by no name at all, where the sentence needs none."""
    stands = finding(Subject("vehicle"), "stands on a slope.")._replace(called="bike-3")
    heard = finding(Subject("cause"), "no cause found yet.")._replace(called="")

    assert ["bike-3: stands on a slope."] == [each.says for each in together([stands, stands._replace(entry=2)])]
    assert ["no cause found yet."] == [each.says for each in together([heard])]


def test_nothing_found_says_nothing() -> None:
    """No findings, no sentences."""
    assert together([]) == []


def test_names_of_a_group_are_said_once() -> None:
    """Twelve times "bolt" would hide the one nut."""
    expected = "sprocket bolt 1, 3; rear axle nut; M8 stud 2"
    actual = names_together(
        [Subject("sprocket bolt", 1), Subject("sprocket bolt", 3), Subject("rear axle nut"), Subject("M8 stud", 2)]
    )

    assert expected == actual


def test_a_sentence_begins_and_ends_as_one() -> None:
    """Once, whatever it ends with, and the rest stays as it was."""
    expected = ["W-1 is out.", "Is it W-1?", "It is. W-2 is not.", "A lever is in mm."]
    actual = [whole_sentence(each) for each in ("W-1 is out", "is it W-1?", "it is. W-2 is not.", "a lever is in mm")]

    assert expected == actual
