"""Which finding a concession means: by its rule's name with the plugin's or without, and as earlier entries hold it."""

from collections.abc import Callable
from datetime import date
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

import pytest

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.ledger.entry import Act, Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Permission
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop

CARD = """2031-04-02 10:00 job 1 opened axle on V-1 by P-2
2031-04-02 10:05 rear-axle-nut 97 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:07 rear-axle-nut checked watched by P-3
"""
LOW = "workshop_rules/outside-tolerance"
NUT = "rear axle nut"
AS_LOW = """from torqueaudit.plugin import Finding, Subject, Weight, hookimpl
@hookimpl
def review_job(job, around):
    done = job.record.current("rear-axle-nut").tightening
    return [] if done is None else [
        Finding(
            rule="{rule}", weight=Weight.STOP, about=Subject("rear axle nut"), words="odd.", entry=done.noted.entry,
        )
    ]
"""

WithPlugin = Callable[[str, str], Plugins]


@pytest.fixture
def with_plugin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> WithPlugin:
    """The installed plugins and one more, whose rule speaks of the nut under the given name."""
    monkeypatch.syspath_prepend(tmp_path)

    def written(name: str, rule: str) -> Plugins:
        module = f"{name}_{tmp_path.name}".replace("-", "_")
        (tmp_path / f"{module}.py").write_text(AS_LOW.format(rule=rule), encoding="utf-8")
        return Plugins([*entry_points(group=GROUP), EntryPoint(name, module, GROUP)])

    return written


def grant(workshop: Workshop, rule: str, subject: str = NUT) -> None:
    """The foreman permits what a rule says of the nut, or of another subject."""
    permission = Permission(rule=rule, subject=subject, basis="within the reading", limit="20 km", expires_on=LAST)
    concede(workshop, "1", permission, Say("P-1"))


LAST = date(2031, 5, 1)


@pytest.mark.parametrize("rule", ["outside-tolerance", LOW])
def test_a_rule_is_named_with_its_plugin_or_without(workshop: Workshop, rule: str) -> None:
    """The entry holds the full name either way."""
    play(workshop, CARD)
    grant(workshop, rule)

    assert [LOW] == [each.covers.rule for each in workshop.record("1").concessions()]
    assert [] == findings(workshop, rule=LOW)


def test_an_entry_of_an_earlier_release_covers_what_it_covered(workshop: Workshop) -> None:
    """It holds the rule's name without its plugin's, and what it holds never changes."""
    play(workshop, CARD)
    key = {"rule": "outside-tolerance", "subject": NUT, "entry": workshop.record("1").facts[0].noted.entry}
    said = {"basis": "within the reading", "limit": "20 km", "expires_on": LAST.isoformat(), "finding": key}
    draft = Draft(
        subject="job/1",
        kind="conceded.1",
        happened_at=workshop.clock(),
        who="P-1",
        said=said,
        judged={"role": "foreman"},
    )
    workshop.book.append(Act("earlier", "ab" * 32), [draft], {})

    assert [] == findings(workshop, rule=LOW)
    assert [key] == [entry.said["finding"] for entry in workshop.book.entries("job/1") if entry.kind == "conceded.1"]


def test_a_short_name_that_two_plugins_have_is_no_name(book_file: Path, with_plugin: WithPlugin) -> None:
    """The job shows both in full, and the refusal says which two there are."""
    plugins = with_plugin("odd", "odd/outside-tolerance")
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, CARD)
        sheet = "\n".join(lines_of(show_job(workshop, "1")))
        with pytest.raises(Refused, match=f"two plugins have a rule of that name; say odd/outside-tolerance or {LOW}"):
            grant(workshop, "outside-tolerance")
        grant(workshop, "odd/outside-tolerance")

        assert f"[{LOW}]" in sheet
        assert "[odd/outside-tolerance]" in sheet
        assert [] == findings(workshop, rule="odd/outside-tolerance")
        assert 1 == len(findings(workshop, rule=LOW))


@pytest.mark.parametrize(("plugin", "rule"), [("odd", LOW), ("odd", "outside-tolerance"), ("core", "core/odd")])
def test_a_plugin_speaks_in_its_own_name_alone(
    book_file: Path, with_plugin: WithPlugin, plugin: str, rule: str
) -> None:
    """A rule that bears another's name, none, or the program's own is refused like any wrong answer."""
    expected = (
        f"plugin {plugin}: answered by a rule “{rule}”, which is not one of its own. What it would have found is not "
        "known; mend it before release."
    )
    with open_workshop(book_file, clock=Clock(), plugins=with_plugin(plugin, rule)) as workshop:
        play(workshop, CARD)

        assert [expected] == findings(workshop, rule="core/plugin-broken")


def permitted(workshop: Workshop) -> list[str]:
    """What was conceded on job 1, by the name that is printed."""
    return [each.covers.subject for each in workshop.record("1").concessions()]


@pytest.mark.parametrize("subject", ["rear-axle-nut", NUT])
def test_a_stop_is_named_by_the_key_that_every_other_command_takes(workshop: Workshop, subject: str) -> None:
    """Or by the name that is printed; the entry holds that one either way."""
    play(workshop, CARD)
    grant(workshop, "outside-tolerance", subject)

    assert [NUT] == permitted(workshop)
    assert [] == findings(workshop, rule=LOW)


BOLTS = """2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:05 sprocket-bolt stage 1 16 N·m with W-1 by P-2
2031-04-02 10:07 sprocket-bolt 45 N·m with W-1 by P-2
"""


AGAIN_BY_THE_FOREMAN = """2031-04-02 10:09 sprocket-bolt-4 loosened: once more by P-1
2031-04-02 10:10 sprocket-bolt-4 45 N·m with W-1 by P-1
"""


@pytest.mark.parametrize("subject", ["sprocket-bolt", "sprocket bolt"])
def test_the_key_of_a_group_means_each_of_its_bolts_that_has_this_stop(workshop: Workshop, subject: str) -> None:
    """One permission for each, in one act; the group's printed name means the same."""
    play(workshop, BOLTS)
    grant(workshop, "outside-tolerance", subject)

    assert [f"sprocket bolt {number}" for number in range(1, 6)] == permitted(workshop)
    assert [] == findings(workshop, rule=LOW)


@pytest.mark.parametrize("subject", ["sprocket-bolt-3", "sprocket bolt 3"])
def test_a_position_means_one_bolt_of_a_group(workshop: Workshop, subject: str) -> None:
    """The other four stand as they did."""
    play(workshop, BOLTS)
    grant(workshop, "outside-tolerance", subject)

    assert ["sprocket bolt 3"] == permitted(workshop)
    assert 4 == len(findings(workshop, rule=LOW))


def test_one_bolt_of_a_group_that_the_foreman_tightened_refuses_the_whole_group(workshop: Workshop) -> None:
    """Nothing is recorded, of the other bolts either."""
    play(workshop, f"{BOLTS}{AGAIN_BY_THE_FOREMAN}")
    with pytest.raises(Refused, match="sprocket bolt 4: P-1 had a hand in it; nobody concedes their own tightening"):
        grant(workshop, "outside-tolerance", "sprocket-bolt")

    assert [] == permitted(workshop)


def test_where_nothing_fits_the_stops_that_stand_are_told_with_their_keys(workshop: Workshop) -> None:
    """Those that a permission makes right apart from those that none does."""
    play(workshop, BOLTS)
    with pytest.raises(Refused) as caught:
        grant(workshop, "not-checked", "rear-axle")

    assert (
        "not-checked on rear-axle: no such stop stands on job 1. A permission may be given for: outside-tolerance on "
        "sprocket-bolt-1, sprocket-bolt-2, sprocket-bolt-3, sprocket-bolt-4, sprocket-bolt-5; too-early on "
        "sprocket-bolt; step-not-done on bike-secured; part-missing on tab-washer; measurement-missing on slack, wear. "
        "None makes right: not-tightened on sprocket-nut, disc-bolt, caliper-bolt, rear-axle-nut; brake-not-proved on "
        "brake-tried; look at the job"
    ) == str(caught.value)


def test_what_is_about_no_piece_of_the_work_is_told_by_its_name(workshop: Workshop) -> None:
    """The vehicle is no fastener; by its tag it is not known here."""
    play(workshop, CARD.replace("V-1", "V-3"))
    with pytest.raises(Refused, match="outside-validity on vehicle"):
        grant(workshop, "outside-validity", "bike-3")


def test_where_no_stop_stands_nothing_needs_a_permission(workshop: Workshop) -> None:
    """It is said so."""
    play(workshop, CARD.replace("97 N·m", "108 N·m"))
    with pytest.raises(Refused, match="stands on job 1, nor any other, so nothing needs a permission"):
        grant(workshop, "outside-tolerance", "rear-axle-nut")
