"""How an act becomes entries: known ids first, then read, refuse or build, append; again if the book moved on."""

from collections.abc import Callable, Mapping
from copy import copy
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from torqueaudit.book.errors import Moved
from torqueaudit.ledger.canonical import LARGEST_INTEGER
from torqueaudit.ledger.entry import Draft, Entry, act_of, require_act, stamp
from torqueaudit.model.act import BY_LABEL, Refused, Say, See, Topic, came_of
from torqueaudit.model.days import FIRST_YEAR, require_year
from torqueaudit.model.register.people import Person, fold_person
from torqueaudit.model.register.permits import NIGHT, NOT_A_PERSON, PERMITS, TRAINEE, ActName, acts_of
from torqueaudit.workshop.door.names import LOOKED_AT_ELSEWHERE, refuse_personal
from torqueaudit.workshop.door.refusal import nobody, refuse_unseen, refused_if_unreadable

if TYPE_CHECKING:
    from torqueaudit.book.signing import Beside
    from torqueaudit.workshop.door.workshop import Workshop

TRIES = 3
MOST_MINUTES = 366 * 24 * 60  # that something happened ago; what is older is told by its day
SLACK = timedelta(minutes=10)  # how far a clock or a memory may be off
MOST_BY_LABEL = 10  # acts a day of one job or vehicle: a label may be anybody's, and the ledger forgets nothing


class Attempt:
    """What one try of an act has read: the book refuses the act if any of it moved on meanwhile."""

    def __init__(self, workshop: "Workshop", say: Say) -> None:
        self.workshop = workshop
        self.say = say
        self.expect: dict[str, int] = {}
        self.personal: dict[str, Mapping[str, str]] = {}  # what is known of a subject that this try has numbered
        self.beside: Beside | None = None  # what of signing is changed with the entries, or not at all
        self.happened_at = when(say, workshop)

    def entries(self, subject: str) -> list[Entry]:
        """A subject's entries, remembered as read."""
        entries = self.workshop.book.entries(subject)
        self.expect[subject] = len(entries)
        return entries

    def at(self, moment: datetime) -> "Attempt":
        """The same try, for what of it happened at another moment. Raises Refused for who was not here then."""
        other = copy(self)
        other.happened_at = moment
        other.require_here(other.person())
        return other

    def vehicle(self, number: str) -> list[Entry]:
        """A vehicle's entries, remembered as read. Raises Refused for one that is not known."""
        if entries := self.entries(f"vehicle/{number}"):
            return entries
        raise Refused(f"{number}: no such vehicle", See(Topic.VEHICLES))

    def permit(self, act: ActName) -> None:
        """Let nobody do what their roles do not allow. Raises Refused.

        Also for a number that is not known, for who has left or has not started, and for a trainee for whose work
        nobody answers any more.
        """
        person = self.person()
        if person.unread and act is not ActName.STRIKE_UNREAD:
            unread = person.unread[0]
            raise Refused(f"{person.number}: {unread}", See(Topic.UNREAD, str(unread.entry)))
        self.require_here(person)
        if act not in acts_of(person):
            who = "nobody who works here" if person.number in NOT_A_PERSON else person.role
            raise Refused(f"{person.number} is {who}; only a {' or '.join(PERMITS[act])} may do this")

    def require_few(self, target: str) -> None:
        """Refuse what comes by a label's link once enough of it came on this day. Raises Refused."""
        if self.say.came != BY_LABEL:
            return
        told = [each for each in self.entries(target) if came_of(each.judged) == BY_LABEL]
        days = {each.act: self.workshop.local_day(datetime.fromisoformat(each.recorded_at)) for each in told}
        if list(days.values()).count(self.workshop.today()) >= MOST_BY_LABEL:
            raise Refused("enough was told by this label today, and no more is taken; call the workshop")

    def require_here(self, person: Person) -> None:
        """Who has left signs nothing, whenever it happened: somebody else says it (decision 0071)."""
        if person.left:
            says = f"{person.number} left on {person.left.on}, and who has left records and signs nothing"
            raise Refused(f"{says}; whoever knows of it says it under their own number")
        day = self.workshop.local_day(self.happened_at)
        if away := person.away_at(day, self.happened_at):
            raise Refused(f"{person.number} {away}, and this lies before it; look at the date")
        answers = self._supervisor(person)
        if answers and answers.left and TRAINEE in person.roles:
            says = f"{person.number} is a trainee, and {answers.number}, who answered for the work, left on"
            raise Refused(f"{says} {answers.left.on}", See(Topic.NEW_SUPERVISOR, person.number))

    def _supervisor(self, person: Person) -> Person | None:
        """Who answers for somebody's work."""
        subject = f"person/{person.supervisor}"
        entries = self.entries(subject) if person.supervisor else []
        return self.workshop.folds.of(subject, entries, fold_person) if entries else None

    def person(self) -> Person:
        """Who says it. Refused when unknown; the owner, an import or the setup is a role of its own."""
        by = self.say.by
        if by in NOT_A_PERSON:
            return Person(by, (by,))
        return self.known(by)

    def known(self, number: str) -> Person:
        """Somebody by their number, also who has left. Refused where nobody has it."""
        subject = f"person/{number}"
        entries = self.entries(subject) if number.startswith("P-") else []
        if not entries:
            raise nobody(number)
        return self.workshop.folds.of(subject, entries, fold_person)

    def draft(self, subject: str, kind: str, said: Mapping[str, Any], judged: Mapping[str, Any] | None = None) -> Draft:
        """One fact of this act, with the speaker's role as it is now, the door it came by and with what proof."""
        person = self.person()
        who = {"role": person.role, **self.say.came.told}
        answers = self._supervisor(person)
        if answers and not answers.left:
            who["supervisor"] = answers.number
        return Draft(
            subject=subject,
            kind=kind,
            happened_at=self.happened_at,
            who=self.say.by,
            said=said,
            judged={**(judged or {}), **who},
        )


def record(
    workshop: "Workshop",
    say: Say,
    name: ActName,
    target: str,
    said: Mapping[str, Any],
    build: Callable[[Attempt], list[Draft]],
    personal: Mapping[str, Mapping[str, str]] | None = None,
) -> list[Entry]:
    """Do one act, if whoever says it may: the same id with the same words returns what was recorded before.

    What is typed freely is marked as `FreeWords` in `said`, and lies outside the entries. Raises Refused with a
    sentence; IdUsed where the id was used for something else.
    """
    _moment(say, workshop.clock())  # what no record may speak of is refused before the id of the act is made of it
    _require_countable(said)
    refuse_unseen([say.by, say.id, target], "this")
    refuse_unseen([said, personal], "this", lines=name is ActName.ENTER_PROCEDURE)
    told = {**said, "at": stamp(say.at)} if say.at else said
    act = act_of(say.id or workshop.new_id(), name.value, say.by, target, told)
    with refused_if_unreadable():
        require_act(act)
    earlier = workshop.book.earlier(act)
    if earlier is not None:
        return _recorded(workshop, say, act.id, earlier)
    if name not in LOOKED_AT_ELSEWHERE:
        refuse_personal(workshop, said)
    for _ in range(TRIES):
        attempt = Attempt(workshop, say)
        attempt.permit(name)
        attempt.require_few(target)
        drafts = build(attempt)
        try:
            known = {**(personal or {}), **attempt.personal}
            entries = workshop.book.append(act, drafts, attempt.expect, personal=known, beside=attempt.beside)
        except Moved:
            continue
        return _recorded(workshop, say, act.id, entries)
    raise Refused("Others are writing to the same record just now; nothing was recorded. Try again", See(Topic.MOVED))


def _recorded(workshop: "Workshop", say: Say, act_id: str, entries: list[Entry]) -> list[Entry]:
    """Keep the id of what somebody has recorded, who may lose the answer; nobody waits for that of the night."""
    if say.by != NIGHT:
        workshop.recorded = act_id
    return entries


def when(say: Say, workshop: "Workshop") -> datetime:
    """When it happened. Raises Refused for a moment that lies ahead, or of which no record may speak."""
    now = workshop.clock()
    happened = _moment(say, now)
    if happened > now + SLACK:
        told, clock = (f"{each.astimezone(workshop.settings.timezone):%Y-%m-%d %H:%M}" for each in (happened, now))
        raise Refused(f"{told} lies ahead of this clock ({clock}); say when it happened")
    return happened


def _moment(say: Say, now: datetime) -> datetime:
    """When it happened. Raises Refused for a moment that no record may speak of, also that of a clock gone wrong."""
    try:
        happened = say.at or now - timedelta(minutes=say.minutes_ago)
    except OverflowError:
        raise Refused(f"{say.minutes_ago} minutes ago lies before the year {FIRST_YEAR}; look at the number") from None
    with refused_if_unreadable():
        require_year(happened)
        require_year(now)
    if say.at is None and say.minutes_ago > MOST_MINUTES:
        long = f"{say.minutes_ago} minutes ago was on {happened:%Y-%m-%d}, more than a year before"
        raise Refused(f"{long}; look at the number, or say on which day and at which hour it happened")
    return happened


def _require_countable(said: Mapping[str, Any]) -> None:
    """Refuse a whole number that is larger than an entry can hold: nothing in a workshop is counted so far."""
    for field, value in said.items():
        for number in value if isinstance(value, list | tuple) else (value,):
            if isinstance(number, int) and abs(number) > LARGEST_INTEGER:
                raise Refused(f"{field.replace('_', ' ')}: this is more than there can be; look at the number")
