"""The text of a TOML file as it is read for every door."""

from pathlib import Path

import pytest

from torqueaudit.model.procedure.toml.values import LONGEST_TOML
from torqueaudit.read.toml_text import read_toml_text


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_a_file_says_the_same_with_and_without_the_mark_of_an_editor(tmp_path: Path, encoding: str) -> None:
    """The byte order mark of UTF-8 (RFC 3629, section 6) is no part of the text."""
    (tmp_path / "fork.toml").write_text('name = "Gabelöl"\n', encoding=encoding)

    assert 'name = "Gabelöl"\n' == read_toml_text(tmp_path / "fork.toml")


def test_no_more_is_read_than_shows_that_it_is_too_long(tmp_path: Path) -> None:
    """One sign more than a text may have."""
    (tmp_path / "fork.toml").write_text("#" * 3 * LONGEST_TOML, encoding="utf-8")

    assert LONGEST_TOML + 1 == len(read_toml_text(tmp_path / "fork.toml"))


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("bytes.toml", "cannot be read: it is no UTF-8 text; save it as such"),
        ("folder.toml", "cannot be read: Is a directory; look at its name"),
        ("none.toml", "cannot be read: No such file or directory; look at its name"),
    ],
)
def test_a_file_that_cannot_be_read_is_told(tmp_path: Path, name: str, says: str) -> None:
    """By its name, with what to do."""
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe")
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(ValueError, match=says) as told:
        read_toml_text(tmp_path / name)

    assert f"{tmp_path / name} {says}" == str(told.value)
