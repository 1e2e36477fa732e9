"""Where a book lies, as it is typed: a file, or the address of a database."""

from pathlib import Path
from typing import Any

import click


class BookPlace(click.Path):
    """A file, or the address of a database; what reads addresses is imported for one."""

    def __init__(self) -> None:
        super().__init__(path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The place that was typed."""
        if "://" not in str(value):
            return super().convert(value, param, ctx)
        from torqueaudit.book.address import place_of
        from torqueaudit.book.errors import BookError

        try:
            return place_of(value)
        except BookError as error:
            self.fail(error.says, param, ctx)


PLACE = BookPlace()
