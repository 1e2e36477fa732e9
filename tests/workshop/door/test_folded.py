"""What entries were folded to is given again for the same entries, and forgotten with words that were erased."""

from torqueaudit.model.act import Say
from torqueaudit.testing import play
from torqueaudit.workshop.door.folded import MOST, Folds
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop

OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"
TIGHT = "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2"
LOOSENED = "2031-04-02 10:06 rear-axle-nut loosened: the slack was wrong by P-2"


def test_a_job_is_folded_once_while_nothing_is_told_of_it(workshop: Workshop) -> None:
    """Also for whoever asks by another clock."""
    play(workshop, OPENED)
    first = workshop.record("1")
    play(workshop, "2031-04-02 10:01 job 2 opened axle on V-2 at 12000 km by P-2")
    again = workshop.at(workshop.clock()).record("1")
    play(workshop, TIGHT)

    assert first is again
    assert (0, 1) == (len(again.facts), len(workshop.record("1").facts))


def test_what_was_folded_goes_with_the_words_that_are_erased(workshop: Workshop) -> None:
    """Nothing holds them any more once anybody has asked for the settings, as every page does."""
    play(workshop, OPENED)
    play(workshop, LOOSENED)
    before = workshop.record("1")
    erase_words(workshop, [before.facts[-1].noted.entry], "they named somebody", Say("P-1"))
    assert workshop.settings

    assert not [each for each in workshop.folds.held() if each.startswith("job/")]
    assert "the slack was wrong" not in str(workshop.record("1"))


def test_no_more_is_kept_than_a_number_of_entries(workshop: Workshop) -> None:
    """What was asked for longest ago gives way."""
    folds, entries = Folds(), workshop.book.entries("person/P-1")
    for number in range(2 * MOST // len(entries)):
        folds.of("person/P-1", entries, len)
        folds.of(f"person/P-{number + 2}", entries, len)

    assert MOST // len(entries) == len(folds.held())
    assert "person/P-1" in folds.held()
    assert "person/P-2" not in folds.held()
