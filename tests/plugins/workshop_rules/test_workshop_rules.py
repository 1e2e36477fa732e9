"""The built-in rules as one plugin, and what a job card cannot say."""

from datetime import timedelta
from pathlib import Path

import pytest

from torqueaudit import testing
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.finding import Weight
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit_plugins import workshop_rules

CHECKED = """
2031-04-02 10:00 job 1 opened axle on V-1 by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-4
2031-04-02 10:06 rear-axle-nut mark intact by P-4
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""


def test_the_hook_review_job_is_how_the_rules_are_asked(workshop: Workshop) -> None:
    """The rules come through the hook that every plugin has, and answer with findings."""
    play(workshop, CHECKED)
    job = workshop.job("1")
    asked = {each.plugin: each.given for each in workshop.plugins.findings(job, around_of(workshop, job))}

    assert workshop_rules.review_job(job=job, around=around_of(workshop, job)) == asked["workshop_rules"] == []


def test_a_procedure_nobody_read_stops(workshop: Workshop, tmp_path: Path) -> None:
    """A second person reads every value against its source before first use; then the stop is gone."""
    text = (Path(testing.__file__).parent / "axle.toml").read_text(encoding="utf-8")
    (tmp_path / "axle-2.toml").write_text(text.replace('edition = "1"', 'edition = "2"'), encoding="utf-8")
    digest = enter_procedure(workshop, tmp_path / "axle-2.toml", Say("P-2"))
    job = open_job(workshop, Opening("V-1", digest), Say("P-2"))
    expected = ["Rear axle nut: nobody has read its values against their source. A second person does, before use."]
    before = findings(workshop, job, rule="workshop_rules/procedure-not-read")
    read_against_source(workshop, digest, "", Say("P-3"))

    assert expected == before
    assert findings(workshop, job, rule="workshop_rules/procedure-not-read") == []


@pytest.mark.parametrize("hand", ["P-4", "P-2"])
def test_a_check_by_a_hand_in_it_stops(workshop: Workshop, hand: str) -> None:
    """The act refuses it; a ledger that came another way may hold it: the trainee's own look, or the supervisor's."""
    play(workshop, CHECKED)
    job = workshop.job("1")
    *others, check = job.record.facts
    theirs = check._replace(noted=check.noted._replace(by=hand, happened_at=check.noted.happened_at + timedelta(1)))
    record = job.record._replace(facts=(*others, theirs))
    found = workshop_rules.review_job(job=Job(record, job.procedure), around=around_of(workshop, job))
    expected = [f"rear axle nut: {hand} had a hand in it and checked it. Somebody else has to look."]

    assert expected == [finding.says for finding in found if finding.rule == "workshop_rules/checked-by-own-hand"]


def test_a_self_re_inspection_is_a_caution_where_one_works_alone(workshop: Workshop) -> None:
    """A single-handed workshop has nobody else; it records why, and nothing stops."""
    play(
        workshop,
        CHECKED.replace("10:09", "10:39").replace("mark seen by P-3", "self re-inspection: works alone by P-1"),
    )
    settle(workshop, {"single_handed": True}, Say("P-1"))
    expected = [("workshop_rules/self-re-inspection", Weight.CAUTION)]
    actual = [(each.finding.rule, each.finding.weight) for each in show_job(workshop, "1").findings]

    assert expected == actual
