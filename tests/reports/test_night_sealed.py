"""The nightly report and the seal: what it prints of it, and what it says where the ledger could not be sealed."""

import json
import os
import shutil
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from click.testing import CliRunner, Result

from torqueaudit.book import seals
from torqueaudit.book.places import heads_of, seals_of
from torqueaudit.cli.main import cli
from torqueaudit.ledger.note import NoSignatures, is_signed, new_key, note_of
from torqueaudit.model.act import Say
from torqueaudit.model.shown.night import Night
from torqueaudit.workshop.door.seal import keys_of
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.sealing import sealed
from torqueaudit.workshop.register.settings import settle

ZONE = ZoneInfo("Europe/Vienna")  # of the invented workshop
NO_CRYPTOGRAPHY = 'raise ImportError("libssl is missing")\n'


@pytest.fixture
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file of secrets of the test's own."""
    return tmp_path_factory.mktemp("own") / "secrets.json"


def nightly(yard: Any, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(yard.path), "nightly", *words])


def under(night: Night, key: str) -> list[str]:
    """The sentences of a section."""
    return [line.in_words for section in night.sections if section.key == key for line in section.lines]


def test_a_night_prints_what_it_sealed_and_keeps_it_beside_the_book(yard_of_late: Any) -> None:
    """The same note on the screen, in the data and in the file; its head is the one that the report prints."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    told = nightly(yard_of_late)
    data = json.loads(nightly(yard_of_late, "--json").stdout)
    first, second = (seals.read(file) for file in seals.files_of(yard_of_late.path))
    (key,) = keys_of(yard_of_late.workshop)

    assert f"Checkpoint, sealed with the key {key.key_id}:\n\n{first.note}" in told.stdout
    assert f"Head of the chain: {first.checkpoint.head}\n" in told.stdout
    assert (0, str(second.note), data["head"]) == (told.exit_code, data["seal"]["note"], str(second.checkpoint.head))
    assert (key.key_id, second.checkpoint.size) == (data["seal"]["key_id"], data["seal"]["size"])
    assert is_signed(note_of(data["seal"]["note"]), "torqueaudit/YARD", key.public)


def test_the_first_night_says_once_that_a_key_was_made(yard: Any, place: Path) -> None:
    """And the nights behind it say nothing of it."""
    yard.day("2031-05-01")
    first = sealed(yard.workshop, night_of(yard.workshop), place)
    yard.day("2031-05-02")
    second = sealed(yard.workshop, night_of(yard.workshop), place)
    assert first.seal

    says = f"From this night on the ledger is sealed, with the key {first.seal.key_id}. "
    assert [f"{says}Write that down away from the book: it tells your key from any other."] == under(first, "rest")
    assert [] == under(second, "rest")


def test_a_key_that_was_lost_is_replaced_and_the_report_says_so(yard: Any, place: Path) -> None:
    """Under the rest, with both keys; nothing was missed by it."""
    yard.day("2031-05-01")
    first = sealed(yard.workshop, night_of(yard.workshop), place)
    place.unlink()
    yard.day("2031-05-02")
    second = sealed(yard.workshop, night_of(yard.workshop), place)
    assert first.seal
    assert second.seal

    lost = f"The key that seals the ledger changed: {first.seal.key_id} is no longer among the secrets, "
    assert [f"{lost}and {second.seal.key_id} was made in its place. Look who took it away."] == under(second, "rest")
    assert 0 == second.exit_code


def test_seals_that_are_gone_are_told_by_the_night(yard: Any, place: Path) -> None:
    """Under the rest, before it seals again."""
    yard.day("2031-05-01")
    first = sealed(yard.workshop, night_of(yard.workshop), place)
    shutil.rmtree(seals_of(yard.path))
    yard.day("2031-05-02")
    second = sealed(yard.workshop, night_of(yard.workshop), place)
    (says,) = under(second, "rest")
    assert first.seal
    assert second.seal

    assert says.startswith(f"The ledger names the key {first.seal.key_id} that seals it, and no seal lies in ")
    assert (0, [second.seal.size]) == (second.exit_code, [int(each.stem[-10:]) for each in seals.files_of(yard.path)])


def test_a_foreman_who_changed_the_key_is_told_with_the_reason(yard_of_late: Any) -> None:
    """In the report of that day."""
    nightly(yard_of_late)
    command = ["--book", str(yard_of_late.path), "ledger", "new-key", "--why", "the machine was sold", "--by", "P-1"]
    changed = CliRunner().invoke(cli, command)
    key = keys_of(yard_of_late.workshop)[-1]
    told = nightly(yard_of_late, "--date", datetime.now(ZONE).date().isoformat())

    assert 0 == changed.exit_code
    assert changed.stdout.startswith(f"From entry #{key.entry} on the ledger is sealed with the key {key.key_id}, ")
    assert f"  P-1 changed the key that seals the ledger to {key.key_id}: the machine was sold.\n" in told.stdout
    assert f"Checkpoint, sealed with the key {key.key_id}:\n" in told.stdout


@pytest.mark.parametrize("each_night", [500_000, 1], ids=["verified whole", "verified since the week began"])
def test_a_ledger_that_does_not_fit_its_seals_is_not_judged_to_be_sound(
    yard: Any, place: Path, each_night: int
) -> None:
    """It is sound in itself, and its seal knew more: code 2, and nothing is recorded behind it or sealed."""
    yard.day("2031-05-01")
    before = night_of(yard.workshop)
    keep_in_full(yard.workshop, before, Say("night"))
    kept = yard.workshop.book.head().sequence
    settle(yard.workshop, {"late_minutes": 90}, Say("P-1"))
    first = sealed(yard.workshop, before, place)
    engine = yard.workshop.book.engine
    ((guard,),) = engine.rows("select sql from sqlite_schema where name = 'ledger_no_delete'")
    engine.run("drop trigger ledger_no_delete")
    engine.run("delete from ledger where position > ?", (kept,))
    engine.run(guard)
    heads_of(yard.path).unlink()
    yard.restart()
    yard.workshop.book.rebuild()
    yard.day("2031-05-02")
    night = night_of(yard.workshop, each_night=each_night)
    keep_in_full(yard.workshop, night, Say("night"))
    night = sealed(yard.workshop, night, place)
    assert first.seal

    assert (2, None, kept) == (night.exit_code, night.seal, yard.workshop.book.head().sequence)
    first_line, fault, *_, last = under(night, "could-not-audit")
    assert first_line.startswith("The book does not verify")
    assert f"up to entry {first.seal.size}" in fault
    assert "its tail is lost." in fault
    assert "Not sealed, because the book does not verify." == last


def test_a_ledger_that_stopped_fitting_while_it_was_judged_is_not_sealed(yard: Any, place: Path) -> None:
    """Whatever happened to it between the verification and the seal."""
    yard.day("2031-05-01")
    sealed(yard.workshop, night_of(yard.workshop), place)
    judged = night_of(yard.workshop)
    engine = yard.workshop.book.engine
    engine.run("drop trigger ledger_no_delete")
    engine.run("delete from ledger where position > 5")
    yard.restart()
    night = sealed(yard.workshop, judged, place)

    assert (2, None, 5) == (night.exit_code, night.seal, yard.workshop.book.head().sequence)
    (says,) = under(night, "could-not-audit")
    assert says.startswith("Not sealed: the ledger was sealed up to entry ")
    assert says.endswith("its tail is lost. Keep the book as it is, and verify its ledger today.")


def test_what_keeps_a_night_from_being_sealed_is_told_and_loses_nothing(yard: Any, place: Path) -> None:
    """A file stands where the seals should be kept: the verdict stands, and the key that was made is told."""
    yard.day("2031-05-01")
    seals_of(yard.path).write_text("mine", encoding="utf-8")
    night = sealed(yard.workshop, night_of(yard.workshop), place)
    made, failed = under(night, "rest")

    assert (0, None) == (night.exit_code, night.seal)
    assert made.startswith("From this night on the ledger is sealed")
    assert failed.startswith(f"The ledger could not be sealed: {seals_of(yard.path)}")
    assert failed.count(". ") == 0


@pytest.mark.parametrize("before", [True, False], ids=["sealed before", "never sealed"])
def test_a_week_without_a_seal_is_what_could_not_be_audited(yard: Any, place: Path, before: bool) -> None:  # noqa: FBT001
    """Since when is told with it: the first entry under no seal, or the first night of a ledger that has none."""
    refused = yard.folder / "secrets.json"
    yard.day("2031-05-01")
    if before:
        assert sealed(yard.workshop, night_of(yard.workshop), place).seal
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))
    yard.day("2031-05-07")
    sixth = sealed(yard.workshop, night_of(yard.workshop), refused)
    yard.day("2031-05-08")
    seventh = sealed(yard.workshop, night_of(yard.workshop), refused)
    (early,), (late,) = under(sixth, "rest"), under(seventh, "could-not-audit")

    assert (0, [], 2, []) == (
        sixth.exit_code,
        under(sixth, "could-not-audit"),
        seventh.exit_code,
        under(seventh, "rest"),
    )
    assert early.startswith("The ledger could not be sealed: The file of secrets ")
    assert f"{early} What was recorded since 2031-05-01 lies under no seal." == late


def test_a_quiet_book_needs_no_new_seal(yard: Any, place: Path) -> None:
    """Everything lies under the one of a month ago."""
    yard.day("2031-05-01")
    assert sealed(yard.workshop, night_of(yard.workshop), place).seal
    yard.day("2031-06-01")
    night = sealed(yard.workshop, night_of(yard.workshop), yard.folder / "secrets.json")

    assert (0, []) == (night.exit_code, under(night, "could-not-audit"))


def test_secrets_in_the_folder_of_the_book_are_refused_and_told(yard: Any) -> None:
    """No key is made there."""
    yard.day("2031-05-01")
    night = sealed(yard.workshop, night_of(yard.workshop), yard.folder / "secrets.json")

    assert (0, None, ()) == (night.exit_code, night.seal, keys_of(yard.workshop))
    assert under(night, "rest")[0].startswith("The ledger could not be sealed: The file of secrets ")
    assert not (yard.folder / "secrets.json").exists()


@pytest.mark.parametrize("nights", [0, 1], ids=["never sealed", "sealed before"])
def test_without_cryptography_the_report_comes_and_says_so(yard_of_late: Any, tmp_path: Path, nights: int) -> None:
    """A library that cannot be loaded: one line under the rest, and no key is named that nobody has."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    for _ in range(nights):
        nightly(yard_of_late)
    (tmp_path / "path" / "cryptography").mkdir(parents=True)
    (tmp_path / "path" / "cryptography" / "__init__.py").write_text(NO_CRYPTOGRAPHY, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", "from torqueaudit.cli.main import main; main()", "nightly"],
        env={**os.environ, "PYTHONPATH": str(tmp_path / "path"), "TORQUEAUDIT_BOOK": str(yard_of_late.path)},
        capture_output=True,
        text=True,
        check=False,
    )
    says = "The ledger could not be sealed: signatures do not work on this machine (ImportError: libssl is missing)."

    assert (0, "") == (done.returncode, done.stderr)
    assert f"  {says}\n" in done.stdout
    assert nights == len(keys_of(yard_of_late.workshop))


def test_a_private_key_of_the_wrong_length_is_no_fault_of_the_program() -> None:
    """What the library refuses is told as what it is."""
    with pytest.raises(NoSignatures, match="signatures do not work on this machine"):
        new_key(b"short")


def test_a_seal_makes_no_night_judge_everything(yard: Any, place: Path) -> None:
    """An entry of the site that names a key concerns no job; a setting does."""
    yard.day("2031-05-01")
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))
    sealed(yard.workshop, night_of(yard.workshop), place)
    yard.day("2031-05-02")
    quiet = night_of(yard.workshop).judged_in_full
    settle(yard.workshop, {"late_minutes": 90}, Say("P-1"))

    assert ("2031-04-30", "2031-05-01") == (str(quiet), str(night_of(yard.workshop).judged_in_full))
