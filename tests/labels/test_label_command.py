"""The command `label`: its two shapes, and wrong use of it."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from torqueaudit_plugins.qr_labels import label_kinds
from torqueaudit_plugins.qr_labels.calc.stock import find_stock, stock_names
from torqueaudit_plugins.qr_labels.commands.label import label


def run(*words: str) -> Result:
    """Run the command without a book."""
    return CliRunner().invoke(label, words, prog_name="torqueaudit label")


def test_the_bundled_kinds_name_stocks_that_are_there() -> None:
    """Five kinds; those of a job, a wrench and a person fit every stock."""
    kinds = {kind.name: kind for kind in label_kinds()}

    assert {"job", "owner", "marks", "wrench", "person"} == set(kinds)
    assert all(kind.stocks <= set(stock_names()) for kind in kinds.values())
    assert {"job", "wrench", "person"} == {name for name, kind in kinds.items() if not kind.stocks}
    assert all(sum(map(bool, (each.of_job, each.of_wrench, each.of_person))) == 1 for each in kinds.values())


def test_stocks_are_listed_for_people() -> None:
    """One line each, with its name and the size of a label; then how to see them."""
    result = run("stocks")
    listed, _, after = result.stdout.partition("\n\n")
    lines = {line.split()[0]: line for line in listed.splitlines()}

    assert stock_names() == list(lines)
    for name, line in lines.items():
        width, height = find_stock(name).label_mm
        assert f"{width:g} by {height:g} mm" in line
    assert "--pictures FOLDER draws each one" in after
    assert result.exit_code == 0


def test_stocks_are_drawn(tmp_path: Path) -> None:
    """A picture each, named as the stock."""
    result = run("stocks", "--pictures", str(tmp_path))

    assert {f"{name}.png" for name in stock_names()} == {path.name for path in tmp_path.iterdir()}
    assert f"lies in {tmp_path}, by its name: a4-2x7.png" in result.stdout


def test_stocks_are_listed_for_programs() -> None:
    """Name, size and resolution."""
    expected = {"name": "roll-62x29", "width_mm": 62, "height_mm": 29, "dpi": 300}
    actual = json.loads(run("stocks", "--json").stdout)

    assert expected in actual
    assert stock_names() == [each["name"] for each in actual]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("12", "13", "--stock", "a4-3x8"), "Missing option '--out'"),
        (("--stock", "a4-3x8", "12", "--out", "x.pdf"), "no book named; give --book FILE"),
        (("print", "12", "--stock", "a4-3x8", "--out", "x.pdf"), "no book named; give --book FILE"),
        (("12", "--stock", "a5", "--out", "x.pdf"), "there is no label stock 'a5'"),
        (("12", "--stock", "a4-3x8", "--out", "x.pdf", "--from", "two"), "'two' is not a valid integer"),
        (("12", "--stock", "roll-62x29", "--out", "x.pdf", "--from", "2"), "--from is for a sheet"),
        (("12", "--out", "x.svg", "--from", "2"), "leave --from and --shift out"),
        (("12", "--out", "x.svg", "--shift", "1,1"), "leave --from and --shift out"),
        (("12", "--stock", "a4-3x8", "--out", "x.pdf", "--option", "media=A4"), "name one with --printer"),
        (("12", "--stock", "a4-3x8", "--printer", "bench", "--option", ""), "--option '' names no setting"),
        (("12", "--stock", "a4-3x8", "--printer", "bench", "--option", "=A4"), "--option '=A4' names no setting"),
        (("12", "--stock", "a4-3x8", "--printer", "bench", "--option"), "requires an argument"),
        (("12", "--stock", "a4-3x8", "--printer", " "), "--printer names no printer"),
        (("stock",), "No such command 'stock'"),
        (("test", "--stock", "a4-3x8", "--out", "x.svg"), "only that keeps its size"),
    ],
)
def test_wrong_use_is_one_sentence(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """Exit code 2, nothing on the output, nothing written."""
    result = run(*(str(tmp_path / word) if word in {"x.pdf", "x.svg"} else word for word in words))

    assert (result.exit_code, result.stdout) == (2, "")
    assert says in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_help_shows_both_shapes_and_the_options() -> None:
    """The short form first."""
    text = run("--help").stdout

    assert "torqueaudit label JOB... --stock NAME --out FILE" in text
    assert "torqueaudit label stocks [--json]" in text
    assert "--from N" in text
