"""Somebody who knows the format forges the book: `ledger verify` and the night tell of each.

    python tampering.py FOLDER HEAD TRIES SEED verify|night|shares
    python tampering.py FOLDER HEAD TRIES SEED checkpoint FILE

Verification holds the book against the head, which was kept on paper, or against a checkpoint of the same length that
was kept elsewhere; the night against the seals beside the book. By shares, several processes must find what one does.

In the folder lie yard.book and all that it keeps; the head is not its newest one. The kinds of forgery take turns, each
on a fresh copy, every second time with all removed that the program has written down beside the book of its heads, and
of its seals where there is another checkpoint.
Prints the figures as JSON.
"""

import json
import shutil
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from random import Random

from disk import in_memory
from forger import Fields, Forger
from says import PROGRAM, Verdict, by_checkpoint, by_night, shared, verified
from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.places import seals_of
from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.entry import hash_of
from torqueaudit.workshop.opening import now

# The ledger. What follows from it is written anew behind each of these, so that the lists agree with the forgery.


def entry_altered(forger: Forger) -> None:
    number = forger.number()
    (text, hash_) = forger.rows("select document, hash from ledger where position = ?", number)[0]
    forger.put(number, text.replace('"who":"', '"who":"X', 1), hash_)


def entry_altered_with_its_hash(forger: Forger) -> None:
    number = forger.number()
    text = forger.texts()[number - 1].replace('"who":"', '"who":"X', 1)
    forger.put(number, text, hash_of(text))


def hash_altered(forger: Forger) -> None:
    forger.unguarded("update ledger set hash = ? where position = ?", "0" * 64, forger.number())


def tail_dropped(forger: Forger) -> None:
    forger.unguarded("delete from ledger where position >= ?", forger.number())


def entry_dropped(forger: Forger) -> None:
    entries = forger.entries()
    del entries[forger.number() - 1]
    forger.chained(entries)


def entry_dropped_and_not_renumbered(forger: Forger) -> None:
    forger.unguarded("delete from ledger where position = ?", forger.number())


def entries_swapped(forger: Forger) -> None:
    entries = forger.entries()
    one = forger.number(2)
    entries[one - 2], entries[one - 1] = entries[one - 1], entries[one - 2]
    forger.chained(entries)


def entry_inserted(forger: Forger) -> None:
    entries = forger.entries()
    number = forger.number()
    entries.insert(number - 1, {**entries[number - 1], "id": f"act-{forger.chance.getrandbits(32)}"})
    forger.chained(entries)


def recorded_at_changed(forger: Forger) -> None:
    forger.altered(lambda entry: entry.update(recorded_at="2025-03-02T07:00:00Z"))


def happened_at_changed(forger: Forger) -> None:
    forger.altered(lambda entry: entry.update(happened_at="2025-03-02T07:00:00Z"))


def who_changed(forger: Forger) -> None:
    forger.altered(lambda entry: entry.update(who="P-4"), lambda entry: entry["who"] != "P-4")


def id_changed(forger: Forger) -> None:
    forger.altered(lambda entry: entry.update(id=f"act-{forger.chance.getrandbits(32)}"))


def digest_changed(forger: Forger) -> None:
    forger.altered(lambda entry: entry["payload"]["act"].update(digest=hash_of(entry["id"])))


def torque_changed(forger: Forger) -> None:
    forger.altered(
        lambda entry: entry["payload"]["judged"].update(verdict="in", applied_nm="107.9"),
        lambda entry: entry["kind"].startswith("tightened"),
    )


def procedure_changed(forger: Forger) -> None:
    def other_limits(entry: Fields) -> None:
        entry["payload"]["judged"]["procedure"]["title"] += " of another edition"

    forger.altered(other_limits, lambda entry: "procedure" in entry["payload"]["judged"])


def paper_forgotten(forger: Forger) -> None:
    forger.altered(
        lambda entry: entry["payload"]["said"].pop("paper"), lambda entry: "paper" in entry["payload"]["said"]
    )


def words_never_told(forger: Forger) -> None:
    entries = forger.entries()
    entry = forger.chance.choice([each for each in entries[: forger.kept] if "words" in each["payload"]])
    del entry["payload"]["words"]
    forger.rows("delete from words where entry = ?", entry["sequence"])
    forger.chained(entries)


def other_words_told(forger: Forger) -> None:
    entries = forger.entries()
    entry = forger.chance.choice([each for each in entries[: forger.kept] if "words" in each["payload"]])
    field = next(iter(entry["payload"]["words"]))
    salt, text = forger.chance.randbytes(16).hex(), "it was in order"
    entry["payload"]["words"][field] = hash_of(salt + text)
    forger.rows("update words set salt = ?, text = ? where entry = ?", salt, text, entry["sequence"])
    forger.chained(entries)


def not_canonical(forger: Forger) -> None:
    forger.chained(forger.entries(), lambda entry: json.dumps(entry, sort_keys=True))


def one_key_twice(forger: Forger) -> None:
    forger.chained(forger.entries(), lambda entry: canonical(entry).replace('"who":', '"who":"P-4","who":', 1))


def written_anew_from_the_start(forger: Forger) -> None:
    entries = forger.entries()
    for entry in entries:
        entry["recorded_at"] = entry["recorded_at"].replace("2025-03-02", "2025-03-01")
    forger.chained(entries)


def moved_in_the_file(forger: Forger) -> None:
    forger.unguarded("update ledger set position = position + 1000000")


def another_site(forger: Forger) -> None:
    forger.rows("update book set site = 'YARD-2'")


def another_site_everywhere(forger: Forger) -> None:
    entries = forger.entries()
    for entry in entries:
        entry["site"] = "YARD-2"
        entry["subject"] = entry["subject"].replace("site/YARD", "site/YARD-2")
    forger.rows("update book set site = 'YARD-2'")
    forger.chained(entries)


# Free words, and what is known of people and vehicles.


def words_changed(forger: Forger) -> None:
    forger.rows(f"update words set text = text || '.' where entry = {_words(forger)}")


def words_changed_with_their_salt(forger: Forger) -> None:
    salt = forger.chance.randbytes(16).hex()
    forger.rows(f"update words set text = 'in order', salt = ? where entry = {_words(forger)}", salt)


def words_lost(forger: Forger) -> None:
    forger.rows(f"delete from words where entry = {_words(forger)}")


def words_erased_by_nobody(forger: Forger) -> None:
    told = "salt = null, text = null, erased_on = '2025-03-02', erased_by = 'P-1'"
    forger.rows(f"update words set {told} where entry = {_words(forger)}")


def words_of_an_entry_that_has_none(forger: Forger) -> None:
    number = next(each["sequence"] for each in forger.entries() if "words" not in each["payload"])
    forger.rows("insert into words values (?, 'why', 'job/1', '00', 'it was in order', null, null)", number)


def erased_words_put_back(forger: Forger) -> None:
    forger.rows("update words set salt = '00', text = 'it was in order' where text is null")


def plate_changed(forger: Forger) -> None:
    forger.rows("update personal set value = 'Y-ARD 999' where subject = ? and field = 'plate'", _vehicle(forger))


def plate_changed_with_its_salt(forger: Forger) -> None:
    salt = forger.chance.randbytes(16).hex()
    changed = "value = 'Y-ARD 999', salt = ?"
    forger.rows(f"update personal set {changed} where subject = ? and field = 'plate'", salt, _vehicle(forger))


def plate_lost(forger: Forger) -> None:
    forger.rows("delete from personal where subject = ?", _vehicle(forger))


def frame_number_that_nobody_told(forger: Forger) -> None:
    forger.rows("insert into personal values (?, 'frame_number', 'Y-ARD 999', '00')", _vehicle(forger))


def name_written_otherwise(forger: Forger) -> None:
    forger.rows("update personal_written set written = written || 'x' where subject = 'person/P-2'")


def _vehicle(forger: Forger) -> str:
    known = forger.rows("select subject from personal where subject like 'vehicle/%' and value != ''")
    return str(forger.chance.choice(known)[0])


def _words(forger: Forger) -> int:
    told = forger.rows("select entry from words where text is not null and entry <= ?", forger.kept)
    return int(forger.chance.choice(told)[0])


# The lists that are worked out from the ledger.


def row_changed(forger: Forger) -> None:
    table, columns, rowid = _row(forger)
    forger.rows(f"update {table} set {forger.chance.choice(columns)} = 1954 where rowid = ?", rowid)


def row_lost(forger: Forger) -> None:
    table, _, rowid = _row(forger)
    forger.rows(f"delete from {table} where rowid = ?", rowid)


def row_added(forger: Forger) -> None:
    table, columns, rowid = _row(forger)
    others = ", ".join(column for column in columns if column != '"token"')
    forger.rows(f"insert into {table} ({others}) select {others} from {table} where rowid = ?", rowid)


def row_of_nobody(forger: Forger) -> None:
    forger.rows(f"insert into {forger.chance.choice(LISTS)} (subject) values ('job/99')")


def recheck_done(forger: Forger) -> None:
    forger.rows("update jobs set rechecked_on = '2025-03-02', state = 're-checked'")


def _row(forger: Forger) -> tuple[str, list[str], int]:
    table = forger.chance.choice([each for each in LISTS if forger.rows(f"select 1 from {each}")])
    columns = [f'"{row[1]}"' for row in forger.rows(f"pragma table_info({table})")]
    return table, columns, forger.chance.choice(forger.rows(f"select rowid from {table}"))[0]


# The file.


def trigger_dropped(forger: Forger) -> None:
    forger.rows(f"drop trigger {forger.chance.choice(forger.guards)[0]}")


def trigger_weakened(forger: Forger) -> None:
    name, made = forger.chance.choice(forger.guards)
    forger.rows(f"drop trigger {name}")
    forger.rows(made.replace("BEGIN", "WHEN 0 BEGIN") if "WHEN" not in made else made.replace("BEGIN", "AND 0 BEGIN"))


def index_dropped(forger: Forger) -> None:
    forger.rows(f"drop index {forger.chance.choice(_made(forger, 'index'))}")


def table_added(forger: Forger) -> None:
    forger.rows("create table more (a)")


def view_added(forger: Forger) -> None:
    forger.rows("create view more as select * from jobs")


def trigger_added(forger: Forger) -> None:
    forger.rows("create trigger more after insert on ledger begin delete from words; end")


def schema_rewritten(forger: Forger) -> None:
    forger.rows("pragma writable_schema = on")
    forger.rows(
        "update sqlite_schema set sql = sql || ' ' where name = ?", forger.chance.choice(_made(forger, "table"))
    )


def mark_changed(forger: Forger) -> None:
    forger.rows("pragma application_id = 7")


def version_raised(forger: Forger) -> None:
    forger.rows("pragma user_version = 99")


def _made(forger: Forger, what: str) -> list[str]:
    asked = "select name from sqlite_schema where type = ? and sql is not null and name not like '\\_%' escape '\\'"
    return [name for (name,) in forger.rows(asked, what)]


# Beside the book.


def paper_changed(forger: Forger) -> None:
    paper = forger.chance.choice(forger.papers())
    paper.write_bytes(paper.read_bytes() + b"\n")


def papers_swapped(forger: Forger) -> None:
    one, two = forger.chance.sample(forger.papers(), 2)
    content = one.read_bytes()
    one.write_bytes(two.read_bytes())
    two.write_bytes(content)


def paper_lost(forger: Forger) -> None:
    forger.chance.choice(forger.papers()).unlink()


def photo_changed(forger: Forger) -> None:
    photo = forger.chance.choice(forger.photos())
    photo.write_bytes(photo.read_bytes()[:-1] + b"?")


def photos_swapped(forger: Forger) -> None:
    one, two = forger.chance.sample(forger.photos(), 2)
    content = one.read_bytes()
    one.write_bytes(two.read_bytes())
    two.write_bytes(content)


def photo_lost(forger: Forger) -> None:
    forger.chance.choice(forger.photos()).unlink()


LEDGER: tuple[Callable[[Forger], None], ...] = (
    entry_altered,
    entry_altered_with_its_hash,
    hash_altered,
    tail_dropped,
    entry_dropped,
    entry_dropped_and_not_renumbered,
    entries_swapped,
    entry_inserted,
    recorded_at_changed,
    happened_at_changed,
    who_changed,
    id_changed,
    digest_changed,
    torque_changed,
    procedure_changed,
    paper_forgotten,
    words_never_told,
    other_words_told,
    not_canonical,
    one_key_twice,
    written_anew_from_the_start,
    moved_in_the_file,
    another_site,
    another_site_everywhere,
)
BESIDE: tuple[Callable[[Forger], None], ...] = (
    words_changed,
    words_changed_with_their_salt,
    words_lost,
    words_erased_by_nobody,
    words_of_an_entry_that_has_none,
    erased_words_put_back,
    plate_changed,
    plate_changed_with_its_salt,
    plate_lost,
    frame_number_that_nobody_told,
    name_written_otherwise,
    row_changed,
    row_lost,
    row_added,
    row_of_nobody,
    recheck_done,
    trigger_dropped,
    trigger_weakened,
    index_dropped,
    table_added,
    view_added,
    trigger_added,
    schema_rewritten,
    mark_changed,
    version_raised,
    paper_changed,
    papers_swapped,
    paper_lost,
    photo_changed,
    photos_swapped,
    photo_lost,
)


DOORS: dict[str, Callable[[Path, str], Verdict]] = {
    "verify": verified,
    "night": by_night,
    "checkpoint": by_checkpoint,
    "shares": shared,
}


def forge(book: Path, kind: Callable[[Forger], None], kept: int, chance: Random) -> None:
    """One forgery; behind one of the ledger the lists are written anew, as far as the program still can."""
    forger = Forger(book, kept, chance)
    kind(forger)
    forger.close()
    if kind in LEDGER:
        with suppress(Exception), Book.open(book, now, chance) as forged:
            forged.rebuild()


def main(folder: Path, head: str, tries: int, seed: int, door: str, checkpoint: str = "") -> dict[str, object]:
    """Forge and look; the figures."""
    asked = DOORS[door]
    chance, kinds = Random(seed), (*LEDGER, *BESIDE)
    kept = head_of(head).sequence
    found = Counter[str]()
    first: dict[str, str] = {}
    with in_memory() as memory:
        place = memory / "place"
        for nth in range(tries):
            shutil.rmtree(place, ignore_errors=True)
            shutil.copytree(folder, place)
            kind = kinds[nth % len(kinds)]
            forge(place / "yard.book", kind, kept, chance)
            if nth // len(kinds) % 2:
                (place / "yard.book.heads").unlink()
                if checkpoint:
                    shutil.rmtree(seals_of(place / "yard.book"))
            verdict = asked(place / "yard.book", checkpoint or head)
            if verdict.sound or PROGRAM in verdict.says:
                found[kind.__name__] += 1
                first.setdefault(kind.__name__, verdict.says)
    return {"tries": tries, "kinds": len(kinds), "unnoticed": sum(found.values()), "which": found, "first": first}


if __name__ == "__main__":
    where, head_of_then, times, start, *looks = sys.argv[1:]
    print(json.dumps(main(Path(where), head_of_then, int(times), int(start), *looks)))  # noqa: T201
