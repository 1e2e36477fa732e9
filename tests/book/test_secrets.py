"""The file of secrets: where it may lie, who may read it, and what stays in it."""

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from torqueaudit.book.errors import BookError
from torqueaudit.book.secrets import Secrets, default_place

OWN = pytest.mark.skipif(os.name == "nt", reason="Windows has no such rights")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Where a book would lie."""
    (tmp_path / "books").mkdir()
    return tmp_path / "books" / "yard.book"


def test_a_key_is_kept_and_taken_away_beside_what_else_is_there(book: Path, tmp_path: Path) -> None:
    """The password that somebody wrote stays, and so does the key of another book."""
    place = tmp_path / "own" / "secrets.json"
    secrets = Secrets(place, book)
    secrets.keep("first", "1")
    place.write_text(json.dumps({**json.loads(place.read_text()), "mail_password": "open"}), encoding="utf-8")
    secrets.keep("second", "2")
    secrets.forget("first")

    assert {"mail_password": "open", "seal_keys": {"second": "2"}} == json.loads(place.read_text(encoding="utf-8"))
    assert (None, "2", "open") == (secrets.private_of("first"), secrets.private_of("second"), secrets.password())
    assert [place.name] == [each.name for each in place.parent.iterdir()]


@OWN
def test_nobody_else_may_read_it(book: Path, tmp_path: Path) -> None:
    """It is made so, and one that was opened to others is not used."""
    place = tmp_path / "own" / "secrets.json"
    Secrets(place, book).keep("public", "private")
    rights = [stat.S_IMODE(each.stat().st_mode) for each in (place, place.parent)]
    place.chmod(0o640)

    assert [0o600, 0o700] == rights
    with pytest.raises(BookError, match=r"Others may read the file of secrets .*; allow it to its owner alone"):
        Secrets(place, book).private_of("public")
    with pytest.raises(BookError, match="Others may read"):
        Secrets(place, book).keep("another", "private")


@pytest.mark.parametrize("place", ["secrets.json", "below/secrets.json", "yard.book.papers/secrets.json"])
def test_it_does_not_lie_in_the_folder_of_the_book(book: Path, place: str) -> None:
    """Nor below it: whoever copies the book would take the key along."""
    with pytest.raises(BookError, match="lies in the book's own folder"):
        Secrets(book.parent / place, book)


def test_a_link_into_the_folder_of_the_book_is_followed(book: Path, tmp_path: Path) -> None:
    """What counts is where it lies in the end."""
    (tmp_path / "elsewhere.json").symlink_to(book.parent / "secrets.json")
    with pytest.raises(BookError, match="lies in the book's own folder"):
        Secrets(tmp_path / "elsewhere.json", book)


def test_null_is_nothing(book: Path, tmp_path: Path) -> None:
    """A pepper is written in its place, so that PINs made with it hold; a password is none."""
    place = tmp_path / "own" / "secrets.json"
    Secrets(place, book).keep("public", "private")
    told = {**json.loads(place.read_text(encoding="utf-8")), "pin_pepper": None, "mail_password": None}
    place.write_text(json.dumps(told), encoding="utf-8")
    secrets = Secrets(place, book)

    assert (None, "") == (secrets.pepper(), secrets.password())
    assert [b"p" * 32] * 2 == [secrets.keep_pepper(b"p" * 32), secrets.pepper()]
    assert b"p" * 32 == secrets.keep_pepper(b"q" * 32)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"seal_keys": 1}', "\0"])
def test_a_file_that_holds_no_secrets_is_told_and_never_written_over(book: Path, tmp_path: Path, text: str) -> None:
    """One sentence, and what stood there stays."""
    place = tmp_path / "secrets.json"
    place.write_text(text, encoding="utf-8")
    place.chmod(0o600)
    with pytest.raises(BookError, match="holds no secrets; bring it back"):
        Secrets(place, book).private_of("x")
    with pytest.raises(BookError, match="holds no secrets; bring it back"):
        Secrets(place, book).keep("x", "y")

    assert text == place.read_text(encoding="utf-8")


def test_a_place_that_cannot_be_written_is_told(book: Path, tmp_path: Path) -> None:
    """A file stands where its folder should be."""
    (tmp_path / "own").write_text("mine", encoding="utf-8")
    with pytest.raises(BookError, match=r"The file of secrets .* cannot be written: "):
        Secrets(tmp_path / "own" / "secrets.json", book).keep("public", "private")


def test_a_user_without_a_home_is_told_to_name_a_file(book: Path) -> None:
    """As a number that no list of users has, in a container."""
    asking = "import os, pwd; from torqueaudit.book.secrets import default_place; os.setuid(54321)"
    said = subprocess.run(
        [sys.executable, "-c", f"{asking}; print(default_place())"],
        env={"PATH": os.environ["PATH"]},
        capture_output=True,
        text=True,
        check=False,
    )
    if "Operation not permitted" in said.stderr:
        pytest.skip("only root becomes somebody else")

    assert ("None\n", "") == (said.stdout, said.stderr)
    with pytest.raises(BookError, match="This user has no home for a file of secrets; name a file"):
        Secrets(None, book)


def test_its_place_is_named_or_in_the_users_own_configuration(
    monkeypatch: pytest.MonkeyPatch, own_secrets: Path
) -> None:
    """TORQUEAUDIT_SECRETS names the file itself."""
    own = default_place()
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", "/safe/keys.json")

    assert (own_secrets, Path("/safe/keys.json")) == (own, default_place())
