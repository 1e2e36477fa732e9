"""Words that name somebody are erased: the entry stays, and says when and by whom."""

from typing import Any

import pytest

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.record import FastenerState
from torqueaudit.model.register.permits import ActName
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.ledger import faults, ledger_entries
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop

TIGHT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
"""
LOOSE = f"{TIGHT}2031-04-02 10:06 rear-axle-nut loosened: Mrs Nobody wanted to see it by P-2\n"
GONE = "words erased on 2031-04-02 by P-1"
FOREMAN = Say("P-1")


def last(workshop: Workshop) -> int:
    """The number of the newest entry."""
    return workshop.book.head().sequence


def test_a_remark_that_names_a_customer_is_erased(workshop: Workshop) -> None:
    """What was done stays and is judged as before; where the words stood stands who erased them, and when."""
    play(workshop, LOOSE)
    entry, head = last(workshop), str(workshop.book.head())
    before = findings(workshop, rule="workshop_rules/loosened-since")
    erased = erase_words(workshop, [entry], "it named a customer", FOREMAN)

    assert ((entry,), "2031-04-02", "P-1") == (erased.entries, erased.on.isoformat(), erased.by)
    assert ["rear axle nut: loosened since (Mrs Nobody wanted to see it). Tighten, mark and check it again."] == before
    assert [f"rear axle nut: loosened since ({GONE}). Tighten, mark and check it again."] == findings(
        workshop, rule="workshop_rules/loosened-since"
    )
    assert FastenerState.LOOSENED is workshop.record("1").current("rear-axle-nut").state
    assert [] == faults(workshop, head)
    assert "Nobody" not in repr(ledger_entries(workshop, 1, None))


def test_the_words_of_one_act_go_together(workshop: Workshop) -> None:
    """Six bolts were loosened at once, and each entry holds what was said of all."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
        2031-04-02 10:10 sprocket-bolt stage 1 15 N·m with W-1 by P-2
        2031-04-02 10:11 sprocket-bolt loosened: Mrs Nobody wanted to see it by P-2
        """,
    )
    erased = erase_words(workshop, [last(workshop) - 1], "it named a customer", FOREMAN)

    assert len(erased.entries) > 1
    assert last(workshop) - 1 == erased.entries[-1]
    assert "Nobody" not in repr(workshop.book.entries("job/1"))


def test_several_entries_are_erased_at_once(workshop: Workshop) -> None:
    """One entry says so of all of them, and why."""
    play(workshop, LOOSE)
    first = last(workshop)
    play(workshop, "2031-04-02 10:08 job 1 rear-axle-nut loosened: told twice by P-2")
    erased = erase_words(workshop, [last(workshop), first, first], "asked for by the customer", FOREMAN)
    entry = workshop.book.entry(last(workshop))

    assert (first, first + 1) == erased.entries
    assert entry is not None
    assert ("words_erased.1", "site/YARD", "P-1") == (entry.kind, entry.subject, entry.who)
    assert "asked for by the customer" == entry.told("why")


def test_an_erasure_is_no_work_on_the_job_and_no_setting(workshop: Workshop) -> None:
    """Nothing moves but what is shown."""
    play(workshop, LOOSE)
    before = (workshop.record("1").last, workshop.settings, len(workshop.book.entries("job/1")))
    erase_words(workshop, [last(workshop)], "it named a customer", FOREMAN)

    assert before == (workshop.record("1").last, workshop.settings, len(workshop.book.entries("job/1")))


def test_the_same_erasure_sent_again_changes_nothing(workshop: Workshop) -> None:
    """By its id."""
    play(workshop, LOOSE)
    entry, say = last(workshop), Say("P-1", id="E-1")
    erased = erase_words(workshop, [entry], "it named a customer", say)
    after = last(workshop)

    assert erased == erase_words(workshop, [entry], "it named a customer", say)
    assert after == last(workshop)


def test_what_cannot_be_erased_is_refused(workshop: Workshop) -> None:
    """Each time with the reason, and nothing is recorded."""
    play(workshop, LOOSE)
    entry = last(workshop)
    expected = {
        99: f"entry 99: there is no such entry; the newest one is {entry}; look at the ledger",
        entry - 1: f"entry {entry - 1}: it has no words to erase, such as a remark, a reason, a basis or a limit",
    }
    for number, says in expected.items():
        with pytest.raises(Refused) as caught:
            erase_words(workshop, [entry, number], "it named a customer", FOREMAN)
        assert says == str(caught.value)
    with pytest.raises(Refused, match="say why the words are erased, without what they said"):
        erase_words(workshop, [entry], " ", FOREMAN)
    assert entry == last(workshop)


def test_words_are_erased_once(workshop: Workshop) -> None:
    """The second time it says when they were."""
    play(workshop, LOOSE)
    entry = last(workshop)
    erase_words(workshop, [entry], "it named a customer", FOREMAN)
    with pytest.raises(Refused, match=f"entry {entry}: words erased on 2031-04-02 by P-1, so nothing is left to erase"):
        erase_words(workshop, [entry], "it named a customer", FOREMAN)


def test_words_of_an_older_kind_lie_inside_the_hash(workshop: Workshop) -> None:
    """As 0.1 recorded them: whoever wants them gone is told that it cannot be."""
    play(workshop, TIGHT)

    def build(attempt: Attempt) -> list[Draft]:
        said: dict[str, Any] = {"position": "rear-axle-nut", "why": "wheel out again"}
        return [attempt.draft("job/1", "loosened.1", said)]

    record(workshop, Say("P-2"), ActName.LOOSEN, "job/1/rear-axle-nut", {"why": "wheel out again"}, build)
    says = "its words were recorded while words still lay inside the hash, where nothing can be erased"
    with pytest.raises(Refused, match=says):
        erase_words(workshop, [last(workshop)], "it named a customer", FOREMAN)


@pytest.mark.parametrize("by", ["P-2", "P-4", "owner", "setup"])
def test_only_a_foreman_erases_words(workshop: Workshop, by: str) -> None:
    """Whoever said something does not take it back so."""
    play(workshop, LOOSE)
    with pytest.raises(Refused, match="only a foreman may do this"):
        erase_words(workshop, [last(workshop)], "it named a customer", Say(by))
