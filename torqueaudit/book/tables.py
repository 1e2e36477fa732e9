"""Tables of a book that no list and no entry is: each change is one transaction, or a part of somebody's."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from torqueaudit.book.engine import Engine, Value


class Tables:
    """Some tables in an engine; `writing` where whoever changes them is writing already. Raises BookError."""

    def __init__(self, engine: Engine, *, writing: bool = False) -> None:
        self._engine = engine
        self._is_writing = writing

    @contextmanager
    def _writing(self) -> Iterator[None]:
        if self._is_writing:
            yield
            return
        self._engine.require_room()
        with self._engine.in_words(), self._engine.writing():
            yield

    def _rows(self, sql: str, *values: Value) -> Sequence[tuple[Any, ...]]:
        with self._engine.in_words():
            return list(self._engine.rows(sql, values))

    def _run(self, sql: str, *values: Value) -> None:
        self._engine.run(sql, values)
