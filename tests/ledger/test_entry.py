"""Entries: how drafts become entries, and what is no entry."""

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
import rfc8785

from torqueaudit.ledger.entry import (
    Act,
    Draft,
    NoEntry,
    act_digest,
    document_of,
    entry_of,
    is_canonical,
    place,
    require_site,
    stamp,
)

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)
DIGEST = "ab" * 32


def draft(subject: str = "job/12", kind: str = "tightened.1", who: str = "P-3") -> Draft:
    """A tightening."""
    return Draft(subject=subject, kind=kind, happened_at=NOON, who=who, said={"position": "axle-nut"})


def test_an_entry_reads_back_as_it_was_written() -> None:
    """The document holds every field, with the act beside what was said and judged."""
    entry = place(Act("A", DIGEST), [draft()], "YARD", "2031-04-02T12:00:01Z")[0]
    expected = (
        '{"happened_at":"2031-04-02T12:00:00Z","id":"A","kind":"tightened.1","number":0,'
        f'"payload":{{"act":{{"digest":"{DIGEST}","of":1}},"judged":{{}},"said":{{"position":"axle-nut"}}}},'
        '"previous":"","recorded_at":"2031-04-02T12:00:01Z","sequence":0,"site":"YARD","subject":"job/12","who":"P-3"}'
    )

    assert expected == document_of(entry)
    assert entry == entry_of(document_of(entry))
    assert "12" == entry.key


def test_the_stored_text_of_an_entry_is_rfc_8785() -> None:
    """Outside check: the package rfc8785; whatever stands in a field, also what `place` would refuse there."""
    said = {"z": "N·m", "a": [1, True, {"b": 'turned, "then" clicked'}]}
    placed = place(Act("A", DIGEST), [draft()], "YARD", "2031-04-02T12:00:01Z")[0]
    entry = placed._replace(said=said, who='P"3\n', sealed={"why": DIGEST}, personal={"plate": DIGEST}, sequence=7)

    assert rfc8785.dumps(json.loads(document_of(entry))) == document_of(entry).encode()


def test_the_entries_of_one_act_take_their_ids_from_it() -> None:
    """A bolt group is one act and several entries."""
    entries = place(Act("A", DIGEST), [draft()] * 3, "YARD", "2031-04-02T12:00:01Z")

    assert ["A", "A~2", "A~3"] == [entry.id for entry in entries]
    assert [3, 3, 3] == [entry.of for entry in entries]


@pytest.mark.parametrize("id_", ["A~2", "", "a b", 'a"b', "x" * 121])
def test_an_id_that_could_be_mistaken_is_refused(id_: str) -> None:
    """The mark ~ is the ledger's own."""
    with pytest.raises(ValueError, match="cannot be an act's id"):
        place(Act(id_, DIGEST), [draft()], "YARD", "2031-04-02T12:00:01Z")


@pytest.mark.parametrize(
    "wrong",
    [draft(subject="job"), draft(subject="Job/1"), draft(subject="job/x y"), draft(kind="tightened"), draft(who='P"3')],
)
def test_a_draft_not_written_as_the_ledger_writes_is_refused(wrong: Draft) -> None:
    """Subject, kind and person have one form each."""
    with pytest.raises(ValueError, match="write it like"):
        place(Act("A", DIGEST), [wrong], "YARD", "2031-04-02T12:00:01Z")


@pytest.mark.parametrize("site", ["", "yard", "YARD/2", "YARD-", "Y ARD"])
def test_a_site_that_would_spoil_a_printed_head_is_refused(site: str) -> None:
    """A head is read back by its slashes."""
    with pytest.raises(ValueError, match="cannot be a site's name"):
        require_site(site)


@pytest.mark.parametrize(
    "text", ["{}", "[]", "1", "null", '{"payload":{}}', '{"payload":[]}', '{"payload":{"act":{}}}', "nothing"]
)
def test_a_text_that_is_no_entry_is_told_so(text: str) -> None:
    """Damaged rows end in a sentence, not in a stray error."""
    for read in (entry_of, is_canonical):
        with pytest.raises(NoEntry, match="this text is no ledger entry"):
            read(text)


def test_moments_are_held_in_utc_to_the_second() -> None:
    """Half past two at two hours east is half past twelve; a moment without a zone is refused."""
    east = datetime(2031, 4, 2, 14, 30, 5, 999_999, tzinfo=timezone(timedelta(hours=2)))

    assert "2031-04-02T12:30:05Z" == stamp(east)
    with pytest.raises(ValueError, match="no time zone"):
        stamp(datetime(2031, 4, 2, 14))  # noqa: DTZ001 that is the point


def test_every_part_of_an_act_counts_in_its_digest() -> None:
    """The same words on another job, by another person or of another kind are another act."""
    digests = {
        act_digest("tighten", "P-3", "job/12", {"a": 1}),
        act_digest("loosen", "P-3", "job/12", {"a": 1}),
        act_digest("tighten", "P-4", "job/12", {"a": 1}),
        act_digest("tighten", "P-3", "job/13", {"a": 1}),
        act_digest("tighten", "P-3", "job/12", {"a": True}),
    }

    assert 5 == len(digests)
    assert act_digest("tighten", "P-3", "job/12", {"a": 1}) in digests
