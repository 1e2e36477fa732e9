"""`job record`, as it is typed."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def opened(run: Run) -> Run:
    """A job."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km").check_returncode()
    return run


def test_a_record_is_written_and_replaced(opened: Run, tmp_path: Path) -> None:
    """It says as of when, by the book; asked twice it is the same file."""
    file = tmp_path / "record.pdf"
    first = opened("job", "record", "1", "--out", str(file))
    before = file.read_bytes()
    second = opened("job", "record", "1", "--out", str(file))
    with pypdfium2.PdfDocument(before) as document:
        text = document[0].get_textpage().get_text_bounded()

    assert first.stdout.startswith(f"written: {file}, as the book stood on ")
    assert (0, before, first.stdout) == (second.returncode, file.read_bytes(), second.stdout)
    assert "NOT RELEASED" in text
    assert "" == second.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("99", "--out", "a.pdf"), "job 99: no such job; `torqueaudit job list` shows them"),
        (("1", "--out", "a.txt"), "a.txt: a record is a PDF; write it as a.pdf"),
        (("1", "--out", "nowhere/a.pdf"), "nowhere/a.pdf cannot be written: No such file or directory"),
        (("1",), "Missing option '--out'"),
    ],
)
def test_what_cannot_be_written_is_said_in_one_sentence(
    opened: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    """With what to do; no file is left."""
    monkeypatch.chdir(tmp_path)
    refused = opened("job", "record", *words)

    assert refused.returncode != 0
    assert says in refused.stderr
    assert [] == list(tmp_path.glob("**/a.*"))
