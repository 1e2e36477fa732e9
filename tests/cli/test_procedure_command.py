"""`torqueaudit procedure`, run as a user runs it."""

import json
import subprocess
import tomllib
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import Image

import torqueaudit.testing

Run = Callable[..., subprocess.CompletedProcess[str]]
AXLE = Path(torqueaudit.testing.__file__).with_name("axle.toml")
SAYS = (
    "  CAUTION: rear axle nut: 1.08 … 214.9 N·m is so wide that nothing is judged by it. Compare with the source. "
    "[limits-too-wide]"
)


def doubtful(folder: Path) -> Path:
    """The procedure `axle` with a tolerance of 99 %."""
    text = AXLE.read_text(encoding="utf-8")
    assert 'tolerance = "10 %"' in text
    (folder / "axle.toml").write_text(text.replace('tolerance = "10 %"', 'tolerance = "99 %"'), encoding="utf-8")
    return folder / "axle.toml"


def test_a_revision_is_told_against_the_one_before(run: Run, tmp_path: Path) -> None:
    """When it is entered, while a slip of the typing is still at hand; and whenever somebody asks."""
    first = run("procedure", "enter", str(AXLE)).stdout[:12]
    entered = run("procedure", "enter", str(doubtful(tmp_path))).stdout
    compared = run("procedure", "compare", first, entered[:12])
    as_json = json.loads(run("procedure", "compare", first, entered[:12], "--json").stdout)
    same = run("procedure", "compare", first, first)
    unknown = run("procedure", "compare", first, "abcdef012345")

    told = "fastener: rear axle nut: tolerance “99 %”, before “10 %”"
    assert [f"Against {first}, 1 difference:", f"  {told}"] == entered.splitlines()[2:]
    assert (0, f"{told}\n") == (compared.returncode, compared.stdout)
    assert [{"piece": "fastener: rear axle nut", "what": "tolerance", "before": "10 %", "now": "99 %"}] == as_json
    assert "Both say the same.\n" == same.stdout
    assert (1, True) == (unknown.returncode, "abcdef012345: no such procedure" in unknown.stderr)


def test_what_is_doubtful_is_told_when_it_is_entered_and_read(run: Run, tmp_path: Path) -> None:
    """While somebody has the document at hand."""
    entered = run("procedure", "enter", str(doubtful(tmp_path)))
    read = run("procedure", "read", entered.stdout[:12], "--by", "P-3")

    assert (0, 0) == (entered.returncode, read.returncode)
    assert [SAYS] == entered.stdout.splitlines()[1:2]
    assert [SAYS] == read.stdout.splitlines()[1:]


def test_json_holds_the_remarks(run: Run, tmp_path: Path) -> None:
    """With rule, weight and fastener; none where nothing is doubtful."""
    answer = json.loads(run("procedure", "enter", str(doubtful(tmp_path)), "--json").stdout)
    plain = json.loads(run("procedure", "enter", str(AXLE), "--json").stdout)
    (remark,) = answer["remarks"]

    assert ("workshop_rules/limits-too-wide", "caution", "rear axle nut") == (
        remark["rule"],
        remark["weight"],
        remark["subject"],
    )
    assert [] == plain["remarks"]


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="a file without end is Linux's")
@pytest.mark.parametrize("command", ["procedure enter {}", "label test --stock {} --out l.pdf"])
def test_a_file_without_end_is_refused_as_soon_as_it_is_too_long(run: Run, tmp_path: Path, command: str) -> None:
    """No more of it is read than a procedure or a label stock may have."""
    endless = tmp_path / "endless.toml"
    endless.symlink_to("/dev/zero")
    done = run(*command.format(endless).split())

    assert done.returncode in {1, 2}
    assert "this has more than 250000 characters, which no such file has; write less" in done.stderr


def test_the_pictures_are_shown_with_their_digests_and_where_they_lie(run: Run, tmp_path: Path) -> None:
    """Behind the text, which stays a text that can be entered: whoever reads it against its source looks at them."""
    text = AXLE.read_text(encoding="utf-8")
    told = 'picture = "nut.png"\npicture_says = "The nut from behind."\n'
    (tmp_path / "axle.toml").write_text(text.replace("mark = true\n", f"mark = true\n{told}"), encoding="utf-8")
    Image.new("RGB", (64, 48), (120, 110, 100)).save(tmp_path / "nut.png")
    entered = run("procedure", "enter", str(tmp_path / "axle.toml"))
    shown = run("procedure", "show", entered.stdout[:12])
    name, place = shown.stdout.splitlines()[-2:]
    file = Path(place.removeprefix("#").strip())

    assert "reads every value against its source and looks at every picture." in entered.stdout
    assert f"# picture nut.png: SHA-256 {sha256(file.read_bytes()).hexdigest()}" == name
    assert "axle" == tomllib.loads(shown.stdout)["name"]
