"""By which door an entry came and with what proof: it stands in the entry, and is no part of what was said."""

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Came, Say, came_of
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.visits import arrive

PHONE = Came("page", "PIN", "D-3")


def newest(workshop: Workshop) -> Entry:
    sequence = workshop.book.head().sequence
    ((entry, _),) = workshop.book.ledger(sequence, sequence)
    return entry


def test_an_entry_says_by_which_door_and_with_what_proof_it_came(workshop: Workshop) -> None:
    """Whoever reads the ledger sees that somebody signed with a PIN on the tablet D-3."""
    arrive(workshop, "V-1", 12_000_000, Say("P-2", came=PHONE))

    assert ("page", "PIN", "D-3") == came_of(newest(workshop).judged)
    assert "page, PIN, D-3" == came_of(newest(workshop).judged).says


def test_what_is_not_known_of_it_stands_nowhere(workshop: Workshop) -> None:
    """At the terminal nobody proves who they are, and an entry of before says nothing at all."""
    arrive(workshop, "V-1", 12_000_000, Say("P-2", came=Came("terminal")))
    told = newest(workshop).judged

    assert "terminal" == told["door"]
    assert told.keys().isdisjoint({"proof", "device"})
    assert ("", "", "") == came_of({"role": "mechanic"})


def test_the_same_act_by_another_door_is_the_same_act(workshop: Workshop) -> None:
    """A phone that got no answer, and then somebody at the terminal: it is recorded once, as it came first."""
    arrive(workshop, "V-1", 12_000_000, Say("P-2", id="a-1", came=PHONE))
    recorded = newest(workshop)
    arrive(workshop, "V-1", 12_000_000, Say("P-2", id="a-1", came=Came("terminal")))

    assert recorded == newest(workshop)


def test_what_a_card_tells_came_by_a_card(workshop: Workshop) -> None:
    """A job card is a door like the others, and proves nothing of who wrote it."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")

    assert "card" == came_of(newest(workshop).judged).says
