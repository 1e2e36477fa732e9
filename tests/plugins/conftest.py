"""Procedures of a test's own, entered and read like any other."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Say
from torqueaudit.testing import procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source


@pytest.fixture
def enter(workshop: Workshop, tmp_path: Path) -> Callable[..., None]:
    """Enter the procedure "drive", which holds the given tables and a line at its top, and have it read."""

    def entered(tables: str, top: str = "") -> None:
        path = tmp_path / "drive.toml"
        path.write_text(procedure_head("drive", "Chain drive", top) + tables, encoding="utf-8")
        digest = enter_procedure(workshop, path, Say("P-2"))
        read_against_source(workshop, digest, "", Say("P-3"))

    return entered
