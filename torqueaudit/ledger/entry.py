"""One fact, as it is handed in and as it stands in the ledger."""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from functools import cache, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from torqueaudit.ledger.canonical import canonical, quoted
from torqueaudit.ledger.words import FreeWords

if TYPE_CHECKING:
    from hashlib import _Hash

Payload: TypeAlias = Mapping[str, Any]

FIRST_PREVIOUS = "0" * 64
LOST = "words lost"
_NOT_READ = (KeyError, TypeError, AttributeError, ValueError, RecursionError)  # what a text that says no entry raises
STAMP = len("2031-04-02T09:15:00Z")
_NOTHING: Mapping[str, str] = MappingProxyType({})

# Not compiled here: whoever only reads the book matches nothing, and `re` keeps what it has compiled.
_SITE = r"[A-Z0-9]+(-[A-Z0-9]+)*"
_SUBJECT = r"[a-z]+/[A-Z0-9a-f-]+"
_KIND = r"[a-z][a-z_-]*\.[1-9][0-9]*"
_WHO = r"[A-Za-z0-9-]+"
_ACT_ID = r"[A-Za-z0-9._:/+=@-]{1,120}"
_DIGEST = r"[0-9a-f]{64}"


class NoEntry(ValueError):
    """A stored text that says no entry: the file is damaged or was meddled with."""


class Act(NamedTuple):
    """What somebody did at once: the id they gave it, the digest of what they said (`act_digest`), the free words.

    The same id with the same digest and words is the same act sent again; with others it is refused.
    """

    id: str
    digest: str
    words: Mapping[str, str] = _NOTHING
    older_digest: str = ""  # as it was worked out while free words lay among what was said; kept nowhere


class Draft(NamedTuple):
    """A fact as workshop/ hands it in, before the book gives it an id and a place in the chain.

    `said` is what the person or file said, free words marked as `FreeWords`; `judged` is what the program worked out
    from elsewhere at that moment and never works out again. Both are handed over: nobody changes what they hold
    afterwards.
    """

    subject: str  # "job/12", "wrench/W-2", "site/YARD"
    kind: str  # "tightened.1"
    happened_at: datetime
    who: str  # a person's number, "owner" or "import"
    said: Payload
    judged: Payload = MappingProxyType({})


class Entry(NamedTuple):
    """A fact in its place: `number` counts within the subject, `sequence` within the site, both from 1.

    `sealed` maps a field to the digest of the free words told under it; `words` maps it to what is shown of them, and
    is empty where they were not asked for. `personal` maps what is known of its subject from then on ("plate") to the
    digest of it, or to "" where nothing is.
    """

    site: str
    sequence: int
    id: str  # the act's id; "ID~2", "ID~3" for the act's further entries
    subject: str
    number: int
    kind: str
    happened_at: str  # UTC to the second, "2031-04-02T09:15:00Z"
    recorded_at: str  # UTC to the second
    who: str
    said: Payload
    judged: Payload
    previous: str  # hash of the entry before it on this site
    digest: str  # of the act that wrote it
    of: int  # how many entries that act wrote
    sealed: Mapping[str, str] = _NOTHING
    words: Mapping[str, str] = _NOTHING
    personal: Mapping[str, str] = _NOTHING

    @property
    def key(self) -> str:
        """The part of the subject behind the slash: "12" of "job/12"."""
        return self.subject.partition("/")[2]

    @property
    def act(self) -> str:
        """The id of the act that wrote it: "phone-7" of "phone-7~3"."""
        return self.id.partition("~")[0]

    @property
    def what(self) -> str:
        """The kind without its version: "tightened" of "tightened.1"."""
        return self.kind.partition(".")[0]

    def told(self, field: str) -> str:
        """The free words told under a field, "" where there were none; or what is shown where they are no more.

        Kinds of before the words lay beside the ledger have them among what was said.
        """
        return self.words.get(field, LOST) if field in self.sealed else str(self.said.get(field, ""))


def document_of(entry: Entry) -> str:
    """The canonical text that is stored and hashed. Raises as `canonical` does."""
    act = {"digest": entry.digest, "of": entry.of}
    payload = {"act": act, "judged": dict(entry.judged), "said": dict(entry.said)}
    if entry.sealed:
        payload["words"] = dict(entry.sealed)
    if entry.personal:
        payload["personal"] = dict(entry.personal)
    # Written out in the order of the canonical form, which takes half the time: what is here needs no second look.
    return (
        f'{{"happened_at":{quoted(entry.happened_at)},"id":{quoted(entry.id)},"kind":{quoted(entry.kind)},'
        f'"number":{entry.number},"payload":{canonical(payload)},"previous":{quoted(entry.previous)},'
        f'"recorded_at":{quoted(entry.recorded_at)},"sequence":{entry.sequence},"site":{quoted(entry.site)},'
        f'"subject":{quoted(entry.subject)},"who":{quoted(entry.who)}}}'
    )


def entry_of(document: str) -> Entry:
    """The entry that a stored text says. Raises NoEntry when it says none.

    Version 0.1 wrote a year before 1000, which nobody meant, without its zeros: it is read with them.
    """
    try:
        return _entry_in(json.loads(document))
    except _NOT_READ as error:
        raise NoEntry(f"this text is no ledger entry: {error}") from None


def _entry_in(fields: dict[str, Any]) -> Entry:
    """The entry in fields that were read, which it takes apart."""
    payload = fields.pop("payload")
    act = payload["act"]
    for field in ("happened_at", "recorded_at"):
        fields[field] = fields[field].zfill(STAMP)
    return Entry(
        said=payload["said"],
        judged=payload["judged"],
        digest=act["digest"],
        of=act["of"],
        sealed=payload.get("words", _NOTHING),
        personal=payload.get("personal", _NOTHING),
        **fields,
    )


def is_canonical(document: str) -> bool:
    """Whether a stored text says an entry in the one way in which this is written, and nothing else.

    Raises NoEntry when it says none, or holds what the ledger does not.
    """
    try:
        fields = json.loads(document)
        text, payload = canonical(fields), fields["payload"]
        _entry_in(fields)
        parts, act = payload.keys() - {"words", "personal"}, payload["act"].keys()
    except _NOT_READ as error:
        raise NoEntry(f"this text is no ledger entry: {error}") from None
    full = all(payload.get(part) != {} for part in ("words", "personal"))
    return full and parts == {"act", "judged", "said"} and act == {"digest", "of"} and text == document


def hash_of(document: str) -> str:
    """SHA-256 of the stored text's UTF-8 bytes, in hexadecimal (FIPS 180-4)."""
    return _sha256()(document.encode()).hexdigest()


@cache
def _sha256() -> "Callable[[bytes], _Hash]":
    from hashlib import sha256  # slow to load, and whoever only reads the book hashes nothing

    return sha256


def act_digest(name: str, who: str, target: str, said: Payload) -> str:
    """The digest by which an act sent twice is known: what was done, by whom, to what, and what was said of it.

    Leave out of `said` whatever differs when a phone sends again (such as "five minutes ago"). Of free words only their
    fields count: this digest lies in the entry without a salt, so it would give away what they were. Raises as
    `canonical`. See decisions 0003 and 0067.
    """
    told: dict[str, object] = {"name": name, "who": who, "target": target, "said": plain_in(said)}
    if words := words_in(said):
        told["words"] = sorted(words)
    return hash_of(canonical(told))


def act_of(id_: str, name: str, who: str, target: str, said: Payload) -> Act:
    """An act by all that `act_digest` asks for, with its free words. Raises as `canonical`."""
    words = words_in(said)
    older = {"name": name, "who": who, "target": target, "said": {**said, **words}}
    return Act(
        id=id_,
        digest=act_digest(name, who, target, said),
        words=words,
        older_digest=hash_of(canonical(older)) if words else "",
    )


def plain_in(said: Payload) -> dict[str, Any]:
    """What was said, without the free words."""
    return {field: value for field, value in said.items() if not isinstance(value, FreeWords)}


def words_in(said: Payload) -> dict[str, str]:
    """The free words among what was said, by field."""
    return {field: value.text for field, value in said.items() if isinstance(value, FreeWords)}


def place(act: Act, drafts: Sequence[Draft], site: str, recorded_at: str) -> list[Entry]:
    """The drafts of one act as entries that lack only their place: `sequence`, `number` 0 and `previous` empty.

    Their words are not sealed yet.

    Raises ValueError with a sentence when a draft or the act is not written as the ledger writes it.
    """
    require_act(act)
    return [_placed(act, draft, site, recorded_at, index, len(drafts)) for index, draft in enumerate(drafts, start=1)]


def _placed(act: Act, draft: Draft, site: str, recorded_at: str, index: int, of: int) -> Entry:
    _require_written(_SUBJECT, draft.subject, "a subject", "job/12")
    _require_written(_KIND, draft.kind, "an entry's kind", "tightened.1")
    _require_written(_WHO, draft.who, "who said it", "P-3")
    words = words_in(draft.said)
    return Entry(
        site=site,
        sequence=0,
        id=act.id if index == 1 else f"{act.id}~{index}",
        subject=draft.subject,
        number=0,
        kind=draft.kind,
        happened_at=stamp(draft.happened_at),
        recorded_at=recorded_at,
        who=draft.who,
        said=plain_in(draft.said) if words else dict(draft.said),
        judged=draft.judged,
        previous="",
        digest=act.digest,
        of=of,
        words=words,
    )


def require_act(act: Act) -> None:
    """Refuse an act whose id or digest the ledger could not hold."""
    _require_written(_ACT_ID, act.id, "an act's id", "3f6c-01 (letters, digits and . _ : / + = @ - only)")
    _require_written(_DIGEST, act.digest, "an act's digest", "64 characters of SHA-256")


def require_site(site: str) -> None:
    """Refuse a site's name that could not stand in a printed head."""
    _require_written(_SITE, site, "a site's name", "YARD-2 (capital letters, digits and - only)")


def subject_of_site(site: str) -> str:
    """The subject of what a site tells of itself: its settings, its keys, what was erased."""
    return f"site/{site}"


@lru_cache(maxsize=1024)
def _require_written(form: str, text: str, what: str, example: str) -> None:
    """Remembered, because an act is looked at before it is written and again then, and kinds and people recur."""
    if not re.fullmatch(form, text):
        raise ValueError(f"{text!r} cannot be {what}; write it like {example}")


def stamp(moment: datetime) -> str:
    """A moment as entries hold it: UTC, to the second. Raises ValueError for a moment without a time zone."""
    if moment.tzinfo is None:
        raise ValueError(f"{moment.isoformat()} has no time zone; say which")
    return f"{moment.astimezone(UTC).isoformat()[: STAMP - 1]}Z"


def moment_of(text: str) -> datetime:
    """The moment an entry's stamp says."""
    return datetime.fromisoformat(text)
