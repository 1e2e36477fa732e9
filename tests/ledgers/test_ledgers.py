"""Every ledger kept here says for ever what it said, in words and in bytes."""

import json
import lzma
import subprocess
import sys
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from packaging.version import Version

from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.chain import beginning, chain_faults, form_faults, head_of
from torqueaudit.ledger.entry import Entry, entry_of, hash_of
from torqueaudit.model.job.entries import READERS
from torqueaudit.model.job.record import fold_record
from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.register.devices import fold_device
from torqueaudit.model.register.people import fold_person
from torqueaudit.model.register.programs import fold_program
from torqueaudit.model.register.settings import Settings, fold_settings
from torqueaudit.model.vehicle.vehicle import fold_vehicle
from torqueaudit.model.wrench.entries import fold_struck, fold_wrench

HERE = Path(__file__).parent


KEPT = sorted((each.parent for each in HERE.glob("*/head.json")), key=lambda kept: Version(kept.name))
NEWEST = KEPT[-1]
# Every kind ever written, beside what happens on a job; the last are reports about a vehicle outside a job.
KINDS = {
    "job": {"opened.1", *READERS},
    "site": {"settled.1", "words_erased.1", "key_named.1", "restored.1"},
    "person": {"entered.1", "changed.1", "ended.1", "pin_set.1", "unlocked.1"},
    "device": {"device_admitted.1", "device_withdrawn.1", "unlocked.1"},
    "program": {"program_admitted.1", "program_withdrawn.1"},
    "vehicle": {"entered.1", "changed.1", "arrived.1", "loosened.1", "loosened.2", "struck.1"}
    | {"contact_agreed.1", "contact_ended.1", "exchanged.1", "read_off.1"},
    "procedure": {"entered.1", "read.1", "read.2"},
    "night": {"judged_in_full.1"},
    "wrench": {
        *("entered.1", "calibrated.1", "interim_checked.1", "mishandled.1", "withdrawn.1", "use_estimated.1"),
        *("struck.1", "mishandled.2", "withdrawn.2", "use_estimated.2", "struck.2", "changed.1"),
        "look_timed.1",
    },
}


def lines(file: Path) -> list[str]:
    return lzma.decompress(file.read_bytes()).decode().splitlines()


def documents(kept: Path) -> list[str]:
    return lines(kept / "entries.jsonl.xz")


def subjects(kept: Path) -> dict[str, list[Entry]]:
    """The entries of each subject, with their words."""
    found: dict[str, list[Entry]] = defaultdict(list)
    words = words_of(kept)
    for document in documents(kept):
        entry = entry_of(document)
        found[entry.subject].append(entry._replace(words=words[entry.sequence]))
    return found


def words_of(kept: Path) -> dict[int, dict[str, str]]:
    """The words that stand, by entry and field."""
    found: dict[int, dict[str, str]] = defaultdict(dict)
    for row in map(json.loads, lines(kept / "words.jsonl.xz") if (kept / "words.jsonl.xz").exists() else ()):
        if row["text"] is not None:
            found[row["entry"]][row["field"]] = row["text"]
    return found


def kinds(*ledgers: Path) -> dict[str, set[str]]:
    """The kinds of entries in these ledgers, by what they are about."""
    found: dict[str, set[str]] = defaultdict(set)
    for kept in ledgers:
        for subject, own in subjects(kept).items():
            found[subject.partition("/")[0]] |= {entry.kind for entry in own}
    return found


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept.name)
def test_a_kept_ledger_shows_what_it_showed(kept: Path) -> None:
    """Jobs, passes, wrenches and nights, to the letter, in a book made of the entries as they were given."""
    compare = [sys.executable, str(HERE / "again.py"), "compare", kept.name]
    compared = subprocess.run(compare, check=True, capture_output=True, text=True)

    assert [] == compared.stdout.splitlines()


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept.name)
def test_the_chain_of_a_kept_ledger_ends_at_its_head(kept: Path) -> None:
    """Every text is canonical, gives its hash and follows the one before it."""
    printed = json.loads((kept / "head.json").read_text(encoding="utf-8"))["head"]
    rows = [(document, hash_of(document)) for document in documents(kept)]
    head, faults = chain_faults(beginning("YARD"), ((document.encode(), digest) for document, digest in rows))

    assert [] == faults + form_faults(1, (document for document, _ in rows))
    assert head_of(printed) == head


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept.name)
def test_every_stored_procedure_is_written_again_in_the_same_bytes(kept: Path) -> None:
    """What is read of the normal form is all that it says."""
    stored = [own[0].judged["procedure"] for subject, own in subjects(kept).items() if subject.startswith("procedure/")]

    assert len(stored) > 1
    assert [canonical(each) for each in stored] == [canonical(normal_form(from_normal_form(each))) for each in stored]


def test_every_kind_of_entry_ever_written_is_kept() -> None:
    """In one ledger or another, so that none loses its reader."""
    assert kinds(*KEPT) == KINDS


def test_the_newest_ledger_has_every_kind_of_entry_in_its_last_version() -> None:
    """A kind that is added gets its line in the story."""

    def last_versions(kinds: set[str]) -> set[str]:
        return set({kind.partition(".")[0]: kind for kind in sorted(kinds)}.values())

    assert {noun: last_versions(each) for noun, each in KINDS.items()} == kinds(NEWEST)


def test_the_newest_ledger_keeps_words_and_says_of_erased_ones_that_they_are() -> None:
    """Beside its entries, with their salts."""
    rows = [json.loads(line) for line in lines(NEWEST / "words.jsonl.xz")]
    erased = [row for row in rows if row["text"] is None]

    assert {"why", "remark", "basis", "limit", "with_stops", "technician", "name", "to_whom"} == {
        row["field"] for row in rows
    }
    assert [("P-1", None)] == [(row["erased_by"], row["salt"]) for row in erased]


class Payload(dict[str, Any]):
    """A payload that notes in `seen` each key it is asked for, and whether it stood there; nested ones too."""

    def __init__(self, plain: Mapping[str, Any], seen: dict[str, bool]) -> None:
        super().__init__(plain)
        self.seen = seen

    def __getitem__(self, key: str) -> Any:
        return self._noted(key, super().__getitem__(key))

    def get(self, key: str, default: Any = None) -> Any:
        return self._noted(key, super().get(key, default))

    def __contains__(self, key: object) -> bool:
        self._noted(str(key), None)
        return super().__contains__(key)

    def _noted(self, key: str, value: Any) -> Any:
        self.seen[key] = self.seen.get(key, False) or super().__contains__(key)
        return self._nested(value)

    def _nested(self, value: Any) -> Any:
        if isinstance(value, dict):
            return Payload(value, self.seen)
        return [self._nested(each) for each in value] if isinstance(value, list) else value


def fold(noun: str, entries: list[Entry]) -> None:
    match noun:
        case "job":
            fold_record(entries)
        case "wrench":
            fold_wrench(entries)
            fold_struck(entries)
        case "person":
            fold_person(entries)
        case "vehicle":
            fold_vehicle(entries)
        case "device":
            fold_device(entries)
        case "program":
            fold_program(entries)


@pytest.mark.parametrize(
    ("noun", "least"), [("job", 60), ("wrench", 35), ("person", 2), ("vehicle", 3), ("device", 3), ("program", 4)]
)
def test_the_newest_ledger_has_every_key_that_a_reader_asks_for(noun: str, least: int) -> None:
    """An optional key that is added gets its line in the story. Those of procedures are held where their form is."""
    seen: dict[str, bool] = {}
    for subject, own in subjects(NEWEST).items():
        if subject.startswith(f"{noun}/"):
            noting = [
                each._replace(
                    said=Payload(each.said, seen), judged=Payload(each.judged, seen), words=Payload(each.words, seen)
                )
                for each in own
            ]
            fold(noun, noting)

    assert [] == sorted(key for key, stood in seen.items() if not stood)
    assert len(seen) >= least


def test_the_newest_ledger_has_every_setting() -> None:
    """Each was chosen at least once."""
    (own,) = (own for subject, own in subjects(NEWEST).items() if subject.startswith("site/"))
    chosen = {key for entry in own if entry.what == "settled" for key in entry.said}

    assert chosen == set(Settings._fields)
    assert fold_settings(own).telephone == "000 0000"
