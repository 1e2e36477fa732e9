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


def grant(workshop: Workshop, rule: str) -> None:
    """The foreman permits what a rule says of the nut."""
    permission = Permission(rule=rule, subject=NUT, basis="within the reading", limit="20 km", expires_on=LAST)
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
