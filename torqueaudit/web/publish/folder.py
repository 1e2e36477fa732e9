"""The folder of published pages: only what changed is written, whole and flushed, and nothing of anybody else's."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

from torqueaudit.book.flushing import make_folder, write_all
from torqueaudit.model.shown.label import JOB
from torqueaudit.web.publish.written import Label, Written, key_of

PAGE, CALENDAR = "index.html", "re-check.ics"
CAPITALS = JOB.upper()


class File(NamedTuple):
    """What a file of a label holds. `make` makes it for the moment that it names; None where it is not wanted.

    What lies there and is not wanted any more becomes what `instead` makes of it: an address that was opened once never
    just vanishes.
    """

    make: Callable[[datetime], bytes] | None
    instead: Callable[[bytes], bytes] = bytes


class Wanted(NamedTuple):
    """What the folder of a label is to hold, by the names of its files; the next day on which that changes.

    No token is the folder of all labels itself.
    """

    token: str
    job: int
    files: Mapping[str, File]
    turns: date | None = None


class Folder:
    """The folder, and what was done to it so far. `capitals`: labels say their address in capitals too."""

    def __init__(self, place: Path, now: datetime, *, capitals: bool) -> None:
        self.list = Written(place)
        self.written = self.kept = 0
        self.foreign: list[Path] = []
        self._place = place
        self._now = now
        self._ways = {JOB, CAPITALS} if capitals else {JOB}

    def bring(self, labels: Iterable[Wanted]) -> None:
        """Bring the folders of some labels to what they are to hold. Raises OSError with the file it failed at.

        What is going to be ours is noted before it is there, so that after a power cut it is known to be ours.
        """
        files: dict[Path, bytes] = {}
        noted: dict[str, Label] = {}
        for label in labels:
            key = key_of(label.token)
            before = self.list.labels.get(key)
            after = self._planned(label, before.files if before else {}, files)
            if after != before and after.files:
                noted[key] = after
        if noted:
            self.list.note(noted)
        for folder in dict.fromkeys(path.parent for path in files):
            make_folder(folder)
        write_all(files)
        self.written += len(files)

    def tokens(self) -> Iterator[str]:
        """The tokens whose folders lie here."""
        for way in (JOB, CAPITALS):
            if (all_labels := self._place / way).is_dir():
                yield from (each.name.lower() for each in all_labels.iterdir() if each.is_dir())

    def disturbed(self) -> list[int]:
        """The jobs of the labels of which a file is gone or was written by somebody else; 0 of all labels' own page."""
        there = {key_of(token): token for token in ("", *self.tokens())}
        finished, labels = self.list.finished_ns, self.list.labels
        return [label.job for key, label in labels.items() if not self._stands(there.get(key), label, finished)]

    def _stands(self, token: str | None, label: Label, finished_ns: int) -> bool:
        """Whether the files of a label lie there, none younger than the list, which is written behind them."""
        if token is None:
            return False
        paths = [self._path(way, token, called) for way, _, called in (name.partition("/") for name in label.files)]
        return all(path.exists() and path.stat().st_mtime_ns <= finished_ns for path in paths)

    def _planned(self, label: Wanted, ours: Mapping[str, datetime], files: dict[Path, bytes]) -> Label:
        """What the list says of a label from now on; the files that have to be written are put into `files`."""
        moments = dict(ours)
        for way in sorted(self._ways | {name.partition("/")[0] for name in ours}):
            for called, wanted in label.files.items():
                name, path = f"{way}/{called}", self._path(way, label.token, called)
                if path.exists() and name not in ours:
                    self.foreign += [path] if wanted.make else []
                elif (data := _changed(path, wanted, ours.get(name), self._now)) is None:
                    self.kept += path.exists()
                else:
                    files[path] = data
                    moments[name] = self._now if wanted.make else ours[name]
        return Label(label.job, moments, label.turns)

    def _path(self, way: str, token: str, called: str) -> Path:
        return self._place / way / (token.upper() if way == CAPITALS else token) / called


def _changed(path: Path, wanted: File, since: datetime | None, now: datetime) -> bytes | None:
    """What has to be written: None where the file says it already, apart from when that was written."""
    there = path.read_bytes() if path.exists() else None
    if wanted.make is None:
        return None if there is None or (data := wanted.instead(there)) == there else data
    if since and there == wanted.make(since):
        return None
    return wanted.make(now)
