"""A workshop with a job that left, and a folder that its pages are published into."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from torqueaudit.web.publish.publishing import Published, publish

if TYPE_CHECKING:
    from tests.web.conftest import Yard

TELEPHONE, MAIL = "+99 555 00 00", "yard+labels@yard.example"


@pytest.fixture
def settings() -> dict[str, object]:
    return {
        "zone": "Europe/Vienna",
        "base_address": "https://labels.example",
        "telephone": TELEPHONE,
        "mail_address": MAIL,
    }


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "web"


@pytest.fixture
def published(yard: "Yard", folder: Path) -> Callable[[], Published]:
    """Publishes the book as it stands now."""
    return lambda: publish(yard.workshop, folder)
