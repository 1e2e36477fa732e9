"""Plugins that cannot be loaded, are absent, blocked or there twice: each is told and takes no other with it."""

from collections.abc import Callable
from importlib.metadata import entry_points
from pathlib import Path

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.plugin import API_VERSION
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.testing import findings
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.register.procedures import enter_procedure

Written = Callable[..., Plugins]
Stops = Callable[[Plugins], list[str]]
SILENT = "@hookimpl\ndef review_job(job, around):\n    return []\n"


def test_the_installed_plugins_stop_nothing(written: Written, stops: Stops) -> None:
    """The same job without any plugin that misbehaves."""
    assert stops(written()) == []


def test_a_plugin_that_cannot_be_imported_stops_release(stops: Stops, written: Written) -> None:
    """Nobody knows what it would have found."""
    plugins = written(broken="import nothing_of_that_name\n")
    says = "cannot be loaded: No module named 'nothing_of_that_name'"

    assert [f"plugin broken: {says}"] == stops(plugins)
    assert "loaded" == plugins.states["workshop_rules"].state


def test_a_plugin_written_for_another_version_of_the_face_stops_release(stops: Stops, written: Written) -> None:
    """What a name means may have changed since."""
    plugins = written(older="REQUIRES = 0\n")
    says = "cannot be loaded: it was written for version 0 of torqueaudit.plugin, and this is 1"

    assert [f"plugin older: {says}"] == stops(plugins)


def test_a_plugin_written_for_this_version_of_the_face_is_loaded(stops: Stops, written: Written) -> None:
    """Whoever says it is no worse off than whoever does not."""
    plugins = written(same=f"REQUIRES = {API_VERSION}\n{SILENT}")

    assert [] == stops(plugins)


def test_a_plugin_with_a_fault_in_its_text_stops_release(stops: Stops, written: Written) -> None:
    """Not even Python can read it."""
    (said,) = stops(written(broken="def review_job(\n"))

    assert said.startswith("plugin broken: cannot be loaded: ")


@pytest.mark.parametrize("code", ["raise SystemExit(0)\n", "import sys\nsys.exit('no licence')\n"])
def test_a_plugin_that_ends_the_program_on_import_stops_release(stops: Stops, written: Written, code: str) -> None:
    """An exit is no answer, not even a friendly one."""
    plugins = written(leaving=code)

    assert ["plugin leaving: cannot be loaded: it wanted to end the program"] == stops(plugins)
    assert "loaded" == plugins.states["workshop_rules"].state


def test_an_expected_plugin_that_is_absent_stops_release(stops: Stops) -> None:
    """The book knows which rules it was made with."""
    plugins = Plugins(entry for entry in entry_points(group=GROUP) if entry.name != "wrench_adapter")

    assert ["plugin wrench_adapter: is expected by this book and not installed"] == stops(plugins)


def test_an_expected_plugin_that_is_blocked_stops_release(written: Written, stops: Stops) -> None:
    """Blocking is no way round a rule."""
    plugins = written(("workshop_rules",))

    assert ["plugin workshop_rules: is expected by this book and blocked"] == stops(plugins)


def test_a_blocked_plugin_that_nobody_expects_is_not_even_imported(stops: Stops, written: Written) -> None:
    """Blocked is blocked, and no trouble."""
    assert stops(written(("guest",), guest="import nothing_of_that_name\n")) == []


def test_two_plugins_of_one_name_are_told(stops: Stops, written: Written) -> None:
    """The first by its value stays; which one was meant is not the program's to say."""
    (said,) = stops(written(workshop_rules=SILENT))

    assert said.startswith("plugin workshop_rules: is installed twice; ")


def test_a_misspelt_hook_is_refused_with_its_plugin(stops: Stops, written: Written) -> None:
    """Or its author would wonder why it is never asked; what else the plugin has is not asked either."""
    plugins = written(misspelt=SILENT + "@hookimpl\ndef reveiw_job(job):\n    return []\n")

    assert ["plugin misspelt: cannot be loaded: has no such hook: reveiw_job"] == stops(plugins)


def test_a_hook_with_arguments_it_is_not_given_is_refused(stops: Stops, written: Written) -> None:
    """Told when it is loaded, not when it is asked."""
    (said,) = stops(written(arguments="@hookimpl\ndef review_job(task):\n    return []\n"))

    assert "plugin arguments: cannot be loaded: " in said
    assert "task" in said


def test_a_plugin_that_a_procedure_needs_and_is_absent_stops_its_jobs(workshop: Workshop, tmp_path: Path) -> None:
    """Only the jobs of that procedure."""
    text = workshop.procedure(workshop.full_digest("axle")).text
    needing = text.replace('edition = "1"', 'edition = "2"\nneeds = ["slack_posture"]')
    (tmp_path / "axle.toml").write_text(needing, encoding="utf-8")
    other = open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
    digest = enter_procedure(workshop, tmp_path / "axle.toml", Say("P-2"))
    job = open_job(workshop, Opening("V-1", digest, second=True), Say("P-2"))
    (said,) = findings(workshop, job, rule="core/plugin-broken")

    assert said.startswith("plugin slack_posture: is expected by this book and not installed. ")
    assert findings(workshop, other, rule="core/plugin-broken") == []
