"""`torqueaudit ledger prove`, `check-proof` and `verify --against`, as somebody types them who has a checkpoint."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from torqueaudit.book import seals
from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Act, Draft, Entry, document_of, place
from torqueaudit.ledger.merkle import leaf_of
from torqueaudit.ledger.note import new_key, signed
from torqueaudit.ledger.proof import Proof, proof_text

Run = Callable[..., subprocess.CompletedProcess[str]]
CHECKER = Path(__file__).parents[1] / "reference" / "check_proof.py"


@pytest.fixture
def sealed(run: Run, book_file: Path) -> seals.Seal:
    """A book that a night has sealed, and its checkpoint."""
    assert run("nightly").returncode in {0, 1}
    (file,) = seals.files_of(book_file)
    return seals.read(file)


@pytest.fixture
def holder(tmp_path_factory: pytest.TempPathFactory, sealed: seals.Seal) -> Path:
    """The folder of somebody who keeps the checkpoint and has no book."""
    folder = tmp_path_factory.mktemp("holder")
    (folder / "mine.txt").write_bytes(sealed.file.read_bytes())
    return folder


def check(holder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """`torqueaudit ledger check-proof` where there is no book."""
    surroundings = {key: value for key, value in os.environ.items() if key != "TORQUEAUDIT_BOOK"}
    command = [str(Path(sys.executable).with_name("torqueaudit")), "ledger", "check-proof", *words]
    return subprocess.run(
        command, cwd=holder, env=surroundings, capture_output=True, text=True, check=False, encoding="utf-8"
    )


def test_a_proof_is_written_and_checked_without_the_book(run: Run, holder: Path, sealed: seals.Seal) -> None:
    """It says what is proved, by whose key, and what is not."""
    written = run("ledger", "prove", "#3", "--out", str(holder / "proof.json"))
    told = check(holder, "proof.json", "--against", "mine.txt")
    key = sealed.note.signatures[0].key_id
    moment = f"{sealed.checkpoint.sealed_at[:10]} at {sealed.checkpoint.sealed_at[11:16]} UTC"

    assert 0 == written.returncode, written.stderr
    size = sealed.checkpoint.size
    assert written.stdout.startswith(
        f"{holder / 'proof.json'}: proves entry #3 under the checkpoint of {size} entries."
    )
    assert (0, "") == (told.returncode, told.stderr)
    lines = told.stdout.splitlines()
    assert f"Proved: entry 3 stood so in the ledger of YARD when it was sealed on {moment}." == lines[0]
    assert "person/P-2" in lines[1]
    assert lines[2].startswith(f"Sealed: {size} entries, with the key {key}. Whose key that is, this file cannot prove")
    assert "Not proved: whether what the entry says is true, and what was recorded or struck since." == lines[4]


def test_the_second_program_checks_the_same_files(run: Run, holder: Path) -> None:
    """As a program of its own, with nothing of torqueaudit imported."""
    assert 0 == run("ledger", "prove", "3", "--out", str(holder / "proof.json")).returncode
    command = [sys.executable, "-I", "-X", "importtime", str(CHECKER), "proof.json", "mine.txt"]
    done = subprocess.run(command, cwd=holder, capture_output=True, text=True, check=False, encoding="utf-8")

    assert 0 == done.returncode
    assert done.stdout.startswith('proved: {"happened_at"')
    assert "cryptography" in done.stderr
    assert "torqueaudit" not in done.stderr


def test_a_proof_that_was_changed_is_code_1_and_a_sentence(run: Run, holder: Path) -> None:
    """Also as data, and by the second program."""
    run("ledger", "prove", "3", "--out", str(holder / "proof.json"))
    text = (holder / "proof.json").read_text(encoding="utf-8")
    (holder / "proof.json").write_text(text.replace("mechanic", "foremann"), encoding="utf-8")
    told = check(holder, "proof.json", "--against", "mine.txt")
    data = check(holder, "proof.json", "--against", "mine.txt", "--json")
    second = subprocess.run([sys.executable, str(CHECKER), "proof.json", "mine.txt"], cwd=holder, check=False)

    assert (1, 1, 1) == (told.returncode, data.returncode, second.returncode)
    assert "Not proved: entry 3 as it stands in the proof is not the one that was sealed.\n" == told.stdout
    assert {"proved": False, "says": told.stdout[12:-2]} == json.loads(data.stdout)


@pytest.mark.parametrize(("proof", "against"), [("mine.txt", "mine.txt"), ("proof.json", "proof.json")])
def test_files_that_were_mixed_up_prove_nothing(run: Run, holder: Path, proof: str, against: str) -> None:
    """One sentence, no traceback."""
    run("ledger", "prove", "3", "--out", str(holder / "proof.json"))
    told = check(holder, proof, "--against", against)

    assert (1, "", 1) == (told.returncode, told.stderr, len(told.stdout.splitlines()))
    assert told.stdout.startswith("Not proved: ")


def test_a_file_that_is_not_there_is_wrong_use(holder: Path) -> None:
    """Code 2, as everywhere."""
    assert 2 == check(holder, "none.json", "--against", "mine.txt").returncode


def test_what_is_proved_as_data_has_these_keys(run: Run, holder: Path) -> None:
    """A key goes or changes only with an entry in the changelog."""
    made = run("ledger", "prove", "3", "--out", str(holder / "proof.json"), "--json")
    told = json.loads(check(holder, "proof.json", "--against", "mine.txt", "--json").stdout)

    assert {"entry", "tree_size", "out"} == json.loads(made.stdout).keys()
    assert {"proved", "entry", "tree_size", "head", "sealed_at", "key_id"} == told.keys()
    assert told["proved"] is True


def test_a_ledger_is_verified_against_a_checkpoint_that_was_kept(run: Run, holder: Path, sealed: seals.Seal) -> None:
    """It says up to which entry and moment, beside the seals that lie with the book; a changed one is code 1."""
    mine = holder / "mine.txt"
    sound, data = (run("ledger", "verify", "--against", str(mine), *more) for more in ((), ("--json",)))
    size, key = sealed.checkpoint.size, sealed.note.signatures[0].key_id
    mine.write_text(mine.read_text(encoding="utf-8").replace("\nsealed 2", "\nsealed 3"), encoding="utf-8")
    altered = run("ledger", "verify", "--against", str(mine))

    assert (0, 0, 1) == (sound.returncode, data.returncode, altered.returncode)
    for whose in ("given", "beside the book"):
        assert f"Held against 1 checkpoint {whose}: entries 1 to {size} are those that were sealed on " in sound.stdout
    assert f"with the key {key}.\n" in sound.stdout
    told = {"checkpoints": 1, "entry": size, "sealed_at": sealed.checkpoint.sealed_at, "key_id": key}
    assert {"given": told, "kept": told, "lost": []} == json.loads(data.stdout)["held"]
    assert "against what is kept elsewhere" not in sound.stdout
    assert (
        f"{mine}: the signature does not hold; the file was altered, or made by somebody who has not" in altered.stdout
    )


def test_a_proof_is_not_written_where_nothing_can_be(run: Run, holder: Path) -> None:
    """One sentence."""
    done = run("ledger", "prove", "3", "--out", str(holder / "none" / "proof.json"))

    assert (1, 1) == (done.returncode, len(done.stderr.splitlines()))
    assert "cannot be written: No such file or directory" in done.stderr


def test_a_proof_is_written_over_nothing(run: Run, book_file: Path, holder: Path) -> None:
    """Neither over the book nor over a checkpoint that somebody keeps."""
    for there in (book_file, holder / "mine.txt"):
        before = there.read_bytes()
        done = run("ledger", "prove", "3", "--out", str(there))

        assert (1, "") == (done.returncode, done.stdout)
        assert f"{there} is there already; nothing was written over it. Give another name.\n" == done.stderr
        assert before == there.read_bytes()


def test_signs_that_a_terminal_would_obey_are_shown_as_what_they_are(holder: Path) -> None:
    """Anybody can seal an entry of their own and hand it over."""
    hostile = json.loads(document_of(placed("A1")))
    hostile["payload"]["said"] = {"remark": "\x1b[2Jproved \u202e"}
    document = canonical(hostile)
    sealed = Checkpoint(Head("FARM", 1, "ab" * 32), leaf_of(document.encode()), "2031-04-03T02:15:00Z")
    note = str(signed(sealed.text, sealed.name, bytes(32)))
    proof = Proof(document, 1, 1, (), note=note, public=new_key(bytes(32)))
    (holder / "theirs.json").write_text(proof_text(proof), encoding="utf-8")
    (holder / "theirs.txt").write_text(note, encoding="utf-8")
    told = check(holder, "theirs.json", "--against", "theirs.txt")

    assert 0 == told.returncode, told.stdout
    assert "⟨U+001B⟩[2Jproved ⟨U+202E⟩" in told.stdout
    assert "\x1b" not in told.stdout


def placed(act: str) -> Entry:
    """An entry of another site."""
    draft = Draft("job/12", "noted.1", datetime(2031, 4, 2, tzinfo=UTC), "P-3", said={})
    return place(Act(act, "ab" * 32), [draft], "FARM", "2031-04-02T12:00:00Z")[0]._replace(
        sequence=1, number=1, previous=FIRST_PREVIOUS
    )


@pytest.mark.parametrize(
    "words",
    [
        ("ledger", "new-key", "--why", "the machine was sold", "--by", "P-1"),
        ("ledger", "prove", "3", "--out", "proof.json"),
        ("ledger", "verify"),
    ],
    ids=lambda words: words[1],
)
def test_without_the_library_a_command_says_so_in_one_sentence(
    sealed: seals.Seal, book_file: Path, tmp_path: Path, words: tuple[str, ...]
) -> None:
    """Nothing is recorded, written or taken for sound."""
    (tmp_path / "path" / "cryptography").mkdir(parents=True)
    (tmp_path / "path" / "cryptography" / "__init__.py").write_text("raise ImportError('no libssl')", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", "from torqueaudit.cli.main import main; main()", *words],
        env={**os.environ, "PYTHONPATH": str(tmp_path / "path"), "TORQUEAUDIT_BOOK": str(book_file)},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert (1, "") == (done.returncode, done.stdout)
    assert "signatures do not work on this machine (ImportError: no libssl)\n" == done.stderr
    assert [sealed.file] == seals.files_of(book_file)
    assert not (tmp_path / "proof.json").exists()
