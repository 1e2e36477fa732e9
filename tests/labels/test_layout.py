"""Whatever a label has to say, nothing runs over and the symbol keeps its quiet zone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from torqueaudit.model.label import LabelContent
from torqueaudit.model.token import ALPHABET, LENGTH, grouped
from torqueaudit_plugins.qr_labels.layout import Block, Layout, Words, lay_out
from torqueaudit_plugins.qr_labels.stock import LabelRefused, find_stock, read_stock, stock_names
from torqueaudit_plugins.qr_labels.text import LINE, fit_text, printable, width_of

TOKEN = "acdef-hjkmn-prtvw-xy23"
ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"

contents = st.builds(
    LabelContent,
    address=st.just(ADDRESS),
    figure=st.text("0123456789", min_size=1, max_size=9),
    token=st.text(ALPHABET, min_size=LENGTH, max_size=LENGTH).map(grouped),
    lines=st.lists(st.tuples(st.text(max_size=30), st.text(max_size=80)), max_size=6).map(tuple),
    demo=st.booleans(),
)


def box(item: Block | Words) -> tuple[int, int, int, int]:
    """Left, top, right, bottom; of a figure only what is drawn, which has nothing below the baseline."""
    if isinstance(item, Block):
        return item.left, item.top, item.left + item.width, item.top + item.height
    if item.role == "figure":
        cap = item.top + int(0.18 * item.size)
        return item.left, cap, item.left + item.width, item.top + int(0.945 * item.size)
    return item.left, item.top, item.left + item.width, item.top + int(LINE * item.size)


def overlap(first: tuple[int, int, int, int], second: tuple[int, int, int, int]) -> bool:
    """Whether two boxes share a dot."""
    return first[0] < second[2] and second[0] < first[2] and first[1] < second[3] and second[1] < first[3]


@given(contents, st.sampled_from(stock_names()))
@settings(max_examples=150, deadline=None)
def test_nothing_runs_over(content: LabelContent, name: str) -> None:
    """Every text is narrower than its box, every box inside the quiet edge, no text touches another or a symbol."""
    stock = find_stock(name)
    layout = lay_out(content, stock)
    edge = stock.dots(stock.quiet_edge_mm)
    texts = [box(words) for words in layout.words]
    symbols = [box(block) for block in layout.blocks if block.role == "symbol"]

    for words in layout.words:
        assert width_of(words.text, words.size, bold=words.bold) <= words.width
    for left, top, right, bottom in [*texts, *map(box, layout.blocks)]:
        assert edge <= left <= right <= layout.width - edge
        assert edge <= top <= bottom <= layout.height - edge
    for number, text in enumerate(texts):
        assert not any(overlap(text, other) for other in [*texts[:number], *symbols])
    for block in layout.blocks:
        assert block.role == "symbol" or not any(overlap(box(block), symbol) for symbol in symbols)


def texts_of(layout: Layout) -> dict[str, list[str]]:
    """What is printed, by role."""
    found: dict[str, list[str]] = {}
    for words in layout.words:
        found.setdefault(words.role, []).append(words.text)
    return found


@pytest.mark.parametrize("name", stock_names())
def test_a_token_is_never_cut(name: str) -> None:
    """The widest letters take a row for each group."""
    wide, narrow = grouped("m" * LENGTH), grouped("r" * LENGTH)
    layouts = [lay_out(LabelContent(ADDRESS, "12", token, ()), find_stock(name)) for token in (wide, narrow)]
    actual = ["".join(texts_of(layout)["token"]) for layout in layouts]

    assert [wide * layouts[0].copies, narrow * layouts[1].copies] == actual


@pytest.mark.parametrize("name", stock_names())
@pytest.mark.parametrize("demo", [False, True])
def test_a_label_says_everything(name: str, demo: bool) -> None:  # noqa: FBT001 (a parameter of the test)
    """All three lines whole, the token below each copy, and DEMO when it is one."""
    lines = (("Vehicle", "bike-3"), ("Re-check by", "2031-04-16"), ("Opened", "2031-04-02"))
    layout = lay_out(LabelContent(ADDRESS, "20418", TOKEN, lines, demo), find_stock(name))
    expected = {
        "token": ["acdef-hjkmn-", "prtvw-xy23"] * layout.copies,
        "figure": ["20418"],
        "name": ["Vehicle", "Re-check by", "Opened"],
        "line": ["bike-3", "2031-04-16", "2031-04-02"],
    } | ({"demo": ["DEMO"]} if demo else {})
    actual = texts_of(layout)

    assert expected == actual


def test_the_sheet_has_room_for_two_copies_and_less_for_longer_addresses() -> None:
    """Two copies of a short address; one of a longer, on a label that keeps its text readable."""
    sheet = find_stock("a4-3x8")
    actual = [
        lay_out(LabelContent(f"http://{'a' * length}/r/", "12", TOKEN, ()), sheet).copies for length in (10, 30, 60)
    ]

    assert actual == [2, 2, 1]


def test_modules_that_would_be_too_small_are_refused() -> None:
    """Job, stock, dots, and what to do."""
    says = "job 12: on stock roll-57x32 a module of the symbol would fall under 4 dots at 203 dpi: .* of 127 characters"
    with pytest.raises(LabelRefused, match=says):
        lay_out(LabelContent("http://" + "a" * 120, "12", TOKEN, ()), find_stock("roll-57x32"))


def test_a_small_label_keeps_the_most_important_line() -> None:
    """No room for three lines: the last ones go, never the symbol or the number."""
    text = 'format = 1\nsays = "small"\nkind = "roll"\ndpi = 300\ncopies = 1\nquiet_edge_mm = 1\n'
    small = read_stock("small", text + "[label]\nwidth_mm = 45\nheight_mm = 23\n")
    lines = (("Vehicle", "bike-3"), ("Re-check by", "2031-04-16"), ("Opened", "2031-04-02"))
    actual = texts_of(lay_out(LabelContent("http://a.example/r/1", "12", TOKEN, lines), small))

    assert actual["figure"] == ["12"]
    assert actual["line"] == ["bike-3", "2031-04-16"]


def test_a_date_not_yet_known_leaves_a_line_to_write_on() -> None:
    """Before the hand-over there is no re-check date."""
    sheet = find_stock("a4-3x8")
    written = lay_out(LabelContent(ADDRESS, "12", TOKEN, (("Re-check by", "2031-04-16"),)), sheet)
    open_line = lay_out(LabelContent(ADDRESS, "12", TOKEN, (("Re-check by", ""),)), sheet)

    assert [block.role for block in written.blocks] + ["rule"] == [block.role for block in open_line.blocks]


def test_text_is_shrunk_before_it_is_cut() -> None:
    """20 dots wide enough, then smaller, then an ellipsis; umlauts stay."""
    name = "Zündapfel-Übergabe mit Straßenzulassung"
    whole, large = fit_text(name, 2000, 40, 20)
    shrunk, small = fit_text(name, int(width_of(name, 25, bold=False)) + 1, 40, 20)
    cut, least = fit_text(name, 200, 40, 20)

    assert (name, 40) == (whole, large)
    assert (name, 25) == (shrunk, small)
    assert (name.startswith(cut.removesuffix("…")) and cut.endswith("…"), least) == (True, 20)


def test_what_the_font_lacks_is_shown_as_missing() -> None:
    """Decomposed umlauts are composed, line breaks are spaces, unknown characters a mark, never another font."""
    assert printable("U\u0308bung") == "Übung"
    assert printable("a\n\t b") == "a b"
    assert printable("\U0001f3cd 3") == "\ufffd 3"
