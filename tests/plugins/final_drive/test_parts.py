"""The kinds of parts of a final drive: what the mechanic chooses between, and what a choice comes to."""

from collections.abc import Callable

import pytest

from torqueaudit.model.act import Refused
from torqueaudit.plugin import Fit
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit_plugins.final_drive.kinds.parts import stated_part

Enter = Callable[..., None]
LINK = """
[[work]]
fit = "master-link"
name = "master link"
part = "link of the chain"
kind = "chain link"
attributes = ["type", "closed end"]

[x.final_drive]
chain = "525"
parts = { link = "master-link" }
"""
OPENED = "2031-04-02 10:00 job 1 opened drive on V-1 by P-2"


def fitted(workshop: Workshop, told: str) -> None:
    """The link, with what was told of it."""
    play(workshop, OPENED, f"2031-04-02 10:05 job 1 master-link fitted link with {told} by P-2")


@pytest.mark.parametrize(
    ("told", "way"),
    [("Way of travel", "way of travel"), ("against the way  of travel", "against the way of travel")],
)
def test_the_closed_end_is_one_of_two_words(workshop: Workshop, enter: Enter, told: str, way: str) -> None:
    """Stored as the choice is written; the wrong way round is a stop."""
    enter(LINK)
    fitted(workshop, f"type=Clip, closed end={told}")
    part = workshop.record("1").fitted("master-link")

    assert part is not None
    assert (("type", "clip"), ("closed end", way)) == part.attributes
    assert (way == "way of travel") == ([] == [said for said in findings(workshop) if "closed end" in said])


def test_any_other_word_for_the_closed_end_is_refused(workshop: Workshop, enter: Enter) -> None:
    """Also one that older records were read by."""
    enter(LINK)
    with pytest.raises(Refused) as refused:
        fitted(workshop, "type=clip, closed end=forward")

    expected = "master link: “closed end” is “way of travel” or “against the way of travel”, not “forward”"
    assert expected in str(refused.value)


@pytest.mark.parametrize(("told", "says"), [("size=52O", "write 520"), ("Size=l12", "write 112"), ("size=O", "")])
def test_a_size_is_written_with_digits(workshop: Workshop, enter: Enter, told: str, says: str) -> None:
    """A letter O in it would make another chain of it; a word without any digit is told by the rules."""
    enter(LINK)
    if not says:
        fitted(workshop, told)
        return
    with pytest.raises(Refused, match=f"with another sign where a digit belongs; {says}"):
        fitted(workshop, told)

    assert workshop.record("1").fitted("master-link") is None


def test_a_part_of_another_drive_is_given_no_figure_of_this_one() -> None:
    """A timing chain of the kind “drive chain” has no role in the table, so nothing is stated of it."""
    other = Fit("timing-chain", "timing chain", "chain", attributes=("size", "links"), kind="drive chain")

    assert {} == stated_part(other, {"final_drive": {"chain": "525", "links": 112}})
