"""The list of what was published into a folder: which files are ours, since when they say so, and up to which entry.

It lies in the folder, and whoever copies the folder may copy it too: tokens stand in it as their digests, so that
nobody opens a page by it. Lines of JSON, the later one counts; a last line that was cut is passed over.
"""

import json
from collections.abc import Mapping
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from torqueaudit.book.flushing import flush, flush_folder, write_whole
from torqueaudit.ledger.chain import Head, head_of
from torqueaudit.ledger.entry import moment_of, stamp

NAME = ".published.jsonl"
FORMAT = 1


class Label(NamedTuple):
    """The files of one label: the job, each file with the moment that it names, and the next day that changes them."""

    job: int
    files: Mapping[str, datetime]
    turns: date | None = None


class UpTo(NamedTuple):
    """What everything in the folder rests on: the head of the chain, and whatever else all pages are made of."""

    head: Head
    basis: str


class Written:
    """The list of one folder."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / NAME
        self.labels: dict[str, Label] = {}
        self.up_to: UpTo | None = None
        self._read()

    @property
    def finished_ns(self) -> int:
        """When the list was last written, in nanoseconds as the file system counts them; 0 where there is none."""
        return self._path.stat().st_mtime_ns if self._path.exists() else 0

    def note(self, labels: Mapping[str, Label]) -> None:
        """Add labels before their files are written, and flush it. Raises OSError."""
        self.labels.update(labels)
        fresh = not self._path.exists()
        with self._path.open("ab") as file:
            if file.tell() and not self._path.read_bytes().endswith(b"\n"):
                file.write(b"\n")
            file.writelines(_line(key, label) for key, label in labels.items())
            flush(file)
        if fresh:
            flush_folder(self._path.parent)

    def finish(self, up_to: UpTo) -> None:
        """Write the list anew once every file is written. Raises OSError."""
        first = json.dumps({"format": FORMAT, "head": str(up_to.head), "basis": up_to.basis}).encode() + b"\n"
        data = first + b"".join(_line(key, label) for key, label in sorted(self.labels.items()))
        if not self._path.exists() or self._path.read_bytes() != data:
            write_whole(self._path, data)

    def _read(self) -> None:
        if not self._path.exists():
            return
        for line in self._path.read_bytes().splitlines():
            try:
                self._take(json.loads(line))
            except (ValueError, TypeError, KeyError):  # cut, or changed by hand: the files of that line are not ours
                self.up_to = None

    def _take(self, told: dict[str, Any]) -> None:
        if told.get("format") == FORMAT:
            self.up_to = UpTo(head_of(told["head"]), told["basis"])
            return
        files = {name: moment_of(when) for name, when in told["files"].items()}
        turns = date.fromisoformat(told["turns"]) if told.get("turns") else None
        self.labels[told["label"]] = Label(told["job"], files, turns)


def key_of(token: str) -> str:
    """What a token is in the list: nobody finds the token by it."""
    return sha256(token.encode()).hexdigest()[:32]


def _line(key: str, label: Label) -> bytes:
    files = {name: stamp(when) for name, when in sorted(label.files.items())}
    told = {"label": key, "job": label.job, "files": files, "turns": label.turns and label.turns.isoformat()}
    return json.dumps(told).encode() + b"\n"
