"""The text of a draft as its pieces, each with the remarks above it, so that one is changed and the rest stays."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from torqueaudit.model.procedure.toml.lines import headers

WORK = "work"


class Block(NamedTuple):
    """A piece of the text: the name of its table ("" for what stands above all, "work", "source.manual"), and its text.

    `line` is the line of its first sign, and `at` which one of its name it is, counted from 0.
    """

    name: str
    text: str
    line: int
    at: int = 0


def blocks_of(text: str) -> tuple[Block, ...]:
    """The pieces of a text that tomllib has read without an error, in their order; together they are the text."""
    lines = text.splitlines(keepends=True)
    begins = [(1, ""), *((_above(lines, line), name) for line, name in headers(text) if not name.startswith("work."))]
    ends = [*(line for line, _ in begins[1:]), len(lines) + 1]
    counted: dict[str, int] = {}
    blocks = []
    for (line, name), end in zip(begins, ends, strict=True):
        at = counted.get(name, 0)
        counted[name] = at + 1
        blocks.append(Block(name, "".join(lines[line - 1 : end - 1]), line, at))
    return tuple(blocks)


def joined(blocks: Iterable[Block]) -> str:
    """The text of pieces, with a free line between two."""
    return "\n".join(f"{each.text.strip()}\n" for each in blocks if each.text.strip())


def with_values(block: Block, values: Mapping[str, Any]) -> Block:
    """A piece in which keys have these values, and none where one is None; what it says besides stays as it is."""
    import tomlkit  # slow to load, and only whoever writes a draft needs it

    document = tomlkit.parse(block.text)
    table: Any = document
    for key in filter(None, block.name.split(".")):
        table = table[key]
    if block.name == WORK:
        table = table[0]
    for key, value in values.items():
        if value is None:
            table.pop(key, None)
        elif key not in table or table[key] != value or isinstance(table[key], bool) != isinstance(value, bool):
            table[key] = _item(value)
    return block._replace(text=tomlkit.dumps(document))


def new_block(name: str) -> Block:
    """A piece in which nothing stands yet."""
    header = {"": "", WORK: f"[[{WORK}]]\n"}.get(name, f"[{name}]\n")
    return Block(name, header, 0)


def changed(blocks: Iterable[Block], name: str, at: int, change: Callable[[Block], Block]) -> tuple[Block, ...]:
    """The pieces with one of them changed."""
    return tuple(change(each) if (each.name, each.at) == (name, at) else each for each in blocks)


def put_in(blocks: tuple[Block, ...], new: Block, behind: int | None = None) -> tuple[Block, ...]:
    """The pieces with a new one: work behind the piece of work of that number, or behind all; a source before it."""
    if new.name == WORK:
        last = [nth for nth, each in enumerate(blocks) if each.name == WORK and (behind is None or each.at <= behind)]
        place = (last or [_end_of_top(blocks)])[-1] + 1
    elif new.name.startswith("source."):
        place = _end_of_top(blocks) + 1
    else:
        place = 1 + max((nth for nth, each in enumerate(blocks) if not each.name.startswith("x.")), default=-1)
    return (*blocks[:place], new, *blocks[place:])


def moved(blocks: tuple[Block, ...], at: int, by: int) -> tuple[Block, ...]:
    """The pieces with a piece of work one place further up (-1) or down (1); as they were where there is none."""
    places = [nth for nth, each in enumerate(blocks) if each.name == WORK]
    if not 0 <= at + by < len(places):
        return blocks
    swapped = list(blocks)
    one, other = places[at], places[at + by]
    swapped[one], swapped[other] = swapped[other], swapped[one]
    return tuple(swapped)


def _end_of_top(blocks: tuple[Block, ...]) -> int:
    return max(nth for nth, each in enumerate(blocks) if each.name == "" or each.name.startswith("source."))


def _above(lines: list[str], line: int) -> int:
    """The line at which the remarks begin that stand right above a line."""
    while line > 1 and lines[line - 2].lstrip().startswith("#"):
        line -= 1
    return line


def _item(value: Any) -> Any:
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update(value)
        return table
    return tomlkit.item(value)


def texts_in(value: object) -> Iterator[str]:
    """Each text of a list, or none."""
    if isinstance(value, list):
        yield from (each for each in value if isinstance(each, str))
