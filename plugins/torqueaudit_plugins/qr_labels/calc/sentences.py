"""The card: the symbol with what it opens, a headline, and sentences that wrap; its main line is larger.

Where there is no room the last sentences go, and the last one that has some is cut; both are said, but of spare ones.
"""

from itertools import product
from math import ceil
from typing import NamedTuple

from torqueaudit.plugin import MAIN_LINE, SPARE_LINE, LabelContent
from torqueaudit_plugins.qr_labels.calc.frame import LEAST, TEXT_WIDTH, Area, Filling, Layout, Words
from torqueaudit_plugins.qr_labels.calc.heights import CAPTION, LARGE, SENTENCE, at_arms_length, capitals
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.tag import token_rows
from torqueaudit_plugins.qr_labels.calc.text import BOLD, FACES, LINE, NARROW, fit_face, fit_text, width_of, wrap_text

_HEADLINE = 5.0  # millimetres of the font


class Row(NamedTuple):
    """One row of a sentence."""

    text: str
    size: int
    face: str

    @property
    def height(self) -> int:
        """Of the row."""
        return ceil(LINE * self.size)


class Sentences(Filling):
    """A card being filled."""

    def __init__(self, content: LabelContent, stock: Stock) -> None:
        super().__init__(content, stock)
        self.beside = self.gap // 2  # four modules of white are the symbol's own
        self.main, self.sentence = capitals(LARGE, stock.dpi), capitals(SENTENCE, stock.dpi)
        if not at_arms_length(stock):
            self.main = self.sentence = self.dots(LEAST)
        self.texts = [self.paragraph(number) for number in range(len(content.lines))]

    def filled(self) -> Layout:
        """Everything in its place. Raises LabelRefused where the symbol has no room."""
        free = self.put_headline(self.put_symbol())
        self.put_rows(self.fit(free), free)
        return self.done()

    def put_symbol(self) -> Area:
        """The symbol, and below it the rows of what it opens that have room; a first one that has none is said."""
        width = self.dots(TEXT_WIDTH)
        if not self.content.under:
            return self.put_symbols(token_rows(self.content.token), copies=1, text_width=width)
        under = [self.shown("what it opens", row) for row in self.content.under]
        self.under, self.under_face = capitals(CAPTION, self.stock.dpi), NARROW
        ways = [[]] if self.aside else [under[:end] for end in range(len(under), 0, -1)]
        self.aside = False
        try:
            free = self.put_symbols(ways, copies=1, text_width=width)
        except LabelRefused:
            free = self.put_symbols([], copies=1, text_width=width)
        if ways == [[]]:
            free = self.put_foot(" ".join(under), free)
        printed = " ".join(words.text for words in self.words)
        lost = [row for row in under[:1] if row not in printed]
        if lost:
            self.says.append(f"{self.content.title}: left out on stock {self.stock.name}: {', '.join(lost)}")
        return free

    def put_foot(self, text: str, free: Area) -> Area:
        """One row at the foot of the text; give what is left above it."""
        shown, face = fit_face(text, free.width, self.under)
        row = Words(role="token", text=shown, left=free.left, top=0, width=free.width, size=self.under, face=face)
        self.words.append(row._replace(top=free.top + free.height - row.height))
        return free._replace(height=free.height - row.height)

    def put_headline(self, free: Area) -> Area:
        """The headline above a rule."""
        text = self.shown("", self.content.figure)
        most = max(min(self.dots(_HEADLINE), free.height // 7), self.sentence)
        shown, size = fit_text(text, free.width, most, self.sentence, BOLD)
        face = BOLD
        if shown != text:
            shown, face = fit_face(text, free.width, size)
        if shown != text:
            self.says.append(f"{self.content.title}: “{text}” is cut on stock {self.stock.name}, to “{shown}”")
        self.words.append(
            Words(role="figure", text=shown, left=free.left, top=free.top, width=free.width, size=size, face=face)
        )
        return self.put_bar(free.below(ceil(LINE * size))).below(self.gap // 2)

    def paragraph(self, number: int) -> str:
        """One line as a sentence, a main one without its name; an open one leaves room to write in."""
        line = self.content.lines[number]
        words = self.shown(line.name, line.words, line.instead) if line.words else "_" * 10
        return words if line.rank == MAIN_LINE and line.words else f"{self.shown('a name', line.name)} {words}".strip()

    def fit(self, free: Area) -> list[list[Row]]:
        """The sentences at the largest size at which all have room, narrower only at the least; else what has room."""
        sizes = range(capitals(LARGE, self.stock.dpi), self.sentence - 1, -1)
        for size, face in (*product(sizes, (BOLD,)), *product((self.sentence,), FACES[1:])):
            fitted = [self.rows(number, free.width, size, face) for number in range(len(self.texts))]
            if all(fitted) and sum(row.height for rows in fitted for row in rows) <= free.height:
                return fitted
        return self.kept(free)

    def rows(self, number: int, width: int, size: int, face: str) -> list[Row]:
        """The rows of one sentence; none where a word alone is too wide."""
        text = self.texts[number]
        if self.content.lines[number].rank == MAIN_LINE:
            size = max(size, self.main)
            face = next((each for each in FACES if width_of(text, size, each) <= width), face)
        rows = wrap_text(text, width, size, face) or []
        if self.content.lines[number].rank == MAIN_LINE and len(rows) > 1:
            rows = even_rows(text, width, size, face, len(rows))
        return [Row(row, size, face) for row in rows]

    def kept(self, free: Area) -> list[list[Row]]:
        """What has room at the least size; the last row with some ends in an ellipsis. What is not whole is said."""
        column, lost, cut = [], [], []
        left = free.height
        for number, line in enumerate(self.content.lines):
            rows = self.rows(number, free.width, self.sentence, NARROW)
            whole = bool(rows)
            rows = rows or [Row(self.texts[number], self.sentence, NARROW)]
            number_kept = max(0, min(len(rows), left // rows[0].height))
            called = "the end" if line == self.content.lines[-1] else line.name or line.words
            # A number that is not whole would be called all the same.
            if not number_kept or (line.rank and (number_kept < len(rows) or not whole)):
                lost += [] if line.rank == SPARE_LINE else [(line.name or line.words).rstrip(".")]
                continue
            left -= number_kept * rows[0].height
            if number_kept < len(rows) or not whole:
                cut.append(f"{called} is cut")
                last = rows[number_kept - 1]
                ending = last.text if not whole else f"{last.text} …"
                rows[number_kept - 1] = last._replace(text=fit_face(ending, free.width, last.size, (NARROW,))[0])
            column.append(rows[:number_kept])
        told = [*([f"left out: {', '.join(lost)}"] if lost else []), *cut]
        if told:
            says = f"not everything had room on stock {self.stock.name}; {'; '.join(told)}"
            self.says.append(f"{self.content.title}: {says}")
        return column

    def put_rows(self, paragraphs: list[list[Row]], free: Area) -> None:
        """The rows below each other, with what room is left spread between the sentences."""
        spare = free.height - sum(row.height for rows in paragraphs for row in rows)
        between = min(ceil(LINE * self.sentence) // 2, spare // max(1, len(paragraphs)))
        for rows in paragraphs:
            for text, size, face in rows:
                self.words.append(
                    Words(role="line", text=text, left=free.left, top=free.top, width=free.width, size=size, face=face)
                )
                free = free.below(ceil(LINE * size))
            free = free.below(between)


def even_rows(text: str, width: int, size: int, face: str, number: int) -> list[str]:
    """A text in so many rows of as even a length as its words allow."""
    tried = (wrap_text(text, each, size, face) for each in range(width // number, width + 1))
    return next(rows for rows in tried if rows and len(rows) <= number)


def filled_sentences(content: LabelContent, stock: Stock) -> Layout:
    """A card with everything in its place. Raises LabelRefused where the symbol has no room."""
    return Sentences(content, stock).filled()
