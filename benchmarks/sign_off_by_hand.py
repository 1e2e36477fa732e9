"""The sign-off of some days worked out of the ledger by one statement, and what of the program's own differs from it.

The statement knows nothing of the program's code: what it and the program agree on is twice worked out.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from torqueaudit.ledger.entry import stamp
from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.model.shown.signed_job import SignedJob

# Of the days between two stamps (UTC), the second one left out; an entry is late after so many minutes.
BY_HAND = """
    with signed as (
        select distinct job, subject from sign_offs where recorded_at >= ?1 and recorded_at < ?2
    ),
    told as materialized (
        select signed.job, entry.sequence, entry.number, entry.recorded_at,
            substr(entry.kind, 1, instr(entry.kind, '.') - 1) as what,
            json_extract(entry.document, '$.who') as who,
            json_extract(entry.document, '$.happened_at') as happened_at,
            json_extract(entry.document, '$.payload.said.position') as position,
            json_extract(entry.document, '$.payload.said') as said,
            json_extract(entry.document, '$.payload.judged.of') as of,
            json_extract(entry.document, '$.payload.judged.role') as role
        from signed cross join ledger entry on entry.site = 'YARD' and entry.subject = signed.subject
        where entry.recorded_at < ?2
    ),
    live as materialized (
        select *, sequence in (select json_extract(said, '$.entry') from told where what = 'struck') as is_struck
        from told where what <> 'struck' and (what = 'opened' or not is_struck)
    ),
    turned as (
        select *, row_number() over (partition by job, position order by happened_at desc, number desc) as newest
        from live where what in ('tightened', 'loosened')
        and json_extract(said, '$.outcome') is not 'clicked without turning'
    ),
    looked as (
        select *, row_number() over (partition by job, of order by happened_at desc, number desc) as newest
        from live where what = 'checked'
    )
    select 'fastener', turned.job, turned.position, turned.what, turned.who, turned.happened_at,
        json_extract(turned.said, '$.wrench'), json_extract(turned.said, '$.helpers'),
        looked.who, json_extract(looked.said, '$.method'), looked.happened_at
    from turned left join looked on looked.of = turned.sequence and looked.job = turned.job and looked.newest = 1
    where turned.newest = 1
    union all
    select live.what, live.job, jobs.vehicle, vehicles.tag, live.who, live.happened_at, jobs.title, jobs.state,
        live.said, words.field, words.text
    from live cross join jobs on jobs.job = live.job
    cross join vehicles on vehicles.subject = 'vehicle/' || jobs.vehicle
    left join words on words.entry = live.sequence
    where live.what in ('opened', 'released', 'handed_over', 'conceded')
    union all
    select told.what, told.job, told.sequence, null, told.who, told.happened_at, null, null, told.said, words.field,
        words.text
    from told left join words on words.entry = told.sequence where told.what = 'struck'
    union all
    select 'late', job, sequence, what, who, happened_at, recorded_at, position, null, null, null
    from live where what <> 'logged' and not is_struck and julianday(recorded_at) - julianday(happened_at) > ?3 / 1440.0
"""


def differences(told: SignOff, rows: Iterable[tuple[Any, ...]]) -> list[str]:
    """What only the program tells, or only the statement: who did what and when, and which entries came late."""
    by_program = {line for job in told.jobs for line in _of_job(job)}
    by_hand = set(_by_hand(rows))
    return [
        *(f"program: {line}" for line in sorted(by_program - by_hand, key=str)),
        *(f"statement: {line}" for line in sorted(by_hand - by_program, key=str)),
    ]


def _of_job(job: SignedJob) -> Iterator[tuple[Any, ...]]:
    number = int(job.number)
    for one in job.fasteners:
        check = (one.check.said.by, one.check.method) if one.check else (None, None)
        if one.tightened:
            yield from ((number, position, one.wrench or None, *check) for position in one.positions)
    said = (
        ("opened", [job.opened]),
        ("released", job.releases),
        ("handed_over", [each.said for each in job.leavings]),
        ("conceded", [each.said for each in job.conceded]),
        ("struck", [each.said for each in job.struck if not each.since]),
    )
    for what, each in said:
        yield from ((number, what, one.by, stamp(one.when)) for one in each)
    yield from ((number, "late", entry) for late in job.late for entry in late.entries)


def _by_hand(rows: Iterable[tuple[Any, ...]]) -> Iterator[tuple[Any, ...]]:
    for row in rows:
        what, job = row[:2]
        if what == "fastener":
            if row[3] == "tightened":
                yield (job, row[2], row[6], row[8], row[9])
        elif what == "late":
            yield (job, what, row[2])
        else:
            yield (job, what, row[4], row[5])
