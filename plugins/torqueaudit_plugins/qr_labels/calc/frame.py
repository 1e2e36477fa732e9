"""A label being filled, in whole printer dots: its symbol and its token, and the room that is left for text."""

from collections.abc import Iterator
from math import ceil
from typing import NamedTuple

from torqueaudit.plugin import LabelContent, allows_capitals
from torqueaudit_plugins.qr_labels.calc.stock import BESIDE, MILLIMETRES_PER_INCH, TOKEN, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.calc.text import BOLD, LINE, fit_text, missing, printable, width_of

# Millimetres. Letters of a font under 1.8 mm are not read at arm's length; a small label is held closer.
LEAST, LEAST_CLOSE = 1.8, 1.5
GAP, RULE, TOKEN_SIZE, LARGE_TOKEN, TEXT_WIDTH = 1.0, 0.35, 2.6, 3.6, 20.0
# Of a module: the largest of use, fair for two copies, and what a telephone's camera still resolves.
_LARGE_MODULE, _FAIR_MODULE, _LEAST_MODULE = 0.6, 0.42, 0.33


class Words(NamedTuple):
    """One line of text in a box as high as its font's line; never wider than the box."""

    role: str  # figure, token, name, line, demo
    text: str
    left: int
    top: int
    width: int
    size: int  # of the font, in dots
    face: str = BOLD

    @property
    def height(self) -> int:
        """Of the box."""
        return ceil(LINE * self.size)

    @property
    def centred(self) -> bool:
        """Whether the text stands in the middle of its box."""
        return self.role in {"token", "demo"}

    def follows(self, above: "Words") -> bool:
        """Whether this is the next row of one paragraph."""
        alike = self.role == above.role or {self.role, above.role} == {"name", "line"}
        return alike and self[2:5] == (above.left, above.top + above.height, above.width)


class Block(NamedTuple):
    """A picture (symbol, emblem) or a black rectangle (rule)."""

    role: str
    left: int
    top: int
    width: int
    height: int


class Layout(NamedTuple):
    """One label ready to draw; dots from its left and top, blocks below words; `says` tells what was not printed."""

    width: int
    height: int
    level: str  # of the symbol
    blocks: tuple[Block, ...]
    words: tuple[Words, ...]
    says: tuple[str, ...] = ()

    @property
    def symbols(self) -> tuple[Block, ...]:
        """The copies of the symbol; whole modules lie between two."""
        return tuple(block for block in self.blocks if block.role == "symbol")

    @property
    def copies(self) -> int:
        """How often the symbol stands on the label."""
        return len(self.symbols)


class Area(NamedTuple):
    """A part of the label that is still free, in dots."""

    left: int
    top: int
    width: int
    height: int

    def below(self, height: int) -> "Area":
        """Give what is left when the uppermost `height` dots are taken."""
        return self._replace(top=self.top + height, height=self.height - height)


class Symbols(NamedTuple):
    """How the symbol is printed: copies, side and module in dots, level, and the rows below it."""

    copies: int
    side: int
    module: int
    level: str
    rows: list[str]


class Filling:
    """A label being filled."""

    def __init__(self, content: LabelContent, stock: Stock) -> None:
        self.content, self.stock = content, stock
        self.width, self.height = (stock.dots(size) for size in stock.label_mm)
        self.gap, self.rule = self.dots(GAP), self.dots(RULE)
        self.least = self.dots(LEAST_CLOSE if stock.words == TOKEN else LEAST)
        self.bar = ceil(LINE * self.least) if content.demo else self.rule
        self.under, self.under_face = self.least, BOLD  # of the rows below the symbol, at the least
        self.level = stock.levels[0]
        self.printed = (0, 0)  # how often the symbol is, and the dots of its modules
        self.aside, self.beside = stock.token == BESIDE, self.gap  # the token's place, and the white before the text
        self.blocks: list[Block] = []
        self.words: list[Words] = []
        self.says = list(content.remarks)
        edge = self.dots(stock.quiet_edge_mm)
        self.free = Area(edge, edge, self.width - 2 * edge, self.height - 2 * edge)

    def dots(self, millimetres: float) -> int:
        """Whole dots, rounded up."""
        return ceil(millimetres * self.stock.dpi / MILLIMETRES_PER_INCH - 1e-9)

    def done(self) -> Layout:
        """The label as filled."""
        return Layout(
            width=self.width,
            height=self.height,
            level=self.level,
            blocks=tuple(self.blocks),
            words=tuple(self.words),
            says=tuple(self.says),
        )

    def put_symbols(self, rows: list[list[str]], copies: int, text_width: int) -> Area:
        """Put the symbol at the left, a second copy at the right, the rows below; give the room for text between.

        `text_width` is the least of that room, in dots; 0 wants none.
        """
        free, beside = self.free, self.beside if text_width else 0
        aside, rows = (rows, []) if self.aside else ([], rows)
        chosen = self._choose(rows, copies, text_width, beside)
        self.level, self.printed = chosen.level, (chosen.copies, chosen.module)
        middle = 0 if text_width else (free.width - chosen.side) // 2
        self._put_symbol(free._replace(left=free.left + middle, width=chosen.side), chosen.rows)
        taken = chosen.side + beside
        if chosen.copies > 1:
            # Whole modules apart, so that one picture of one pixel a module holds both.
            free = free._replace(width=chosen.side + (free.width - chosen.side) // chosen.module * chosen.module)
            self._put_symbol(free._replace(left=free.left + free.width - chosen.side, width=chosen.side), chosen.rows)
        free = free._replace(left=free.left + taken, width=free.width - chosen.copies * taken)
        return self._put_aside([["".join(aside[0])], *aside], free) if aside else free

    def put_token_across(self) -> bool:
        """The whole token in one row at the foot of the label: large letters outlast small ones in two places.

        False where the label is too narrow for that; then nothing is put.
        """
        free = self.free
        text, size = fit_text(self.content.token, free.width, self.dots(LARGE_TOKEN), self.least, BOLD)
        if text != self.content.token:
            return False
        row = Words(role="token", text=text, left=free.left, top=0, width=free.width, size=size)
        self.words.append(row._replace(top=free.top + free.height - row.height))
        self.free = free._replace(height=free.height - row.height - self.gap // 2)
        return True

    def _choose(self, rows: list[list[str]], copies: int, text_width: int, beside: int) -> Symbols:
        """The best level, copies and module for which everything has room. Raises LabelRefused."""

        def fits(address: str) -> Symbols | None:
            for level, number, module in self._ways(copies):
                side = draw_symbol(address, level).width * module
                if self.free.width - number * (side + beside) >= text_width:
                    below = next((each for each in rows or [[]] if self._have_room(each, side)), None)
                    if below is not None:
                        return Symbols(copies=number, side=side, module=module, level=level, rows=below)
            return None

        address = self.content.address
        chosen = fits(address)
        if chosen is None:
            most = next((length for length in range(len(address) - 1, 0, -1) if fits(address[:length])), 0)
            raise LabelRefused(self._too_small(most))
        return chosen

    def _have_room(self, rows: list[str], side: int) -> bool:
        """Whether rows of the least size fit below a symbol."""
        wide = max((width_of(row, self.under, self.under_face) for row in rows), default=0)
        return side + len(rows) * ceil(LINE * self.under) <= self.free.height and wide <= side - self.gap

    def _ways(self, copies: int) -> Iterator[tuple[str, int, int]]:
        """Level, copies and dots per module, the best first.

        Two copies of fair modules go before one of large modules, and before two of large ones: drops of one size over
        one share of the area spoil large symbols more often than small ones. They go before a better level too, as
        dirt hides a symbol by its corners, which no level covers: decision 0116 (benchmarks/label_damage.py).
        """
        dot = MILLIMETRES_PER_INCH / self.stock.dpi
        least = max(self.stock.least_dots, ceil(_LEAST_MODULE / dot))
        fair, large = max(least, ceil(_FAIR_MODULE / dot)), max(least, round(_LARGE_MODULE / dot))
        most = min(copies, self.stock.copies)
        if most > 1:
            yield from ((level, most, fair) for level in self.stock.levels)
        for level in self.stock.levels:
            yield from ((level, 1, module) for module in range(large, fair - 1, -1))
            smaller = range(fair - 1, least - 1, -1)
            yield from ((level, number, module) for number in range(most, 0, -1) for module in smaller)

    def _too_small(self, most: int) -> str:
        address = self.content.address
        says = (
            f"{self.content.title}: on stock {self.stock.name} a module of the symbol would fall under "
            f"{self.stock.least_dots} dots at {self.stock.dpi} dpi: there is no room for an address of {len(address)} "
            "characters"
        )
        if not most:
            return f"{says}, nor for any other; take a larger label."
        small = not address.isupper() and allows_capitals(address.rsplit("/", 2)[0])
        capitals = "choose --upper-case-labels in the settings, " if small else ""
        shorter = f"shorten the workshop's base address by {len(address) - most}"
        return f"{says} and one for {most}; {shorter}, {capitals}or take a larger label."

    def _put_symbol(self, free: Area, rows: list[str]) -> None:
        """The symbol with the rows below it, together in the middle of the height."""
        side = free.width
        high = side
        size = 0
        if rows:
            most = min(max(self.dots(TOKEN_SIZE), self.under), int((free.height - side) / len(rows) / LINE))
            size = min(fit_text(row, side - self.gap, most, self.under, self.under_face)[1] for row in rows)
            high += len(rows) * ceil(LINE * size)
        top = free.top + (free.height - high) // 2
        self.blocks.append(Block(role="symbol", left=free.left, top=top, width=side, height=side))
        for number, text in enumerate(rows):
            self.words.append(
                Words(
                    role="token",
                    text=text,
                    left=free.left,
                    top=top + side + number * ceil(LINE * size),
                    width=side,
                    size=size,
                    face=self.under_face,
                )
            )

    def _put_aside(self, rows: list[list[str]], free: Area) -> Area:
        """The token at the foot of the text, in one row where that fits; give what is left above it."""
        size = self.least
        fits = (each for each in rows if max(width_of(row, size, BOLD) for row in each) <= free.width)
        line, chosen = ceil(LINE * size), next(fits, rows[-1])
        left = free._replace(height=free.height - len(chosen) * line - self.gap // 2)
        for number, text in enumerate(chosen):
            top = left.top + left.height + self.gap // 2 + number * line
            self.words.append(Words(role="token", text=text, left=free.left, top=top, width=free.width, size=size))
        return left

    def put_bar(self, area: Area) -> Area:
        """The rule below the figures or the headline; in a demo it is thick and says so, in white."""
        self.blocks.append(Block(role="rule", left=area.left, top=area.top, width=area.width, height=self.bar))
        if self.content.demo:
            self.words.append(
                Words(role="demo", text="DEMO", left=area.left, top=area.top, width=area.width, size=self.least)
            )
        return area.below(self.bar)

    def shown(self, name: str, words: str, instead: str = "") -> str:
        """What the font can print of some words; what it prints otherwise is said."""
        lacking = missing(words)
        if not lacking:
            return printable(words)
        text = printable(instead or words)
        self.says.append(
            f"{self.content.title}: the label's font lacks {lacking}; {name or 'the figure'} is printed as {text}"
        )
        return text
