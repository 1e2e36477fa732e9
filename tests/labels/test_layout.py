"""Whatever a label has to say, nothing runs over and the symbol keeps its quiet zone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from torqueaudit.model.register.token import ALPHABET, LENGTH, grouped
from torqueaudit.model.shown.label import HEAD_LINE, MAIN_LINE, SPARE_LINE, LabelContent, LabelLine
from torqueaudit_plugins.qr_labels.calc.frame import Block, Layout, Words
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, find_stock, read_stock, stock_names
from torqueaudit_plugins.qr_labels.calc.text import LINE, PLAIN, fit_text, missing, printable, width_of

LINES = (LabelLine("Vehicle", "bike-3"), LabelLine("Re-check by", "2031-04-16"), LabelLine("Opened", "2031-04-02"))
TOKEN = "acdef-hjkmn-prtvw-xy23"
ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"

# Names of 60 characters, umlauts, what the font lacks, and nothing at all.
words = st.one_of(
    st.text(max_size=80),
    st.just(""),
    st.just("Übergrößenträgerachsenmutterschlüsselsatzprüfvorrichtung Nr. 7"),
    st.just("赤い隼三号 (ガレージ)"),
)
contents = st.builds(
    LabelContent,
    title=st.just("job 12"),
    address=st.just(ADDRESS),
    figure=st.one_of(st.text("0123456789", min_size=1, max_size=9), words),
    token=st.one_of(st.just(""), st.text(ALPHABET, min_size=LENGTH, max_size=LENGTH).map(grouped)),
    lines=st.lists(
        st.builds(
            LabelLine,
            st.text(max_size=30),
            words,
            words,
            words,
            st.sampled_from(["", HEAD_LINE, MAIN_LINE, SPARE_LINE]),
        ),
        max_size=9,
    ).map(tuple),
    demo=st.booleans(),
    shape=st.sampled_from(["tag", "card", "list"]),
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


def laid(content: LabelContent, name: str) -> Layout | str:
    """The layout, or why there is none."""
    try:
        return lay_out(content, find_stock(name))
    except LabelRefused as refused:
        return str(refused)


@given(contents, st.sampled_from(stock_names()))
@settings(max_examples=300, deadline=None)
def test_nothing_runs_over(content: LabelContent, name: str) -> None:
    """Every text is narrower than its box, every box inside the quiet edge, no text touches another or a symbol."""
    layout = laid(content, name)
    stock = find_stock(name)
    if isinstance(layout, str):  # a list that has no room, or what is no tag on a stock without text
        assert content.shape == "list" or stock.words == "token"
        assert "larger label" in layout
        return
    edge = stock.dots(stock.quiet_edge_mm)
    texts = [box(words) for words in layout.words]
    symbols = [box(block) for block in layout.blocks if block.role == "symbol"]

    assert layout.copies >= 1
    for words in layout.words:
        assert width_of(words.text, words.size, words.face) <= words.width
        assert not missing(words.text)
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
    layouts = [
        lay_out(LabelContent(title="job 12", address=ADDRESS, figure="12", token=token, lines=()), find_stock(name))
        for token in (wide, narrow)
    ]
    actual = ["".join(texts_of(layout)["token"]) for layout in layouts]

    below = find_stock(name).token == "below"
    assert [wide * (layouts[0].copies if below else 1), narrow * (layouts[1].copies if below else 1)] == actual


def test_a_token_too_long_for_the_foot_of_a_label_stands_below_the_symbol() -> None:
    """Rather than to be cut."""
    narrow = find_stock("a4-3x8")._replace(label_mm=(44.0, 37.0), copies=1)
    layout = lay_out(
        LabelContent(title="job 12", address="http://y.local/r/2", figure="12", token=grouped("m" * LENGTH), lines=()),
        narrow,
    )

    assert grouped("m" * LENGTH) == "".join(texts_of(layout)["token"])
    assert len(texts_of(layout)["token"]) > 1


@pytest.mark.parametrize("name", [name for name in stock_names() if name not in {"roll-25x25", "letter-3x10"}])
@pytest.mark.parametrize("demo", [False, True])
def test_a_label_says_everything(name: str, demo: bool) -> None:  # noqa: FBT001 (a parameter of the test)
    """All three lines whole, the token below each symbol or across the foot, and DEMO when it is one."""
    stock = find_stock(name)
    layout = lay_out(
        LabelContent(title="job 20418", address=ADDRESS, figure="20418", token=TOKEN, lines=LINES, demo=demo), stock
    )
    expected = {
        "token": [TOKEN] if stock.token == "across" else ["acdef-hjkmn-", "prtvw-xy23"] * layout.copies,
        "figure": ["20418"],
        "name": ["Vehicle", "Re-check by", "Opened"],
        "line": ["bike-3", "2031-04-16", "2031-04-02"],
    } | ({"demo": ["DEMO"]} if demo else {})
    actual = texts_of(layout)

    assert expected == actual


@pytest.mark.parametrize("demo", [False, True])
def test_a_low_label_keeps_the_date_of_the_recheck(demo: bool) -> None:  # noqa: FBT001 (a parameter of the test)
    """Two copies, the token beside them, and every line."""
    layout = lay_out(
        LabelContent(title="job 20418", address=ADDRESS, figure="20418", token=TOKEN, lines=LINES, demo=demo),
        find_stock("letter-3x10"),
    )
    actual = texts_of(layout)

    assert layout.copies == 2
    assert actual["line"] == ["bike-3", "2031-04-16", "2031-04-02"]
    assert "".join(actual["token"]) == TOKEN


def test_the_smallest_label_is_symbol_and_token_alone() -> None:
    """Level M, as H leaves no whole dots; capitals need fewer modules, so H has room again."""
    small = find_stock("roll-25x25")
    lower = lay_out(LabelContent(title="job 12", address=ADDRESS, figure="12", token=TOKEN, lines=LINES), small)
    upper = lay_out(
        LabelContent(title="job 12", address=ADDRESS.upper(), figure="12", token=TOKEN, lines=LINES, demo=True), small
    )

    assert ({"token": ["acdef-hjkmn-", "prtvw-xy23"]}, "M") == (texts_of(lower), lower.level)
    assert ({"token": ["acdef-hjkmn-", "prtvw-xy23 DEMO"]}, "H") == (texts_of(upper), upper.level)
    assert lower.copies == upper.copies == 1


@pytest.mark.parametrize("number", [2, 3, 4])
def test_a_larger_label_prints_a_list_no_smaller(number: int) -> None:
    """Rows wrap where the letters grow by it, as where there is no room for long ones."""
    entries = tuple(LabelLine(f"☐ {each}", "front caliper bolt 1–2") for each in range(1, number + 1))
    content = LabelContent(
        title="job 12", address=ADDRESS, figure="Marks, job 12", token=TOKEN, lines=entries, shape="list"
    )
    small, large = (
        next(words.size for words in lay_out(content, find_stock(name)).words if words.role == "line")
        for name in ("roll-50x30", "roll-57x32")
    )

    assert small <= large


def test_a_list_is_whole_or_refused() -> None:
    """Nobody may miss a fastener: 24 of them on a large label stand in columns, on a small one not at all."""
    lines = tuple(LabelLine(f"\u2610 {number}", f"sprocket bolt {number}") for number in range(1, 25))
    card = LabelContent(title="job 12", address=ADDRESS, figure="Marks, job 12", token=TOKEN, lines=lines, shape="list")
    actual = texts_of(lay_out(card, find_stock("a4-2x7")))["line"]

    assert [f"\u2610 {number} sprocket bolt {number}" for number in range(1, 25)] == actual
    with pytest.raises(
        LabelRefused, match="its 24 entries do not fit on stock roll-57x32, and a list is printed whole"
    ):
        lay_out(card, find_stock("roll-57x32"))


def test_a_card_says_when_its_end_is_cut() -> None:
    """The last sentence ends in an ellipsis, and whoever prints it is told."""
    lines = (LabelLine("Come back", "by 2031-04-16."), LabelLine("We look at", "chain slack, " * 60))
    layout = lay_out(
        LabelContent(title="job 12", address=ADDRESS, figure="Re-check", token=TOKEN, lines=lines, shape="card"),
        find_stock("roll-62x29"),
    )
    actual = texts_of(layout)["line"]

    assert actual[0] == "Come back by 2031-04-16."
    assert actual[-1].endswith("…")
    assert layout.says == ("job 12: not everything had room on stock roll-62x29; the end is cut",)


def test_what_is_left_out_of_a_label_is_named() -> None:
    """Of a card and of a tag; nothing is said to be cut where whole lines are missing."""
    lines = (
        LabelLine("Come back", "by 2031-04-16."),
        *(LabelLine(f"Line {number}", "x") for number in range(40)),
    )
    card, tag = (
        lay_out(
            LabelContent(title="job 12", address=ADDRESS, figure="Re-check", token=TOKEN, lines=lines, shape=shape),
            find_stock("roll-62x29"),
        )
        for shape in ("card", "tag")
    )

    assert "left out: Line" in card.says[0]
    assert card.says[0].endswith("Line 39")
    assert "the end is cut" not in card.says[0]
    assert "left out on stock roll-62x29: Line" in tag.says[0]


def test_a_numbered_address_of_a_local_network_fits_a_small_roll() -> None:
    """46 characters leave level H no whole dots at 203 dpi; the next level is taken, and a short one keeps H."""
    address = f"http://192.168.1.20:8080/r/{TOKEN.replace('-', '')}"
    levels = [
        lay_out(
            LabelContent(title="job 12", address=each, figure="12", token=TOKEN, lines=LINES), find_stock("roll-50x30")
        ).level
        for each in (address, ADDRESS)
    ]

    assert ["Q", "H"] == levels


def test_what_the_font_lacks_is_said_and_another_word_printed() -> None:
    """A vehicle's tag in Japanese: its number stands there, and no box."""
    lines = (LabelLine("Vehicle", "赤い隼", "V-3"), LabelLine("Opened", "2031年"))
    layout = lay_out(
        LabelContent(title="job 12", address=ADDRESS, figure="12", token=TOKEN, lines=lines), find_stock("a4-3x8")
    )

    assert texts_of(layout)["line"] == ["V-3", "2031(?)"]
    assert layout.says == (
        "job 12: the label's font lacks 赤い隼; Vehicle is printed as V-3",
        "job 12: the label's font lacks 年; Opened is printed as 2031(?)",
    )


def test_the_sheet_has_room_for_two_copies_and_less_for_longer_addresses() -> None:
    """Two copies of a short address; one of a longer, on a label that keeps its text readable."""
    sheet = find_stock("a4-3x8")
    actual = [
        lay_out(
            LabelContent(title="job 12", address=f"http://{'a' * length}/r/", figure="12", token=TOKEN, lines=()), sheet
        ).copies
        for length in (10, 60, 90)
    ]

    assert actual == [2, 2, 1]


@pytest.mark.parametrize(
    ("site", "copies", "level"), [("y.at", 2, "H"), ("yard.local:8080", 2, "Q"), ("a" * 40, 1, "H")]
)
def test_two_copies_go_before_a_better_level(site: str, copies: int, level: str) -> None:
    """Where both have no room on a roll: dirt hides a symbol by its corners, which no level covers (decision 0116)."""
    content = LabelContent(
        title="job 12", address=f"http://{site}/r/{ADDRESS[-19:]}", figure="12", token=TOKEN, lines=LINES
    )
    layout = lay_out(content, find_stock("roll-62x29"))

    assert (copies, level) == (layout.copies, layout.level)


def test_modules_that_would_be_too_small_are_refused() -> None:
    """Job, stock, dots, and what to do."""
    says = (
        "job 12: on stock roll-57x32 a module of the symbol would fall under 4 dots at 203 dpi: there is no room for "
        "an address of 127 characters and one for 58; shorten the workshop's base address by 69, choose "
        "--upper-case-labels in the settings, or take a larger label"
    )
    with pytest.raises(LabelRefused, match=says):
        lay_out(
            LabelContent(title="job 12", address="http://" + "a" * 120, figure="12", token=TOKEN, lines=()),
            find_stock("roll-57x32"),
        )


def test_a_small_label_keeps_the_most_important_line() -> None:
    """No room for seven lines: the last ones go, never the symbol or the number."""
    text = 'format = 1\nsays = "small"\nkind = "roll"\ndpi = 300\ncopies = 1\nquiet_edge_mm = 1\n'
    small = read_stock("small", text + "[label]\nwidth_mm = 45\nheight_mm = 23\n")
    lines = (*LINES, *(LabelLine(f"Stored in the rack number {each}", f"shelf {each}") for each in range(4)))
    layout = lay_out(
        LabelContent(title="job 12", address="http://a.example/r/1", figure="12", token=TOKEN, lines=lines), small
    )
    actual = texts_of(layout)

    assert actual["figure"] == ["12"]
    assert actual["line"] == ["bike-3", "2031-04-16", "2031-04-02", "shelf 0", "shelf 1"]
    assert layout.says == ("job 12: left out on stock small: Stored in the rack number 2, Stored in the rack number 3",)


def test_a_date_not_yet_known_leaves_a_line_to_write_on() -> None:
    """Before the hand-over there is no re-check date."""
    sheet = find_stock("a4-3x8")
    written = lay_out(
        LabelContent(
            title="job 12", address=ADDRESS, figure="12", token=TOKEN, lines=(LabelLine("Re-check by", "2031-04-16"),)
        ),
        sheet,
    )
    open_line = lay_out(
        LabelContent(title="job 12", address=ADDRESS, figure="12", token=TOKEN, lines=(LabelLine("Re-check by", ""),)),
        sheet,
    )

    assert [block.role for block in written.blocks] + ["rule"] == [block.role for block in open_line.blocks]


def test_text_is_shrunk_before_it_is_cut() -> None:
    """20 dots wide enough, then smaller, then an ellipsis; umlauts stay."""
    name = "Zündapfel-Übergabe mit Straßenzulassung"
    whole, large = fit_text(name, 2000, 40, 20, PLAIN)
    shrunk, small = fit_text(name, int(width_of(name, 25, PLAIN)) + 1, 40, 20, PLAIN)
    cut, least = fit_text(name, 200, 40, 20, PLAIN)

    assert (name, 40) == (whole, large)
    assert (name, 25) == (shrunk, small)
    assert (name.startswith(cut.removesuffix("…")) and cut.endswith("…"), least) == (True, 20)


def test_what_the_font_lacks_is_shown_as_missing() -> None:
    """Decomposed umlauts are composed, line breaks are spaces, unknown characters a mark, never another font."""
    assert printable("U\u0308bung") == "Übung"
    assert printable("a\n\t b") == "a b"
    assert printable("\U0001f3cd\U0001f3cd 3") == "(?) 3"
    assert missing("\U0001f3cd 3 \u8d64\U0001f3cd") == "\U0001f3cd\u8d64"
    assert missing("axle\u202e nut\u200d") == "⟨U+202E⟩⟨U+200D⟩"
    assert printable("axle\u202e nut\u200d") == "axle(?) nut(?)"
