"""The outbox: each reminder that is to be sent, before anything is sent, beside the ledger.

It holds no address and no word: these are read when a reminder is sent. A program that dies anywhere leaves a row from
which the next one goes on. Moments are as entries hold
them. See decision 0105.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.book.engine import Engine, Value
from torqueaudit.book.tables import Tables
from torqueaudit.ledger.entry import stamp

OUTBOX = "outbox"
LEASE = timedelta(minutes=15)  # longer than any attempt to send one
FIRST_PAUSE, LONGEST_PAUSE = timedelta(minutes=10), timedelta(hours=6)
MOST_TRIES = 40  # about ten days


class State(StrEnum):
    """How far a reminder has come."""

    WAITING = "waiting"
    HANDING_OVER = "handing over"  # it may have been taken already: nobody knows before the entry is there
    SENT = "sent"
    UNKNOWN = "unknown"  # it may have been taken, and is wanted no more
    DROPPED = "dropped"  # it was never sent, and is wanted no more
    CLOSED = "closed"  # it was sent, and its day was taken out of the reader's calendar since
    REFUSED = "refused"  # the address takes nothing
    GIVEN_UP = "given up"


NOT_TAKEN = (State.REFUSED, State.GIVEN_UP)  # and is tried no more


def _any_of(*states: State) -> str:
    """The condition that a row is in one of these states."""
    quoted = ", ".join(f"'{state}'" for state in states)
    return f"state in ({quoted})"


OPEN = _any_of(State.WAITING, State.HANDING_OVER)
# It was sent, or may have been, and some calendar may hold its day.
TOLD = _any_of(State.SENT, State.UNKNOWN)
EVER_TOLD = _any_of(State.SENT, State.UNKNOWN, State.CLOSED)
FAILED = _any_of(*NOT_TAKEN)


class Row(NamedTuple):
    """One reminder; `id` has no other. `not_before` is when it is tried again, `why` why it was not taken."""

    id: str
    vehicle: str
    job: str
    token: str
    leaving: int
    target: int
    kind: str
    n: int
    state: str
    tries: int
    not_before: str
    why: str
    changed: str


_COLUMNS = ", ".join(Row._fields)


class Outbox(Tables):
    """The outbox in an engine. Every change is one transaction. Raises BookError."""

    def put(self, row: Row) -> None:
        """Keep a reminder that is to be sent; one that is there already stays, unless it was wanted no more meanwhile.

        What may have been taken then may have been taken now.
        """
        with self._writing():
            self._engine.run(f"delete from outbox where id = ? and state = '{State.DROPPED}'", (row.id,))
            again = f"update outbox set state = '{State.HANDING_OVER}' where id = ? and state = '{State.UNKNOWN}'"
            self._engine.run(again, (row.id,))
            places = ", ".join("?" * len(row))
            insert = f"insert into outbox ({_COLUMNS}) values ({places}) on conflict do nothing"
            self._engine.run(insert, row)

    def row(self, id_: str) -> Row | None:
        """A reminder by its id."""
        return next(iter(self._asked("id = ?", id_)), None)

    def waiting(self) -> list[Row]:
        """Whatever is still to be sent, whenever that is, the one that was put first before the others."""
        return self._asked(f"{OPEN} order by changed, length(vehicle), vehicle, id")

    def refused(self) -> list[Row]:
        """What was not sent, because the address takes nothing; by vehicle."""
        return self._asked(f"state = '{State.REFUSED}' order by vehicle, id")

    def given_up(self, since: str, vehicle: str = "") -> list[Row]:
        """What nobody took in the end, given up since a moment, of one vehicle or of all; by vehicle."""
        return self._of(vehicle, f"state = '{State.GIVEN_UP}' and changed >= ?", "vehicle, id", since)

    def sent_besides(self, since: str) -> list[Row]:
        """What was sent since a moment by one way because another address takes nothing; by vehicle."""
        return self._asked(f"state = '{State.SENT}' and why <> '' and changed >= ? order by vehicle, id", since)

    def told(self, since: str, vehicle: str = "") -> list[Row]:
        """What was sent, or may have been, since a moment, of each leaving that some calendar may still hold.

        Of one vehicle, or of all.
        """
        return self._of(vehicle, f"{TOLD} and changed >= ?", "job, leaving, changed, id", since)

    def busy(self, since: str) -> set[str]:
        """The vehicles of which a reminder is still to be sent, or was sent since a moment, or may have been."""
        where = f"{OPEN} or ({EVER_TOLD} and changed >= ?)"
        return {str(vehicle) for (vehicle,) in self._rows(f"select distinct vehicle from outbox where {where}", since)}

    def was_told(self, vehicle: str, since: str) -> bool:
        """Whether a reminder of a vehicle was sent since a moment, or may have been."""
        return bool(
            self._rows(f"select 1 from outbox where vehicle = ? and {EVER_TOLD} and changed >= ?", vehicle, since)
        )

    def lease(self, id_: str, by: str, now: datetime) -> bool:
        """Take a reminder to hand it over; False where another program has it, or it is not to be tried yet.

        A lease or a pause that is longer than any is over: the clock was set back since.
        """
        with self._writing():
            free = (
                f"{OPEN} and (not_before <= ?1 or not_before > ?2) and (leased_until <= ?1 or leased_until > ?3 "
                "or leased_by = ?4)"
            )
            known = (stamp(now), stamp(now + LONGEST_PAUSE), stamp(now + LEASE), by, id_)
            if not list(self._engine.rows(f"select 1 from outbox where id = ?5 and {free}", known)):
                return False
            change = f"update outbox set state = '{State.HANDING_OVER}', leased_until = ?, leased_by = ? where id = ?"
            self._engine.run(change, (stamp(now + LEASE), by, id_))
        return True

    def put_off(self, row: Row, now: datetime, why: str, *, unsure: bool) -> State:
        """Try a reminder again after a pause that grows, or give it up after so many tries; how far it has come.

        What may have been taken once stays so.
        """
        pause = min(FIRST_PAUSE * 2 ** min(row.tries, 10), LONGEST_PAUSE)
        again = State.HANDING_OVER if unsure or row.state == State.HANDING_OVER else State.WAITING
        state = State.GIVEN_UP if row.tries + 1 >= MOST_TRIES else again
        self._end(row.id, state, now, why, not_before=stamp(now + pause), tries=row.tries + 1)
        return state

    def leave(self, row: Row, now: datetime, why: str) -> State:
        """Leave a reminder as it was before it was leased: nobody was asked to take it; how far it has come."""
        state = State(row.state)
        self._end(row.id, state, now, why)
        return state

    def end(self, id_: str, state: State, now: datetime, why: str = "") -> None:
        """Say what became of a reminder."""
        self._end(id_, state, now, why)

    def close(self, job: str, leaving: int) -> None:
        """Say that no calendar holds a leaving any more."""
        with self._writing():
            where = f"job = ? and leaving = ? and {TOLD}"
            self._engine.run(f"update outbox set state = '{State.CLOSED}' where {where}", (job, leaving))

    def try_vehicle_again(self, vehicle: str) -> None:
        """Forget that the address of a vehicle's owner took nothing: another one was told."""
        with self._writing():
            where = f"vehicle = ? and {FAILED}"
            self._engine.run(f"update outbox set state = '{State.DROPPED}' where {where}", (vehicle,))

    def _end(self, id_: str, state: State, now: datetime, why: str, **more: Value) -> None:
        changes = {"state": state.value, "why": why, "changed": stamp(now), "leased_until": "", "leased_by": "", **more}
        set_ = ", ".join(f"{name} = ?" for name in changes)
        with self._writing():
            self._engine.run(f"update outbox set {set_} where id = ?", (*changes.values(), id_))

    def _of(self, vehicle: str, where: str, order: str, *values: Value) -> list[Row]:
        """What is asked for of one vehicle, or of all where that is ""."""
        if vehicle:
            return self._asked(f"vehicle = ? and {where} order by {order}", vehicle, *values)
        return self._asked(f"{where} order by {order}", *values)

    def _asked(self, where: str, *values: Value) -> list[Row]:
        return [Row(*row) for row in self._rows(f"select {_COLUMNS} from outbox where {where}", *values)]


def faults(engine: Engine) -> Iterator[str]:
    """What is kept of jobs of which the ledger knows nothing, in sentences."""
    for job in _strangers(engine):
        yield f"The table {OUTBOX} holds a reminder of job {job}, which the ledger does not know; rebuild the lists."


def take_strangers(engine: Engine) -> None:
    """Take away what is kept of jobs of which the ledger knows nothing. The caller is writing."""
    for job in _strangers(engine):
        engine.run("delete from outbox where job = ?", (job,))


def _strangers(engine: Engine) -> list[str]:
    jobs = list(engine.rows("select distinct job from outbox order by job"))
    return [str(job) for (job,) in jobs if not engine.highest_number(f"job/{job}")]
