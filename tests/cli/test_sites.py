"""`--sites all` asks every site of a chain: each is told under its name, and the worst exit code counts."""

import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from subprocess import CompletedProcess
from typing import TYPE_CHECKING

import pytest
from apart import run_apart

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from torqueaudit.book.address import Server

Run = Callable[..., CompletedProcess[str]]


@pytest.fixture
def run(
    in_database: "Callable[[Path, Path], AbstractContextManager[Server]]", book_file: Path, tmp_path: Path
) -> Iterator[Run]:
    """Commands in the database of a chain with the ready-made book of YARD and a new one of QUAY."""
    with in_database(book_file, tmp_path / "beside") as place:
        address = place.named.replace("site=YARD&", "")

        def run_words(*words: str, site: str = "") -> CompletedProcess[str]:
            book = f"{address}&site={site}" if site else address
            surroundings = {**os.environ, "TORQUEAUDIT_BOOK": book}
            script = str(Path(sys.executable).with_name("torqueaudit"))
            return run_apart([script, *words], surroundings, str(tmp_path))

        quay = ("--site", "QUAY", "--zone", "UTC", "--address", "http://192.168.1.21:8080")
        assert 0 == run_words("new", *quay, site="QUAY").returncode
        assert (
            0
            == run_words(
                "vehicle", "add", "Quay's own", "--model", "Kestrel 500", "--year", "2030", "--by", "setup", site="QUAY"
            ).returncode
            in (0, 1)
        )
        yield run_words


def test_every_ledger_is_verified(run: Run) -> None:
    """Under the name of its site."""
    done = run("ledger", "verify", "--sites", "all")
    lines = done.stdout.splitlines()

    assert 0 == done.returncode
    assert ["QUAY:", "YARD:"] == [line for line in lines if line.endswith(":")]
    assert ["QUAY", "YARD"] == [line.split()[-1].partition("/")[0] for line in lines if line.startswith("sound up to")]


def test_what_is_to_be_decided_is_told_of_each(run: Run) -> None:
    """As data it is one object."""
    done = run("today", "--sites", "all", "--json")

    assert ["QUAY", "YARD"] == list(json.loads(done.stdout)["sites"])
    assert 0 == done.returncode


def test_something_is_found_wherever_it_is(run: Run) -> None:
    """A plate that one site alone knows."""
    found = json.loads(run("find", "ARD", "101", "--sites", "all", "--json").stdout)["sites"]

    assert ([], ["V-1"]) == tuple([hit["number"] for hit in found[site]["hits"]] for site in ("QUAY", "YARD"))


def test_each_night_is_written_into_a_folder_of_its_own(run: Run, tmp_path: Path) -> None:
    """A site that has nothing to say does not hide another that has."""
    done = run("nightly", "--sites", "all", "--out", "reports")
    written = sorted(each.parent.name for each in (tmp_path / "reports").rglob("*.pdf"))

    assert ["QUAY", "YARD"] == written
    assert done.returncode in (0, 1)


def test_a_file_has_one_site(run: Run, book_file: Path) -> None:
    """So nothing is asked of others."""
    assert run("today").returncode == 1  # several sites, none named
    surroundings = {**os.environ, "TORQUEAUDIT_BOOK": str(book_file)}
    script = str(Path(sys.executable).with_name("torqueaudit"))
    done = run_apart([script, "today", "--sites", "all"], surroundings, str(book_file.parent))

    assert 2 == done.returncode
    assert done.stderr.endswith("is a book in a file, of one site alone; --sites is for a database\n")
