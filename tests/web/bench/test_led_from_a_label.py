"""Where a job's label leads: a stranger to the owner's page, a device of the workshop to what the workshop needs."""

from pathlib import Path
from typing import Any

from .phone import LetIn, Phone


def test_a_label_leads_each_to_their_own_page(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """The address on the label is one; old labels go on being read."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    yard.leave(job)
    label = f"r/{yard.token(job)}"
    device, stranger = let_in(), let_in("lost")
    stranger.cookies.clear()

    assert "May I ride?" in stranger.open(label).text
    assert device.open(f"{label}?copy=lost").address.endswith(f"{label}/record?copy=lost")
    assert "One of its two symbols cannot be read" in device.text
    assert device.sign_in("P-2").open(label).address.endswith(f"vehicle/{yard.vehicle}")
    assert device.open(f"{label}/record").text.startswith("Job 1")


def test_nothing_is_kept_in_an_owners_browser(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """What is told needs no cookie, and leaves none."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    yard.leave(job)
    owner: Phone = let_in("lost")
    owner.cookies.clear()
    owner.open(f"r/{yard.token(job)}").tap("Tell the workshop", odometer="12050")

    assert "Your kilometres are noted" in owner.text
    assert [] == list(owner.cookies)


def test_the_day_that_an_owner_asks_for_stands_at_the_bench(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """On the motorcycle's page, beside when its re-check is due."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    yard.leave(job)
    device, owner = let_in().sign_in("P-2"), let_in("lost")
    owner.cookies.clear()
    owner.open(f"r/{yard.token(job)}").tap("Ask for this day", on="2031-04-16", half="afternoon")

    assert "You asked for Wednesday 16 April, in the afternoon." in owner.text
    says = "whichever comes first; the owner asked to come on 2031-04-16 in the afternoon."
    assert says in device.open(f"vehicle/{yard.vehicle}").text
