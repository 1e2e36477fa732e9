"""Whoever lets a motorcycle go, or opens its job while it is away, reads what it left with."""

from datetime import timedelta
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Permission, Tighten
from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.judged.job_view import show_job

from .phone import LetIn


@pytest.fixture
def job(yard: Any, procedures: Any) -> str:
    """Worked to its end, and not released."""
    number: str = yard.open(procedures / "rear-wheel.toml")
    yard.work(number)
    return number


def test_the_job_of_a_motorcycle_that_left_says_what_stands_against_it(let_in: LetIn, yard: Any, job: str) -> None:
    """Its mark was found broken on the road."""
    yard.leave(job)
    page = let_in().sign_in(yard.foreman).open(f"job/{job}")
    assert ("stop" in page.text, "never released" in page.text) == (False, False)
    yard.mark(job, "rear-axle-nut", MarkState.DISTURBED, "4 mm apart")
    hand_over(yard.workshop, job, 12_000_000, Say(yard.foreman), "its owner would not leave it here")
    told, motorcycle = page.open(f"job/{job}").text, page.open(f"vehicle/{yard.vehicle}").text

    assert motorcycle.index("1 stop") < motorcycle.index("It is here")
    assert motorcycle.count("the witness mark is disturbed") == 1
    assert "1 stop on the road" in told
    assert "rear axle nut: the witness mark is disturbed" in told
    assert "Reach whoever rides it before anything else." in told
    assert "Record on paper" in told
    assert "never released" not in told


def test_the_job_of_a_motorcycle_that_nobody_released_says_so(let_in: LetIn, yard: Any, job: str) -> None:
    yard.later(days=2)
    hand_over(yard.workshop, job, 12_000_000, Say(yard.foreman))

    assert "Handed over, never released." in let_in().sign_in(yard.foreman).open(f"job/{job}").text


def test_whoever_lets_it_go_reads_to_which_limit_it_was_permitted(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """The rider knows no limit that nobody tells."""
    job = yard.open(procedures / "rear-wheel.toml")
    until = yard.workshop.today() + timedelta(days=9)
    permission = Permission(
        rule="measurement-missing", subject="slack", basis="new set", limit="40 km home", expires_on=until
    )
    concede(yard.workshop, job, permission, Say(yard.foreman))

    assert "limit: 40 km home" in let_in().sign_in(yard.foreman).open(f"job/{job}/hand-over/job").text


def test_a_stop_of_several_bolts_is_permitted_at_once(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """As it is said at once; and each of them stands permitted."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    yard.loosen(job, "pinch-bolt")
    for stage in (1, 2):
        act = Tighten(Outcome.TURNED_CLICKED, yard.wrench, "15 N·m", stage=stage)
        tighten(yard.workshop, job, "pinch-bolt", act, Say(yard.mechanic))
    foreman = let_in().sign_in(yard.foreman).open(f"job/{job}/release/job")
    said = foreman.text
    until = (yard.workshop.today() + timedelta(days=9)).isoformat()
    while "Permit it in writing" in foreman.text:
        foreman.tap("Permit it in writing").tap("Permit it", basis="new bolts", limit="40 km, home", until=until)
        foreman.open(f"job/{job}/release/job")
    low = [each for each in show_job(yard.workshop, job).findings if each.finding.rule.endswith("outside-tolerance")]

    assert "axle pinch bolt 1, 2: " in said
    assert ["axle pinch bolt 1", "axle pinch bolt 2"] == [each.finding.subject for each in low if each.concession]
