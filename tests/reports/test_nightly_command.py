"""`torqueaudit nightly` as a timer runs it: what it prints, which files it leaves, and its exit code."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FULL_DISK = (
    "import resource; from torqueaudit.cli import start; resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))"
)
NO_PANGO = """
print("WeasyPrint could not import some external libraries.")
raise OSError("cannot load library 'libpango-1.0-0'")
"""


def nightly(yard: Any, *arguments: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(yard.path), "nightly", *arguments])


def test_nothing_missed_is_code_0(yard_of_late: Any, tmp_path: Path) -> None:
    """A job looked at again, and the four files where they were asked for; the head is that of the night itself."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    result = nightly(yard_of_late, "--out", str(tmp_path / "nights"))
    head = yard_of_late.workshop.book.head()

    assert (result.exit_code, result.stderr) == (0, "")
    assert "Nothing was missed." in result.stdout
    assert "Re-checks missed: none" in result.stdout
    assert f"Head of the chain: {head}" in result.stdout
    assert 4 == len(list((tmp_path / "nights").iterdir())) == result.stdout.count("written: ")


def test_a_night_is_told_although_nothing_can_be_recorded(yard_of_late: Any) -> None:
    """An entry that the book will not take: the report stands, and the next night judges everything again."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    yard_of_late.workshop.book.close()
    code = f"{FULL_DISK}; import sys; sys.argv[1:] = ['--book', {str(yard_of_late.path)!r}, 'nightly']; start.main()"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert (0, True) == (result.returncode, "Nothing was missed." in result.stdout), result.stderr
    assert result.stderr.startswith("That everything was judged could not be recorded: ")


def test_a_missed_recheck_is_code_1_and_names_the_vehicle(yard_of_late: Any) -> None:
    """Without --out nothing is written; the lines are on the screen all the same."""
    job = yard_of_late.clean(yard_of_late.vehicle("red tourer"))
    result = nightly(yard_of_late)

    assert result.exit_code == 1
    assert "Re-checks missed: 1" in result.stdout
    assert "  red tourer, V-1: call the owner (no number and no address is kept)\n" in result.stdout
    assert f"    job {job}: Re-check 25 days late." in result.stdout
    assert "written" not in result.stdout


def test_json_is_data_alone(yard_of_late: Any, tmp_path: Path) -> None:
    """The standard output parses; where the files lie is said beside it."""
    yard_of_late.clean(yard_of_late.vehicle("red tourer"))
    result = nightly(yard_of_late, "--json", "--out", str(tmp_path / "nights"))
    files = sorted((tmp_path / "nights").glob("*.json"))

    assert json.loads(result.stdout)["exit_code"] == result.exit_code == 1
    assert files[0].read_text(encoding="utf-8") != ""
    assert result.stderr.count("written: ") == 4


def test_a_day_that_is_none_or_has_not_come_is_code_2_and_one_sentence(yard_of_late: Any) -> None:
    """Wrong use is told, never reported as a good night."""
    wrong, ahead = nightly(yard_of_late, "--date", "yesterday"), nightly(yard_of_late, "--date", "2199-01-01")

    assert (wrong.exit_code, ahead.exit_code) == (2, 2)
    assert "yesterday: write a date as 2031-04-02" in wrong.stderr
    assert ahead.stderr == "The nightly report failed: 2199-01-01 has not come yet; give today or an earlier day\n"


def test_a_book_that_is_none_is_code_2(tmp_path: Path) -> None:
    """A missing book and a file that is no book: one sentence each, no traceback."""
    stranger = tmp_path / "letter.txt"
    stranger.write_text("Dear workshop, " * 200, encoding="utf-8")
    results = [CliRunner().invoke(cli, ["--book", str(path), "nightly"]) for path in (tmp_path / "none", stranger)]

    assert [result.exit_code for result in results] == [2, 2]
    assert [result.stderr.count("\n") for result in results] == [1, 1]
    assert all(result.stderr.startswith("The nightly report failed: ") for result in results)


def test_a_damaged_book_is_code_2(yard_of_late: Any) -> None:
    """A trigger gone and an entry rewritten: told as what could not be audited."""
    job = yard_of_late.clean(yard_of_late.vehicle("tourer"))
    yard_of_late.damage(job, "100 N", "99 N")
    result = nightly(yard_of_late)

    assert result.exit_code == 2
    assert "Not everything could be audited." in result.stdout
    assert "was altered" in result.stdout


def test_files_that_cannot_be_written_are_code_2(yard_of_late: Any, tmp_path: Path) -> None:
    """A file in place of the folder; what was missed stays on the screen."""
    yard_of_late.clean(yard_of_late.vehicle("tourer"))
    target = tmp_path / "nights"
    target.write_text("mine", encoding="utf-8")
    result = nightly(yard_of_late, "--out", str(target))

    assert result.exit_code == 2
    assert "Re-checks missed: 1" in result.stdout
    assert f"The nightly report failed: {target} cannot be written" in result.stderr


def test_without_pango_the_other_files_are_kept(yard_of_late: Any, tmp_path: Path) -> None:
    """A renderer that cannot be loaded, as on a machine without the library: three files, one sentence, code 2.

    The PDF of an earlier run of the same day, which would say something else, is gone.
    """
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    (tmp_path / "path").mkdir()
    (tmp_path / "path" / "weasyprint.py").write_text(NO_PANGO, encoding="utf-8")
    out = tmp_path / "nights"
    nightly(yard_of_late, "--out", str(out))
    before = sorted(path.suffix for path in out.iterdir())
    result = subprocess.run(
        [sys.executable, "-c", "from torqueaudit.cli.main import main; main()", "nightly", "--out", str(out)],
        env={**os.environ, "PYTHONPATH": str(tmp_path / "path"), "TORQUEAUDIT_BOOK": str(yard_of_late.path)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert before == [".csv", ".html", ".json", ".pdf"]
    assert sorted(path.suffix for path in out.iterdir()) == [".csv", ".html", ".json"]
    assert result.returncode == 2
    assert result.stdout.count("written: ") == 3
    assert "WeasyPrint could not import" not in result.stdout
    assert "libpango-1.0-0" in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_motorcycle_is_one_row_with_all_its_reasons(yard_of_late: Any) -> None:
    """A mark that was found disturbed and a re-check that was missed: it is called once."""
    contact = {"contact": "+43 1 000000"}
    vehicle = add_vehicle(yard_of_late.workshop, "red tourer", "Kestrel 500", 2030, contact, Say("P-2"))
    job = yard_of_late.clean(vehicle)
    yard_of_late.mark(job, MarkState.DISTURBED)
    shown = nightly(yard_of_late).stdout
    told = json.loads(nightly(yard_of_late, "--json").stdout)
    (row,) = told["motorcycles"]
    by = f" (`torqueaudit vehicle owner {vehicle}` shows by what)"

    assert ["on-the-road", "re-checks-missed"] == [each["section"] for each in row["reasons"]]
    assert (vehicle, ["the owner"], True) == (row["vehicle"], row["calls"], row["reached"])
    assert [1, 0] == [shown.count(f"  red tourer, {vehicle}: call the owner{by}\n"), shown.count("+43 1")]
    assert "Re-checks missed: 1, told above\n" in shown
    assert f"    Re-checks missed, job {job}: Re-check 25 days late." in shown


def test_folders_by_date_are_asked_for_with_the_folder_they_lie_in(yard_of_late: Any) -> None:
    """Nothing would be written otherwise, and nobody would know."""
    done = nightly(yard_of_late, "--by-date")

    assert (2, "Error: --by-date makes folders in --out: give that as well") == (
        done.exit_code,
        done.stderr.splitlines()[-1],
    )
