"""Plugins that misbehave: each is told, stops release where it guards it, and takes no other with it."""

import os
import subprocess
import sys
from collections.abc import Callable
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

import pytest

import torqueaudit.testing
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.plugin import API_VERSION
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.bench.answer import bench_setting
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure, remarks_of

READY = """
2031-04-02 10:00 job 1 opened axle on V-1 by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""
HOOK = "from torqueaudit.plugin import hookimpl\n@hookimpl\n"
RULE = HOOK + "def review_job(job, around):\n    "
MEND = "What it would have found is not known; mend it before release."

Write = Callable[[str, str], EntryPoint]


@pytest.fixture
def write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Write:
    """Write a plugin's module; its name is part of the folder's, so that no other test has imported it."""
    monkeypatch.syspath_prepend(tmp_path)

    def written(name: str, code: str) -> EntryPoint:
        module = f"{name}_{tmp_path.name}".replace("-", "_")
        (tmp_path / f"{module}.py").write_text(code, encoding="utf-8")
        return EntryPoint(name, module, GROUP)

    return written


def with_these(*entries: EntryPoint, blocked: tuple[str, ...] = ()) -> Plugins:
    """The installed plugins and these."""
    return Plugins([*entry_points(group=GROUP), *entries], blocked)


def stops(book_file: Path, plugins: Plugins) -> list[str]:
    """The stops of a job on which nothing but the plugins can be wrong; its release is refused where there are any."""
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, READY)
        said = findings(workshop, weight="stop")
        if said:
            with pytest.raises(Refused, match="cannot be released"):
                play(workshop, "2031-04-02 10:15 released by P-1")
        return said


def test_the_installed_plugins_stop_nothing(book_file: Path) -> None:
    """The same job without any plugin that misbehaves."""
    assert stops(book_file, with_these()) == []


def test_a_plugin_that_cannot_be_imported_stops_release(book_file: Path, write: Write) -> None:
    """Nobody knows what it would have found."""
    plugins = with_these(write("broken", "import nothing_of_that_name\n"))
    says = "cannot be loaded: No module named 'nothing_of_that_name'"

    assert [f"plugin broken: {says}. {MEND}"] == stops(book_file, plugins)
    assert "loaded" == plugins.states["workshop_rules"].state


def test_a_plugin_written_for_another_version_of_the_face_stops_release(book_file: Path, write: Write) -> None:
    """What a name means may have changed since."""
    plugins = with_these(write("older", "REQUIRES = 0\n"))
    says = "cannot be loaded: it was written for version 0 of torqueaudit.plugin, and this is 1"

    assert [f"plugin older: {says}. {MEND}"] == stops(book_file, plugins)


def test_a_plugin_written_for_this_version_of_the_face_is_loaded(book_file: Path, write: Write) -> None:
    """Whoever says it is no worse off than whoever does not."""
    plugins = with_these(write("same", f"REQUIRES = {API_VERSION}\n" + RULE + "return []\n"))

    assert [] == stops(book_file, plugins)


def test_a_plugin_with_a_fault_in_its_text_stops_release(book_file: Path, write: Write) -> None:
    """Not even Python can read it."""
    (said,) = stops(book_file, with_these(write("broken", "def review_job(\n")))

    assert said.startswith("plugin broken: cannot be loaded: ")


def test_a_rule_that_raises_is_a_stop(book_file: Path, write: Write) -> None:
    """And the others are asked all the same."""
    plugins = with_these(write("raising", RULE + "raise ZeroDivisionError('no turns')\n"))
    expected = [f"plugin raising: broke while it looked at this job (ZeroDivisionError: no turns). {MEND}"]

    assert expected == stops(book_file, plugins)


@pytest.mark.parametrize("code", ["raise SystemExit(0)\n", "import sys\nsys.exit('no licence')\n"])
def test_a_plugin_that_ends_the_program_on_import_stops_release(book_file: Path, write: Write, code: str) -> None:
    """An exit is no answer, not even a friendly one."""
    plugins = with_these(write("leaving", code))

    assert [f"plugin leaving: cannot be loaded: it wanted to end the program. {MEND}"] == stops(book_file, plugins)
    assert "loaded" == plugins.states["workshop_rules"].state


def test_a_rule_that_ends_the_program_is_a_stop(book_file: Path, write: Write) -> None:
    """And the others are asked all the same."""
    plugins = with_these(write("leaving", RULE + "raise SystemExit(0)\n"))
    says = "broke while it looked at this job (RuntimeError: it wanted to end the program)"

    assert [f"plugin leaving: {says}. {MEND}"] == stops(book_file, plugins)


@pytest.mark.parametrize("answer", ["'not tightened'", "['not tightened']", "{}", "(x for x in ())"])
def test_a_rule_that_answers_with_something_else_is_a_stop(book_file: Path, write: Write, answer: str) -> None:
    """Only a list of findings is one."""
    plugins = with_these(write("wrong", RULE + f"return {answer}\n"))
    expected = [f"plugin wrong: answered with something that is not a list of findings. {MEND}"]

    assert expected == stops(book_file, plugins)


def test_a_rule_that_has_nothing_to_say_says_nothing(book_file: Path, write: Write) -> None:
    """None is no fault."""
    assert stops(book_file, with_these(write("silent", RULE + "return None\n"))) == []


def test_an_expected_plugin_that_is_absent_stops_release(book_file: Path) -> None:
    """The book knows which rules it was made with."""
    plugins = Plugins(entry for entry in entry_points(group=GROUP) if entry.name != "wrench_adapter")

    assert [f"plugin wrench_adapter: is expected by this book and not installed. {MEND}"] == stops(book_file, plugins)


def test_an_expected_plugin_that_is_blocked_stops_release(book_file: Path) -> None:
    """Blocking is no way round a rule."""
    plugins = with_these(blocked=("workshop_rules",))

    assert [f"plugin workshop_rules: is expected by this book and blocked. {MEND}"] == stops(book_file, plugins)


def test_a_blocked_plugin_that_nobody_expects_is_not_even_imported(book_file: Path, write: Write) -> None:
    """Blocked is blocked, and no trouble."""
    entry = write("guest", "import nothing_of_that_name\n")

    assert stops(book_file, with_these(entry, blocked=("guest",))) == []


def test_two_plugins_of_one_name_are_told(book_file: Path, write: Write) -> None:
    """The first by its value stays; which one was meant is not the program's to say."""
    entry = write("workshop_rules", RULE + "return []\n")
    plugins = with_these(entry)
    (said,) = stops(book_file, plugins)

    assert said.startswith("plugin workshop_rules: is installed twice; ")


def test_a_misspelt_hook_is_refused_with_its_plugin(book_file: Path, write: Write) -> None:
    """Or its author would wonder why it is never asked; what else the plugin has is not asked either."""
    plugins = with_these(write("misspelt", RULE + "raise ValueError\n@hookimpl\ndef reveiw_job(job):\n    return []\n"))

    assert [f"plugin misspelt: cannot be loaded: has no such hook: reveiw_job. {MEND}"] == stops(book_file, plugins)


def test_a_hook_with_arguments_it_is_not_given_is_refused(book_file: Path, write: Write) -> None:
    """Told when it is loaded, not when it is asked."""
    (said,) = stops(book_file, with_these(write("arguments", HOOK + "def review_job(task):\n    return []\n")))

    assert "plugin arguments: cannot be loaded: " in said
    assert "task" in said


def test_a_unit_that_another_has_is_refused_with_its_plugin(write: Write) -> None:
    """The others stay readable."""
    unit = "from fractions import Fraction\nfrom torqueaudit.model.torque.units import TorqueUnit\n"
    entry = write("units", unit + HOOK + "def torque_units():\n    return [TorqueUnit('N·m', Fraction(2))]\n")
    plugins = with_these(entry)

    assert plugins.states["units"].state.startswith("its units were refused: ")
    assert ["units"] == [trouble.name for trouble in plugins.trouble()]
    assert plugins.units.parse("80 lbf·ft").nm > plugins.units.parse("80 N·m").nm


def test_a_plugin_that_a_procedure_needs_and_is_absent_stops_its_jobs(workshop: Workshop, tmp_path: Path) -> None:
    """Only the jobs of that procedure."""
    text = workshop.procedure(workshop.full_digest("axle")).text
    needing = text.replace('edition = "1"', 'edition = "2"\nneeds = ["slack_posture"]')
    (tmp_path / "axle.toml").write_text(needing, encoding="utf-8")
    other = open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
    job = open_job(workshop, Opening("V-1", enter_procedure(workshop, tmp_path / "axle.toml", Say("P-2"))), Say("P-2"))
    expected = [f"plugin slack_posture: is expected by this book and not installed. {MEND}"]

    assert expected == findings(workshop, job, rule="plugin-broken")
    assert findings(workshop, other, rule="plugin-broken") == []


CORRECTION = (
    "from decimal import Decimal\nfrom torqueaudit.model.torque.correction import Correction\n"
    + HOOK
    + "def correct_setting(use):\n    "
)


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("return Correction('adapter', Decimal(1))", "two plugins correct for “adapter”; block one of them"),
        ("raise KeyError('gain')", "plugin other broke while it worked out the torque"),
        ("return Decimal(1)", "plugin other broke while it worked out the torque"),
        ("raise ValueError('a bent adapter is not used')", "a bent adapter is not used"),
    ],
    ids=["twice", "raises", "wrong", "refuses"],
)
def test_a_correction_that_cannot_be_trusted_records_nothing(
    book_file: Path, write: Write, code: str, expected: str
) -> None:
    """A torque that was worked out wrongly is worse than none."""
    plugins = with_these(write("other", f"{CORRECTION}{code}\n"))
    fitted = (Fitted("adapter", {"length_mm": "50", "angle_deg": "0"}),)
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
        before = workshop.book.head()
        with pytest.raises(Refused, match=expected):
            tighten(
                workshop, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "98 N·m", fitted), Say("P-2")
            )

        assert before == workshop.book.head()


def test_what_is_fitted_and_unknown_to_every_plugin_records_nothing(workshop: Workshop) -> None:
    """Or the torque would silently stand uncorrected."""
    open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
    fitted = (Fitted("multiplier", {"gain": "4"}),)
    with pytest.raises(Refused, match="no plugin knows how to correct for multiplier; nothing was recorded"):
        tighten(workshop, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "27 N·m", fitted), Say("P-2"))


REMARK = """from torqueaudit.model.judged.finding import Remark, Weight
from torqueaudit.hooks import hookimpl
@hookimpl
def review_procedure(procedure):
    return [Remark("odd", Weight.STOP, each.name, f"{each.name}: odd.") for each in procedure.fasteners()]
"""


def test_review_procedure_is_told_wherever_the_value_matters(book_file: Path, write: Write) -> None:
    """When it is entered, at the bench, and as a finding of the job's opening, which a concession covers."""
    plugins = with_these(write("odd", REMARK))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, READY)
        (found,) = [each.finding for each in show_job(workshop, "1").findings if each.finding.rule == "odd"]
        at_bench = bench_setting(workshop, "1", "rear-axle-nut", "W-1").cautions
        stopped = findings(workshop, weight="stop")
        play(
            workshop, "2031-04-02 10:12 conceded odd on rear axle nut until 2031-05-01: asked the maker, 1 ride by P-1"
        )

        assert [("odd", "rear axle nut: odd.")] == [(e.rule, e.says) for e in remarks_of(workshop, "axle")]
        assert ("rear axle nut", workshop.record("1").opened.entry) == (found.subject, found.entry)
        assert (["rear axle nut: odd."], "rear axle nut: odd.") == (stopped, at_bench[0])
        assert [] == findings(workshop, weight="stop")


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("return 1 / 0", "broke while it looked at this procedure (ZeroDivisionError: division by zero)"),
        ("return [procedure]", "answered with something that is not a list of remarks"),
    ],
)
def test_a_plugin_that_breaks_over_a_procedure_is_a_stop(book_file: Path, write: Write, code: str, says: str) -> None:
    """Told at the bench and when the procedure is entered as well; nobody knows what it would have doubted."""
    plugins = with_these(write("odd", f"{HOOK}def review_procedure(procedure):\n    {code}"))
    expected = f"plugin odd: {says}. {MEND}"

    assert [expected] == stops(book_file, plugins)
    with open_workshop(book_file, clock=Clock("2031-04-02 12:00"), plugins=plugins) as workshop:
        assert expected == bench_setting(workshop, "1", "rear-axle-nut", "W-1").cautions[0]
        assert [expected] == [each.says for each in remarks_of(workshop, "axle")]


TABLES = f"""from torqueaudit.model.procedure.toml.tables import ProcedureTable
{HOOK}def procedure_tables():
    return [ProcedureTable("sag", look_at)]
def look_at(table, work):
    """


def with_a_table(folder: Path, table: str) -> Path:
    """The procedure `axle` with a plugin's table at its end, from line 31 on."""
    text = Path(torqueaudit.testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    (folder / "axle.toml").write_text(f"{text}\n[x.sag]\n{table}\n", encoding="utf-8")
    return folder / "axle.toml"


def test_procedure_tables_are_looked_at_by_their_plugin(book_file: Path, tmp_path: Path, write: Write) -> None:
    """What it notes refuses the procedure, with line and key; without a mistake the table goes in as it is written."""
    code = "table.number(work[0].key)\n    table.finish()\n"
    plugins = with_these(write("sag", TABLES + code))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 0\nposture = 'stand'"), Say("P-2"))
        entered = enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 2.5"), Say("P-2"))

        told = str(refused.value).splitlines()
        assert "line 32, x.sag.rear-axle-nut: has to be a number above 0" in told[1]
        assert "line 33, x.sag.posture: is not known here" in told[2]
        assert {"sag": {"rear-axle-nut": "2.5"}} == workshop.procedure(entered).procedure.x


def test_a_table_that_no_plugin_looks_at_is_kept_as_it_is(workshop: Workshop, tmp_path: Path) -> None:
    """Its plugin may be installed later."""
    entered = enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 'any'"), Say("P-2"))

    assert {"sag": {"rear-axle-nut": "any"}} == workshop.procedure(entered).procedure.x


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (TABLES + "table.number(3 / 0)\n", "(ZeroDivisionError: division by zero)"),
        (TABLES + "raise SystemExit(0)\n", "(RuntimeError: it wanted to end the program)"),
        (HOOK + "def procedure_tables():\n    raise KeyError('sag')\n", "(KeyError: 'sag')"),
        (HOOK + "def procedure_tables():\n    return ['sag']\n", "(it gave something that is not a list of tables)"),
    ],
    ids=["looking", "leaving", "asked", "answering"],
)
def test_a_plugin_that_breaks_over_a_table_enters_nothing(
    book_file: Path, tmp_path: Path, write: Write, code: str, says: str
) -> None:
    """It is named; what it would have refused is not known."""
    plugins = with_these(write("sag", code))
    expected = (
        f"the procedure was not entered: plugin sag broke while it looked at its tables {says}; mend it, or block it"
    )
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        before = workshop.book.head()
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, with_a_table(tmp_path, "rear-axle-nut = 1"), Say("P-2"))

        assert (expected, before) == (str(refused.value), workshop.book.head())


PANELS = (
    "from torqueaudit.model.shown.section import ExtraSection\n" + HOOK + "def record_panels(job, around):\n    return "
)


def panels(book_file: Path, plugins: Plugins) -> JobView:
    """A job with nothing wrong, as it is shown."""
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, READY)
        return show_job(workshop, "1")


def test_record_panels_stand_on_the_record(book_file: Path, write: Write) -> None:
    """As data and at the bench; how the phone sets them is tried with the pages."""
    code = "[ExtraSection('Sag', (around.vehicle.tag,), ('where', 'mm'), (('front', '38'), ('rear wheel', '9')))]\n"
    view = panels(book_file, with_these(write("sag", PANELS + code)))
    lines = list(lines_of(view))

    assert [("Sag", ("bike-1",), ("where", "mm"), (("front", "38"), ("rear wheel", "9")), None)] == list(view.panels)
    at = lines.index("Sag:")
    assert ["", "Sag:", "  bike-1", "  where       mm", "  front       38", "  rear wheel  9"] == lines[at - 1 : at + 5]


@pytest.mark.parametrize("answer", ["None", "[]"])
def test_a_plugin_without_a_panel_adds_nothing(book_file: Path, write: Write, answer: str) -> None:
    """None is no fault."""
    assert () == panels(book_file, with_these(write("sag", f"{PANELS}{answer}\n"))).panels


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("[3 / 0]", "broke while it added to the record (ZeroDivisionError: division by zero)"),
        ("'<b>Sag</b>'", "answered with something that is not a list of record sections"),
        ("[ExtraSection('Sag', ('a',), ('mm',), ((38,),))]", "its section “Sag” holds something that is not text"),
        ("[ExtraSection('Sag', None)]", "its section “Sag” holds something that is not text"),
        ("[ExtraSection('Sag', rows=(('38',),))]", "its section “Sag” has rows that do not fit its columns"),
    ],
)
def test_a_plugin_that_breaks_a_panel_is_a_panel_that_says_so(
    book_file: Path, write: Write, answer: str, says: str
) -> None:
    """The record is shown all the same, and nothing is stopped by it."""
    view = panels(book_file, with_these(write("sag", f"{PANELS}{answer}\n")))
    sentence = f"Plugin sag: {says}. What it would have told is not known; have it mended."

    assert [("Not shown", (sentence,), (), (), None)] == list(view.panels)
    assert () == view.stops


@pytest.fixture
def with_a_broken_command(tmp_path: Path) -> Path:
    """A distribution as pip would lay it down; its command's module cannot be imported."""
    information = tmp_path / "breaks-1.0.dist-info"
    information.mkdir()
    (information / "METADATA").write_text("Metadata-Version: 2.1\nName: breaks\nVersion: 1.0\n", encoding="utf-8")
    (information / "entry_points.txt").write_text("[torqueaudit.commands]\nbreaks = breaks:breaks\n", encoding="utf-8")
    module = '"""`torqueaudit breaks`: shows what a broken command does."""\n\nimport nothing_of_that_name\n'
    (tmp_path / "breaks.py").write_text(module, encoding="utf-8")
    return tmp_path


def command(path: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """`torqueaudit` in a process that sees what lies in a folder."""
    environment = {**os.environ, "PYTHONPATH": str(path), "PYTHONIOENCODING": "utf-8"}
    python = [sys.executable, "-c", "from torqueaudit.cli.main import main; main()", *words]
    return subprocess.run(python, env=environment, capture_output=True, text=True, encoding="utf-8", check=False)


def test_help_imports_no_command(with_a_broken_command: Path) -> None:
    """One that cannot be imported is listed all the same, with its sentence."""
    done = command(with_a_broken_command, "--help")

    assert (0, "") == (done.returncode, done.stderr)
    assert "Shows what a broken command does." in done.stdout


def test_a_command_that_cannot_be_imported_says_so_when_it_is_run(with_a_broken_command: Path) -> None:
    """One sentence, and the other commands go on."""
    done = command(with_a_broken_command, "breaks")

    assert done.returncode == 1
    assert "the command breaks of breaks:breaks cannot be loaded: No module named 'nothing_of_that_name'" in done.stderr
    assert command(with_a_broken_command, "convert", "80 lbf·ft", "N·m").returncode == 0


def test_help_loads_no_plugins_command_of_the_bundle(tmp_path: Path) -> None:
    """Read from the files, not run."""
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom torqueaudit.cli.main import cli\n"
        "CliRunner().invoke(cli, ['--help'])\n"
        "print([name for name in sys.modules if name.startswith('torqueaudit_plugins')])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)

    assert "[]\n" == done.stdout


KIND = """
from decimal import Decimal
from torqueaudit.hooks import hookimpl
from torqueaudit.model.procedure.kinds import Derived, InputSpec, MeasurementKind

def derive(readings, measurement, tables):
    loaded, free = (readings.inputs[name][0].value for name in ("loaded", "free"))
    return Derived(free - loaded)

@hookimpl
def measurement_kinds():
    return [MeasurementKind({name!r}, ("mm",), (InputSpec("loaded", "mm"), InputSpec("free", "mm")), derive)]
"""
SAG = '[[work]]\nmeasure = "sag"\nname = "fork sag"\nkind = "fork sag"\nunit = "mm"\n'


def with_a_measurement(folder: Path, work: str) -> Path:
    """The procedure "axle" with one more thing to do."""
    text = Path(torqueaudit.testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    path = folder / "sagging.toml"
    path.write_text(text.replace("[recheck]", f"{work}\n[recheck]"), encoding="utf-8")
    return path


def test_measurement_kinds_are_known_to_procedures_and_make_their_plugin_needed(
    book_file: Path, tmp_path: Path, write: Write
) -> None:
    """What is told goes to the plugin, and its answer into the entry."""
    plugins = with_these(write("sag", KIND.format(name="fork sag")))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        digest = enter_procedure(workshop, with_a_measurement(tmp_path, SAG), Say("P-2"))
        play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 by P-2")
        play(workshop, "2031-04-02 10:01 job 1 sag measured loaded 40 mm, free 75 mm by P-2")
        taken = workshop.record("1").measured("sag")

        assert ("sag",) == workshop.procedure(digest).procedure.needs
        assert taken is not None
        assert ("35", "mm", "fork sag") == (str(taken.value), taken.unit, taken.kind)


@pytest.mark.parametrize(
    ("work", "says"),
    [
        (
            SAG.replace('kind = "fork sag"', 'kind = "fork sack"'),
            'line 28, sag.kind: "fork sack" is known to no plugin; did you mean "fork sag"?',
        ),
        (SAG.replace('unit = "mm"', 'unit = "%"'), 'line 29, sag.unit: fork sag comes out in mm, not in "%"'),
        (
            SAG.replace('unit = "mm"', 'max = "3 %"\nsource = "manual"\npage = "2-1"'),
            'line 28, sag.kind: fork sag comes out in mm, not in "%"',
        ),
        (
            '[[work]]\nstep = "look"\nname = "look"\nsays = "Look."\nmeans = "Worn."',
            "line 29, look.means: says what a fault means that is found; write look = true as well",
        ),
    ],
)
def test_a_kind_that_nobody_knows_is_a_mistake_with_its_line(
    book_file: Path, tmp_path: Path, write: Write, work: str, says: str
) -> None:
    plugins = with_these(write("sag", KIND.format(name="fork sag")))
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        path = with_a_measurement(tmp_path, work)
        with pytest.raises(Refused) as refused:
            enter_procedure(workshop, path, Say("P-2"))

    assert f"the procedure was not entered:\n{path}:{says}" == str(refused.value)


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (KIND.format(name="fork sag"), "“fork sag” is also given by plugin sag"),
        (KIND.format(name="dimension"), "“dimension” is also given by the core"),
        (KIND.format(name=""), "“” has no name, no unit or no input"),
        (KIND.format(name="a").replace("return [M", "return [1, M"), "it gave something that is not a list of kinds"),
        (HOOK + "def measurement_kinds():\n    return 3 / 0\n", "division by zero"),
    ],
)
def test_measurement_kinds_that_clash_are_refused_with_their_plugin(
    book_file: Path, write: Write, code: str, says: str
) -> None:
    """As units are, once somebody asks for kinds; the other plugin's kind stays."""
    plugins = with_these(write("sag", KIND.format(name="fork sag")), write("sag_too", code)).asked_through()
    play_ready = stops(book_file, plugins)

    assert f"its measurement kinds were refused: {says}" == plugins.states["sag_too"].state
    assert ["sag"] == [owned.plugin for owned in plugins.kinds.values() if owned.plugin != "final_drive"]
    assert [f"plugin sag_too: its measurement kinds were refused: {says}. {MEND}"] == play_ready


@pytest.mark.parametrize(
    "chart",
    [
        "'<svg/>'",
        "Chart('Wear', '', 'km', '%', ((0, 1),))",
        "Chart('Wear', 'It wears.', 'km', '%', ())",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, float('nan')),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1e300),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1, 2),))",
        "Chart('Wear', 'It wears.', 'km', '%', ((0, 1),), limit='1')",
        "Chart('Wear', 'It wears.', 'km', 3, ((0, 1),))",
    ],
)
def test_a_picture_that_cannot_be_drawn_is_told(book_file: Path, write: Write, chart: str) -> None:
    code = f"{PANELS}[ExtraSection('Wear', chart={chart})]\n".replace("import Extra", "import Chart, Extra")
    view = panels(book_file, with_these(write("sag", code)))
    says = "Plugin sag: its section “Wear” holds a picture that is no chart of finite numbers with its text."

    assert [f"{says} What it would have told is not known; have it mended."] == [
        s for p in view.panels for s in p.in_words
    ]


def test_a_picture_is_its_text_at_the_bench(book_file: Path, write: Write) -> None:
    chart = "Chart('Wear', 'It wears by 0.1 %.', 'km', '%', ((0, 1),))"
    code = f"{PANELS}[ExtraSection('Sag', ('Look.',), chart={chart})]\n".replace("import Extra", "import Chart, Extra")
    lines = list(lines_of(panels(book_file, with_these(write("sag", code)))))

    assert ["Sag:", "  Look.", "  It wears by 0.1 %."] == lines[lines.index("Sag:") : lines.index("Sag:") + 3]
