r"""What is written into a unit is read back as it was: by the rules of systemd's manual, and by systemd.

systemd.syntax(7), “Quoting”: within double quotes, `\"` is a quote and `\\` a backslash; Python's `shlex` reads them so
too, as a POSIX shell does. systemd.unit(5), “Specifiers”: `%%` is a percent sign.
"""

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.systemd.quoting import command, word

AWKWARD = st.text(alphabet="ab/ %$\"'\\;#{}~`éß&*?", min_size=1)


def as_read(line: str) -> list[str]:
    """The words of a line, with its specifiers resolved; a percent sign that stands alone would be one."""
    words = shlex.split(line)
    assert [] == [each for each in words if "%" in each.replace("%%", "")]
    return [each.replace("%%", "%") for each in words]


@given(st.lists(AWKWARD, min_size=1))
def test_every_word_is_read_back_as_it_was(words: list[str]) -> None:
    """One after the other, whatever signs are in them."""
    line = " ".join(map(word, words))

    assert words == as_read(line)


@given(AWKWARD)
def test_a_word_in_quotes_is_closed_by_its_own_end_alone(value: str) -> None:
    """Quotes stand around the whole word, as systemd.syntax(7) asks for: nothing is open behind it."""
    written = word(value)
    inner = re.fullmatch(r'"((?:[^"\\]|\\["\\])*)"', written)

    assert inner or not set(written) & set(" \"'\\%;#")


@pytest.mark.parametrize("sign", ["\n", "\t", "\r", "\0", "\x7f", "\x85", "\u2028", "\udcff"])
def test_what_no_line_can_hold_is_refused(sign: str) -> None:
    """A control character, a line break of any alphabet, and a byte of a name that is no UTF-8."""
    with pytest.raises(ValueError, match="cannot stand in a unit of systemd"):
        word(f"/srv/a{sign}b")


@pytest.mark.parametrize("sign", ['"', "'", "\\"])
def test_a_program_that_systemd_would_not_start_is_refused(sign: str) -> None:
    """Its path may have no quotes and no backslashes in it, however they are written."""
    with pytest.raises(ValueError, match="starts no program"):
        command(f"/opt/it{sign}s/torqueaudit", "serve")


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="systemd-analyze is not on this machine")
@pytest.mark.parametrize("name", ["a b", "100% of", "%h", "$HOME", "a;b", "ß #1", "a${b}"])
def test_systemd_finds_a_program_of_an_awkward_name(name: str, tmp_path: Path) -> None:
    """It says so of one that is not there; so it read the very name."""
    program, unit = tmp_path / name / "torqueaudit", tmp_path / "awkward.service"
    program.parent.mkdir()
    program.symlink_to("/bin/true")
    unit.write_text(f"[Service]\nType=oneshot\nExecStart={command(str(program), name)}\n", encoding="utf-8")
    found = _verified(unit)
    program.unlink()
    missing = _verified(unit)

    assert (0, "") == (found.returncode, found.stderr)
    assert f"Command {program} is not executable" in missing.stderr


def _verified(unit: Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(["systemd-analyze", "verify", str(unit)], capture_output=True, text=True, check=False)
