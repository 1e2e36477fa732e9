"""What people sign with, beside the ledger: PINs, the keys of devices and of programs, and who is signed in.

Nothing here is in an entry, a list, a head or an export. A PIN is kept as its Argon2id string alone, whose pepper lies
among the secrets; an invitation, and the key of a device, of a session or of a program, as their SHA-256. People,
devices and programs stand by their numbers, moments as entries hold them.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from torqueaudit.book.engine import Engine
from torqueaudit.book.program_keys import PROGRAM_KEYS, ProgramKeys
from torqueaudit.book.tables import Tables
from torqueaudit.ledger.entry import Entry

SIGNING = ("pins", "device_keys", "invitations", "sessions", "wrong_pins", "locked", PROGRAM_KEYS)
# In which tables a number stands that the ledger has to know, by its noun, which is also the column's name.
_KNOWN = (("person", ("pins", "sessions")), ("device", ("device_keys", "sessions")), ("program", (PROGRAM_KEYS,)))


class Pin(NamedTuple):
    """The Argon2id string of a PIN, and the id of the pepper that it was made with."""

    phc: str
    pepper: str


class Invited(NamedTuple):
    """An invitation of a device: its digest and name, who gave it out, until when it holds, by which door and proof."""

    digest: str
    name: str
    by: str
    until: str
    door: str
    proof: str


class Kept(NamedTuple):
    """A session: the digest of its key, where and of whom, since when, when it was last seen, what stays chosen."""

    digest: str
    device: str
    person: str
    started: str
    seen: str
    chosen: Mapping[str, str]


class Try(NamedTuple):
    """One try of a PIN: its id, the number that was told, the device ("" at a terminal), the moment."""

    attempt: str
    person: str
    device: str
    at: str

    @property
    def subjects(self) -> tuple[str, ...]:
        """Whom and what a wrong one is counted against."""
        return (f"person/{self.person}", *([f"device/{self.device}"] if self.device else []))


class Signing(Tables):
    """The tables of signing in an engine. Every change is one transaction. Raises BookError."""

    @property
    def inside(self) -> "Signing":
        """The same for somebody who is writing already: every change is a part of that transaction."""
        return Signing(self._engine, writing=True)

    @property
    def programs(self) -> ProgramKeys:
        """The keys of other programs, changed in the same transaction."""
        return ProgramKeys(self._engine, writing=self._is_writing)

    def pin_of(self, person: str) -> Pin | None:
        """The PIN of somebody; None where none is kept."""
        rows = self._rows("select phc, pepper from pins where person = ?", person)
        return next((Pin(*map(str, row)) for row in rows), None)

    def people_with_pins(self) -> dict[str, str]:
        """Whoever has a PIN, with the id of the pepper that it was made with."""
        return {str(person): str(pepper) for person, pepper in self._rows("select person, pepper from pins")}

    def keep_pin(self, person: str, pin: Pin) -> None:
        """Keep a PIN in the place of the one before, forget what was counted against that, and end their sessions."""
        with self._writing():
            self._run("delete from pins where person = ?", person)
            self._run("insert into pins (person, phc, pepper) values (?, ?, ?)", person, *pin)
            self._free(f"person/{person}")
            self._run("delete from sessions where person = ?", person)

    def take_pins(self, *people: str) -> None:
        """Take PINs away for good."""
        with self._writing():
            self._take_pins(people)
        self.overwrite_pins()

    def take_other_pins(self, pepper: str) -> None:
        """Take away every PIN that was made with another pepper; `overwrite_pins` then leaves nothing of them."""
        with self._writing():
            self._run("delete from pins where pepper <> ?", pepper)

    def overwrite_pins(self) -> None:
        """Overwrite whatever is left of PINs that were taken away. Nobody is writing at that moment."""
        with self._engine.in_words():
            self._engine.wipe("pins")

    def begin(self, one: Try, since: str, most: int) -> str:
        """Count a try before its PIN is looked at, as a wrong one; those up to `since` count no more.

        Returns the subject that is locked, or of which `most` are counted already: then nothing may be looked at.
        """
        with self._writing():
            self._run("delete from wrong_pins where at <= ?", since)
            stops = (each for each in one.subjects if self.is_locked(each) or self._counted(each) >= most)
            if stopped := next(stops, ""):
                return stopped
            self._run("insert into wrong_pins (attempt, person, device, at) values (?, ?, ?, ?)", *one)
        return ""

    def was_right(self, one: Try) -> None:
        """Count a try no more."""
        with self._writing():
            self._run("delete from wrong_pins where attempt = ?", one.attempt)

    def was_wrong(self, one: Try, most: int) -> None:
        """Lock whoever and whatever `most` wrong tries are counted against."""
        with self._writing():
            for each in one.subjects:
                if self._counted(each) >= most:
                    self._run("insert into locked (subject, at) values (?, ?) on conflict do nothing", each, one.at)

    def is_locked(self, subject: str) -> bool:
        """Whether a person ("person/P-2") or a device is locked."""
        return bool(self._rows("select 1 from locked where subject = ?", subject))

    def unlock(self, subject: str) -> None:
        """Lock it no more, and forget what was counted against it."""
        with self._writing():
            self._free(subject)

    def invite(self, told: Invited, now: str) -> None:
        """Keep an invitation; those that have ended are taken away."""
        with self._writing():
            self._run("delete from invitations where until <= ?", now)
            values = 'digest, name, "by", until, door, proof'
            self._run(f"insert into invitations ({values}) values (?, ?, ?, ?, ?, ?)", *told)

    def invitation(self, digest: str) -> Invited | None:
        """The invitation of this digest, also one that has ended; None where there is none, or it was taken."""
        asked = 'select digest, name, "by", until, door, proof from invitations where digest = ?'
        return next((Invited(*map(str, row)) for row in self._rows(asked, digest)), None)

    def take_invitation(self, digest: str) -> Invited | None:
        """The same, and nobody else finds it any more."""
        with self._writing():
            told = self.invitation(digest)
            self._run("delete from invitations where digest = ?", digest)
        return told

    def keep_key(self, device: str, digest: str, now: str) -> None:
        """Keep the key of a device that was let in."""
        with self._writing():
            self._run("insert into device_keys (device, digest, seen) values (?, ?, ?)", device, digest, now)

    def device_of(self, digest: str) -> str | None:
        """The device whose key has this digest; None where there is none."""
        return next(
            (str(row[0]) for row in self._rows("select device from device_keys where digest = ?", digest)), None
        )

    def devices_seen(self) -> dict[str, str]:
        """Every device that has a key, with when somebody last worked on it."""
        return {str(device): str(seen) for device, seen in self._rows("select device, seen from device_keys")}

    def take_device(self, device: str) -> None:
        """Take away the key of a device, and end what is going on there."""
        with self._writing():
            self._run("delete from device_keys where device = ?", device)
            self._run("delete from sessions where device = ?", device)

    def begin_session(self, one: Kept, since: str) -> None:
        """Begin a session: any other on its device ends, and those that began up to `since` are taken away."""
        with self._writing():
            self._run("delete from sessions where device = ? or started <= ?", one.device, since)
            values = (*one[:-1], json.dumps(one.chosen, ensure_ascii=False))
            names = "digest, device, person, started, seen, chosen"
            self._run(f"insert into sessions ({names}) values (?, ?, ?, ?, ?, ?)", *values)
            self._run("update device_keys set seen = ? where device = ?", one.seen, one.device)

    def session(self, digest: str) -> Kept | None:
        """The session whose key has this digest; None where there is none."""
        asked = "select digest, device, person, started, seen, chosen from sessions where digest = ?"
        for *told, chosen in self._rows(asked, digest):
            digest_, device, person, started, seen = map(str, told)
            return Kept(digest_, device, person, started, seen=seen, chosen=json.loads(str(chosen)))
        return None

    def see(self, one: Kept, now: str) -> None:
        """Note that somebody is at work in a session, on its device."""
        with self._writing():
            self._run("update sessions set seen = ? where digest = ?", now, one.digest)
            self._run("update device_keys set seen = ? where device = ?", now, one.device)

    def choose(self, digest: str, chosen: Mapping[str, str]) -> None:
        """Keep what stays chosen in a session, in the place of all that was chosen before."""
        with self._writing():
            told = json.dumps(chosen, ensure_ascii=False)
            self._run("update sessions set chosen = ? where digest = ?", told, digest)

    def end_session(self, digest: str) -> None:
        """End one session."""
        with self._writing():
            self._run("delete from sessions where digest = ?", digest)

    def end_sessions_of(self, person: str) -> None:
        """End every session of somebody."""
        with self._writing():
            self._run("delete from sessions where person = ?", person)

    def end_all(self, *, devices: bool, pins: Sequence[str]) -> None:
        """End every session and every invitation, and take PINs away for good.

        Where `devices` says so the keys of all devices and of all programs are taken away as well.
        """
        with self._writing():
            for table in ("sessions", "invitations", *(["device_keys", PROGRAM_KEYS] if devices else [])):
                self._run(f"delete from {table}")
            self._take_pins(pins)
        if pins:
            self.overwrite_pins()

    def _take_pins(self, people: Iterable[str]) -> None:
        for person in people:
            self._run("delete from pins where person = ?", person)

    def _counted(self, subject: str) -> int:
        noun, _, number = subject.partition("/")
        return int(self._rows(f"select count(*) from wrong_pins where {noun} = ?", number)[0][0] or 0)

    def _free(self, subject: str) -> None:
        noun, _, number = subject.partition("/")
        self._run("delete from locked where subject = ?", subject)
        self._run(f"delete from wrong_pins where {noun} = ?", number)


Beside: TypeAlias = Callable[[Signing, Sequence[Entry]], None]  # what is changed with the entries of an act


def faults(engine: Engine) -> Iterator[str]:
    """What is kept of people, devices and programs that no entry is about, in sentences."""
    for table, subject, _ in _strangers(engine):
        yield f"The table {table} holds something of {subject}, which the ledger does not know; rebuild the lists."


def take_strangers(engine: Engine) -> None:
    """Take away what is kept of people, devices and programs that no entry is about. The caller is writing."""
    for table, subject, column in list(_strangers(engine)):
        engine.run(f"delete from {table} where {column} = ?", (subject.partition("/")[2],))


def _strangers(engine: Engine) -> Iterator[tuple[str, str, str]]:
    """A table, a subject that stands in it and that has no entry, and the column with its number."""
    for column, tables in _KNOWN:
        for table in tables:
            for (number,) in list(engine.rows(f"select distinct {column} from {table} order by {column}")):
                if not engine.highest_number(f"{column}/{number}"):
                    yield table, f"{column}/{number}", column
