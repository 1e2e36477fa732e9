"""A workshop whose pages are answered, and phones that a foreman lets in."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.workshop.signing.devices import invite

from .phone import LetIn, Phone


@pytest.fixture(autouse=True)
def secrets(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of secrets outside of the book's folder."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path_factory.mktemp("secrets") / "secrets.json"))


@pytest.fixture
def bench(book: Path, clock: list[datetime], listen: Callable[..., str]) -> Iterator[str]:
    """The address of a server of the workshop."""
    with ExitStack() as until:
        yield listen(until, book, lambda: clock[0])


@pytest.fixture
def let_in(bench: str, pins: dict[str, str], yard: Any) -> LetIn:
    """Phones that a foreman lets in."""

    def admitted(name: str = "tablet at lift 2") -> Phone:
        given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), name)
        phone = Phone(bench, pins)
        phone.open(f"admit/{given.code.lower()}").tap("Yes, this one")
        assert phone.status == 200
        return phone

    return admitted


@pytest.fixture
def desk(let_in: LetIn, yard: Any) -> Phone:
    """Signed in as a foreman, for the pages of the office."""
    del yard
    return let_in("desk").sign_in("P-1")
