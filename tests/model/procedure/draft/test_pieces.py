"""The text of a draft in pieces, and what is typed in its fields: together they are what was written."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.procedure.draft.blocks import blocks_of, joined, moved, new_block, put_in, with_values
from torqueaudit.model.procedure.draft.fields import HEAD, RECHECK, SOURCE, Field, How, fields_of
from torqueaudit.model.procedure.draft.pieces import pieces_in
from torqueaudit.model.procedure.draft.spelling import CROSS, kept, key_of, shown
from torqueaudit.model.procedure.words import FIELDS, KINDS

ROOT = Path(__file__).parents[4]
EXAMPLES = sorted(
    path for path in (ROOT / "examples").rglob("*.toml") if "[[work]]" in path.read_text(encoding="utf-8")
)
EXAMPLES.append(ROOT / "tests" / "ledgers" / "everything.toml")
each_example = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@each_example
def test_the_pieces_are_the_text(path: Path) -> None:
    """Each with its remarks; put together again they say the same."""
    text = path.read_text(encoding="utf-8")
    blocks = blocks_of(text)

    assert text == "".join(each.text for each in blocks)
    assert tomllib.loads(text) == tomllib.loads(joined(blocks))
    assert text.count("#") == joined(blocks).count("#")


@each_example
def test_what_is_shown_in_a_form_and_sent_as_it_stands_changes_nothing(path: Path) -> None:
    """Each field of each piece, so that whoever saves a piece that they only looked at changes no meaning."""
    pieces = pieces_in(path.read_text(encoding="utf-8"))
    tried = [
        (piece.place, key, value, piece.values.get(key))
        for piece in pieces
        for field in fields_of(piece.kind)
        if field.key != "key"
        for key, value in kept(field, shown(field, piece.values)).items()
    ]

    assert len(tried) > 20
    assert [] == [each for each in tried if each[2] != each[3]]


@each_example
def test_a_form_knows_every_field_of_the_text(path: Path) -> None:
    """What it would not show nobody could change without the text."""
    lacking = [
        (piece.place, key)
        for piece in pieces_in(path.read_text(encoding="utf-8"))
        for key in piece.values
        if key not in {each.key for each in fields_of(piece.kind)} | {CROSS, "format", "name", *KINDS}
    ]

    assert [] == [each for each in lacking if each[1] not in ("source", "x", "recheck", "work")]


def test_each_field_has_words() -> None:
    """Its own, or those by which every door calls it."""
    assert [] == [field.key for field in _all_fields() if not field.says and field.key not in FIELDS]


def test_what_is_no_number_is_kept_as_it_was_typed() -> None:
    """The reader then says what is wrong with it."""
    count, factor = Field("count", How.WHOLE), Field("guard_factor", How.NUMBER)

    assert [{"count": 6}, {"count": "six"}, {"count": None}] == [kept(count, [each]) for each in ("6", "six", " ")]
    assert [{"guard_factor": 0}, {"guard_factor": 0.5}] == [kept(factor, [each]) for each in ("0", "0,5")]


@pytest.mark.parametrize(
    ("typed", "order"),
    [
        ("cross", {"cross": True, "pattern": None}),
        ("1, 3 2", {"cross": None, "pattern": [1, 3, 2]}),
        ("1-3-2", {"cross": None, "pattern": [1, 3, 2]}),
        ("1, then 3", {"cross": None, "pattern": "1, then 3"}),
        ("", {"cross": None, "pattern": None}),
    ],
)
def test_an_order_is_a_word_or_numbers(typed: str, order: dict[str, Any]) -> None:
    """Across, or the numbers in the order they are turned."""
    assert order == kept(Field("pattern", How.ORDER), [typed])


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Front axle (left)", "front-axle-left"),
        ("Bremssattel, Ø 10", "bremssattel-10"),
        ("轴", ""),
        ("Größe", "grosse"),
    ],
)
def test_a_short_name_is_made_of_a_name(name: str, key: str) -> None:
    """Of its letters and digits; nothing where there are none that a key may have."""
    assert key == key_of(name)


def test_a_remark_moves_with_the_piece_below_it() -> None:
    """And a piece of work that is put in or moved stands among the work."""
    text = 'format = 1\n\n# first\n[[work]]\nstep = "a"\n\n# second\n[[work]]\nstep = "b"\n\n[recheck]\ndays = 1\n'
    new = with_values(new_block("work"), {"step": "c"})
    told = joined(put_in(moved(blocks_of(text), 0, 1), new))

    assert ["b", "a", "c"] == [each["step"] for each in tomllib.loads(told)["work"]]
    assert told.index("# second") < told.index('"b"') < told.index("# first") < told.index('"a"')


def _all_fields() -> Iterator[Field]:
    for kind in (HEAD, SOURCE, RECHECK, *KINDS):
        yield from fields_of(kind)


@pytest.mark.parametrize(
    ("how", "words", "expected"),
    [
        (How.NUMBER, "2,5", 2.5),
        (How.WHOLE, "1e5000", "1e5000"),
        (How.WHOLE, "9" * 5000, "9" * 5000),
        (How.NUMBER, "1_000", "1_000"),
        (How.ORDER, "1 - 3, 2", [1, 3, 2]),
        (How.ORDER, "9" * 5000, "9" * 5000),
    ],
)
def test_a_number_is_kept_as_one_where_it_can_be_one(how: How, words: str, expected: object) -> None:
    """Anything else stays as it was typed, for the reader to say what is wrong with it."""
    assert {"count": expected} == {key: value for key, value in kept(Field("count", how), [words]).items() if value}


@pytest.mark.parametrize("words", ["2028-2031", "2028 - 2031", "2028/2031", "2028–2031", "2028 2031", "2028 to 2031"])
def test_model_years_are_typed_as_they_are_printed(words: str) -> None:
    """Most documents print them with a hyphen."""
    assert {"years": [2028, 2031]} == kept(Field("years", How.TWO), [words])
