"""What does a search cost in a large book, against SQL written by hand for it?

    python benchmarks/searches.py [JOBS] [FOLDER]

A book is made as scale.py makes it, of JOBS (1,000 unless told; the limits are stated for 100,000), and every
motorcycle gets plate, frame number and owner of its own, all invented. A book stays in FOLDER where one is named, and
one that is there is taken as it is. Each search is what somebody types who has somebody on the telephone, answered as
JSON. By hand is one statement for what is known of people and one for what was written, on a connection like the
book's own, which give the same hits with passage, title, day and whether it was struck, as JSON, and one transaction
that keeps who was shown what; both are held against each other. All is time of the processor, the middle of several
times.
"""

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from processor import milliseconds
from scale import filled

from torqueaudit.book import queries
from torqueaudit.book.book import Book
from torqueaudit.book.personal import PersonalRow, put, write_ways_anew
from torqueaudit.book.sqlite.connection import Connection, connect
from torqueaudit.model.act import Say
from torqueaudit.reports.json.found import found_json
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.search.find import MOST, find

FEW = 1_000
PAGE = 100  # rows of which each hit takes the newest, a word that begins so first, as many as the program asks for
MOST_RATIO, MOST_MS = 2.0, 100.0
BY = Say("P-1")
FIRST = ("Ada", "Björn", "Cäcilie", "Dörte", "Emil", "Fañch", "Grete", "Håkon", "Ines", "Jörg", "Käthe", "Ludvík")
LAST = ("Müßig", "Sørensen", "Vorlage", "Muster", "Example", "Beispiel", "Exempel", "Prøve", "Vzorek", "Przykład")
SHOWN = 'insert into disclosures (at, "by", door, subject, shown) values (?, ?, ?, ?, ?)'
BEGINS = "instr(replace(' ' || found.words, char(10), ' '), ' ' || :part0) > 0"
KNOWN = """
    with newest as materialized (
        select found.number, found.about, found.subject, found.field, {begins} as begins
        from personal_finds_index asked join personal_finds found on found.number = asked.rowid
        where asked.words like :first {others} order by asked.rowid desc limit :page
    )
    select found.about, found.subject, known.value, vehicles.tag, people.roles
    from newest found
    join personal known on known.subject = found.subject and known.field = found.field
    left join vehicles on vehicles.subject = found.subject left join people on people.subject = found.subject
    order by found.begins desc, found.number desc limit :most
"""
ONE_WORD = """
    with newest as materialized (
        select found.number, found.subject, {begins} as begins
        from finds_index asked join finds found on found.number = asked.rowid
        where asked.words like :first order by asked.rowid desc limit :page
    ), shown as (
        select max(number) as number from newest group by subject order by max(begins) desc, 1 desc limit :most
    )
"""
SEVERAL_WORDS = """
    with known as (
        select found.about, found.number + 9000000000000 as place
        from personal_finds_index asked join personal_finds found on found.number = asked.rowid
        where asked.words like :first order by asked.rowid desc limit :page
    ), written as (
        select found.about, found.number as place
        from finds_index asked join finds found on found.number = asked.rowid
        where asked.words like :first order by asked.rowid desc limit :page
    ), lead as materialized (
        select about, max(place) from (select * from known union all select * from written) found
        where true {others} group by about order by 2 desc limit :most
    ), shown as (
        select max(of_it.number) as number from lead join finds of_it on of_it.about = lead.about
        where {any} group by of_it.subject, {each} order by 1 desc limit 3 * :most
    )
"""
DETAILS = """
    select found.about, found.subject, coalesce(told.text, document -> '$.payload'), jobs.title, vehicles.tag,
        document ->> '$.happened_at', exists (
            select 1 from ledger later where later.site = ledger.site and later.subject = found.subject
            and later.kind like 'struck.%' and later.document ->> '$.payload.said.entry' = found.number / 64
        )
    from shown join finds found using (number)
    join ledger on ledger.position = found.number / 64
    left join words told on told.entry = found.number / 64 and told.field = found.field
    left join jobs on jobs.subject = found.subject left join vehicles on vehicles.subject = found.about
    order by found.number desc
"""
OTHERS = """
    and (exists (select 1 from finds other where other.about = found.about and instr(other.words, :{0}))
        or exists (select 1 from personal_finds other where other.about = found.about and instr(other.words, :{0})))
"""


class Search(NamedTuple):
    """What is typed, and the parts that are looked for by hand, the rarest first."""

    called: str
    typed: str
    parts: tuple[str, ...]


class Took(NamedTuple):
    """Milliseconds of a search and of what is written by hand, and how many hits both have."""

    search: Search
    ours: float
    by_hand: float
    hits: int

    @property
    def ratio(self) -> float:
        """Of the search to what is written by hand."""
        return self.ours / self.by_hand


def owners(book: Book) -> Iterator[PersonalRow]:
    """Plate, frame number and contact of every motorcycle, all invented, the same whenever a book is made."""
    chance = Random(4)
    for row in queries.vehicles(book):
        plate = f"{_letters(chance)}-{_letters(chance)} {chance.randrange(10, 9999)}"
        name = f"{chance.choice(FIRST)} {chance.choice(LAST)}"
        contact = f"{name}, 0{chance.randrange(600, 699)} {chance.randrange(1_000_000, 9_999_999)}"
        fields = {"plate": plate, "frame_number": f"KS5{chance.randrange(10**9):09d}", "contact": contact}
        yield from (PersonalRow(f"vehicle/{row.vehicle}", field, value, None) for field, value in fields.items())


def _letters(chance: Random) -> str:
    return "".join(chance.choices("ABKLMWXYZ", k=2))


def know_owners(workshop: Workshop) -> None:
    """Let the book know an owner of each motorcycle."""
    book = workshop.book
    start = time.perf_counter()
    with book.engine.in_words(), book.engine.writing():
        book.engine.run("delete from personal where subject like 'vehicle/%'")
        put(book.engine, owners(book), {})
        write_ways_anew(book.engine)
    print(f"owners known in {time.perf_counter() - start:.0f} s", flush=True)


def made(folder: Path, jobs: int) -> Path:
    """A book of so many jobs in a folder, made where none is there yet."""
    path = folder / f"{jobs}" / "yard.book"
    if not path.exists():
        filled(path.parent, jobs)
    with open_workshop(path, chance=Random(2)) as workshop:
        if not workshop.book.known_by("contact"):
            know_owners(workshop)
    return path


def searches(workshop: Workshop) -> Sequence[Search]:
    """What is looked for: of a motorcycle in the middle of the book, and words that few or many jobs have."""
    book = workshop.book
    job = queries.jobs_list(book)[queries.counts(book).jobs // 2]
    known = book.personal_of(f"vehicle/{job.vehicle}")
    plate, contact = known["plate"], known["contact"]
    joined = "".join(filter(str.isalnum, plate)).lower()
    number = contact.partition(", ")[2]
    digits = "".join(filter(str.isdecimal, number)).lstrip("0")
    return [
        Search(
            "a plate", plate, tuple(sorted(("".join(each.split("-")).lower() for each in plate.split()), key=len)[::-1])
        ),
        Search("three letters of a plate", joined[1:4], (joined[1:4],)),
        Search("a telephone number", f"+43 {number[1:5]} {number[5:]}", (digits,)),
        Search("a last name that many have", "Sorensen", ("sorensen",)),
        Search("a frame number", known["frame_number"][3:], (known["frame_number"][3:].lower(),)),
        Search("a label", (job.token or "")[:7], ((job.token or "")[:7],)),
        Search("a word that many wrote", "chain", ("chain",)),
        Search("a lot", "R-24", ("r 24",)),
        Search("two words that all have", "chain jerks", ("jerks", "chain")),
        Search("a plate and a word", f"{joined} chain", (joined, "chain")),
        Search("a word that nobody wrote", "qwxyz", ("qwxyz",)),
    ]


def statements(parts: Sequence[str]) -> tuple[str, str]:
    """What is asked of what is known, and of what was written, where these parts are looked for."""
    names = [f"part{nth}" for nth in range(len(parts))]
    others = "".join(map(OTHERS.format, names[1:]))
    holds = [f"instr(of_it.words, :{name}) > 0" for name in names]
    several = SEVERAL_WORDS.replace("{others}", others).replace("{any}", " or ".join(holds))
    written = several.replace("{each}", ", ".join(holds)) if names[1:] else ONE_WORD.replace("{begins}", BEGINS)
    return KNOWN.replace("{others}", others).replace("{begins}", BEGINS), written + DETAILS


def by_hand(bare: Connection, search: Search) -> set[str]:
    """What a search finds, by two statements, once it is kept who was shown what; what it is about."""
    known_by, written_by = statements(search.parts)
    named = {"first": f"%{search.parts[0]}%", "most": MOST, "page": PAGE}
    named |= {f"part{nth}": part for nth, part in enumerate(search.parts)}
    known = bare.execute(known_by, named).fetchall()
    written = bare.execute(written_by, named).fetchall()
    shown = [("2031-04-02T08:00:00Z", "P-1", "page", subject, "plate") for _, subject, *_ in known]
    bare.execute("begin immediate")
    bare.executemany(SHOWN, shown)
    bare.execute("commit")
    hits = [told(row) for row in (*known, *written)[:MOST]]
    json.dumps({"typed": search.typed, "hits": hits, "more": False}, indent=2)
    return {row[0] for row in (*known, *written)}


def told(row: Sequence[Any]) -> dict[str, Any]:
    """A row as the program tells a hit."""
    about, subject, says, title, tag, *more = row
    noun, _, number = subject.partition("/")
    on, struck = more or (None, 0)
    reason = {"field": "told", "says": says[:80], "on": on and on[:10], "entry": None, "struck": bool(struck)}
    hit = {"noun": noun, "number": number, "title": f"{title}, {tag}", "vehicle": about, "on": on and on[:10]}
    return {**hit, "reasons": [{**reason, "personal": not more}]}


def as_json(workshop: Workshop, typed: str) -> str:
    """What is found, as `find --json` prints it."""
    return json.dumps(found_json(find(workshop, typed, BY)), ensure_ascii=False, indent=2)


def measured(path: Path) -> Iterator[Took]:
    """Each search, and what is written by hand for it."""
    with (
        open_workshop(path, chance=Random(2)) as workshop,
        closing(connect(path, wait=30)) as bare,
    ):
        for search in searches(workshop):
            found = find(workshop, search.typed, BY)
            vehicles = {f"vehicle/{hit.vehicle or hit.number}" for hit in found.hits if hit.noun in ("job", "vehicle")}
            if missing := vehicles - by_hand(bare, search):
                raise AssertionError(f"{search}: the program finds what the statements do not: {sorted(missing)}")
            ours = milliseconds(partial(as_json, workshop, search.typed))
            hand = milliseconds(partial(by_hand, bare, search))
            yield Took(search, ours=ours, by_hand=hand, hits=len(found.hits))
        workshop.book.disclosures.take_before("9999")


def main() -> int:
    """Print each figure; 1 when one lies above its limit."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("jobs", nargs="?", type=int, default=FEW)
    asked.add_argument("where", nargs="?", type=Path, help="a folder in which the book stays")
    told = asked.parse_args()
    met = True
    with tempfile.TemporaryDirectory() as folder:
        for took in measured(made(told.where or Path(folder), told.jobs)):
            met &= took.ratio <= MOST_RATIO and took.ours <= MOST_MS
            print(
                f"{took.search.called}: {took.hits} hits in {took.ours:.1f} ms (limit {MOST_MS:.0f}), by hand "
                f"{took.by_hand:.1f} ms; ratio {took.ratio:.2f}, limit {MOST_RATIO}",
                flush=True,
            )
    return int(not met)


if __name__ == "__main__":
    sys.exit(main())
