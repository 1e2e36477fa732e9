"""Plugins written by a test, and what they stop."""

from collections.abc import Callable
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.opening import open_workshop

READY = """
2031-04-02 10:00 job 1 opened axle on V-1 by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""
MEND = ". What it would have found is not known; mend it before release."


@pytest.fixture
def ready() -> str:
    """A job on which nothing but the plugins can be wrong."""
    return READY


@pytest.fixture
def written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Plugins]:
    """The installed plugins, and those whose text is given by name; each begins with the import of `hookimpl`.

    A module's name ends like its folder's, so that no other test has imported it.
    """
    monkeypatch.syspath_prepend(tmp_path)

    def entry(name: str, code: str) -> EntryPoint:
        module = f"{name}_{tmp_path.name}".replace("-", "_")
        (tmp_path / f"{module}.py").write_text(f"from torqueaudit.plugin import hookimpl\n{code}", encoding="utf-8")
        return EntryPoint(name, module, GROUP)

    def loaded(blocked: tuple[str, ...] = (), /, **codes: str) -> Plugins:
        own = [entry(name, code) for name, code in codes.items()]
        return Plugins([*entry_points(group=GROUP), *own], blocked)

    return loaded


@pytest.fixture
def stops(book_file: Path) -> Callable[[Plugins], list[str]]:
    """The stops of the job that is ready, without the ending they share; its release is refused where there are any."""

    def of(plugins: Plugins) -> list[str]:
        with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
            play(workshop, READY)
            said = findings(workshop, weight="stop")
            if said:
                with pytest.raises(Refused, match="cannot be released"):
                    play(workshop, "2031-04-02 10:15 released by P-1")
            assert [] == [sentence for sentence in said if not sentence.endswith(MEND)]
            return [sentence.removesuffix(MEND) for sentence in said]

    return of
