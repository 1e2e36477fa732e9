"""A backup put back in the place of a book, held against every head that the book has told before."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from random import Random
from typing import NamedTuple

from torqueaudit.book.copies.restore import Restoring, restoring
from torqueaudit.book.disk import real
from torqueaudit.book.errors import BookError
from torqueaudit.book.heads import Told
from torqueaudit.book.places import told_at
from torqueaudit.book.restored import RESTORED, Lost, lost_by
from torqueaudit.ledger.chain import Head, head_of
from torqueaudit.ledger.entry import Draft, Entry, subject_of_site
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.people import ENDED, PIN_SET
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import now, open_workshop

MOST = 3  # faults of a backup that one sentence tells


class Shorter(NamedTuple):
    """That a backup is put back although it ends too early: why, and who says it, by the book that is put back."""

    why: str
    say: Callable[[Workshop], Say]


class Restored(NamedTuple):
    """The head of the book as it stands now, what is lost, and where what lay there is; None where nothing did.

    `known` is whether there was a head to hold the backup against. `pins` names those whose PIN was taken away.
    `beside` says which papers and photos are lost or changed in it: that keeps no backup from being put back.
    """

    head: Head
    lost: Lost | None
    pins: tuple[str, ...]
    known: bool
    beside: tuple[str, ...]
    aside: Path | None


def restore(
    place: Path,
    backup: Path,
    printed: str | None = None,
    shorter: Shorter | None = None,
    *,
    clock: Callable[[], datetime] = now,
    chance: Random | None = None,
) -> Restored:
    """Put a sound backup in the place of a book, of which nothing is lost: it is put aside.

    `printed` is a head on paper. Raises BookError or Refused, and everything is as it was: for a backup that is
    damaged, of another ledger, or ends before a head that was told, unless `shorter` says that the rest is lost; and
    where the heads that were told cannot be read, unless `printed` or `shorter` stands for them.

    Everybody is signed out, and invitations end. Where entries are lost every device and every program has to be let
    in anew, for one of them may have withdrawn it; and a PIN that one of them set, or whose bearer left by one, is
    taken away.
    """
    on_paper, place = _on_paper(printed), real(place)
    with restoring(backup, place, clock()) as coming:
        told, newest = [*coming.told(), *on_paper], coming.newest()
        with _opened(coming, backup, clock, chance) as workshop:
            beside = workshop.book.faults_beside()
            _require_sound(workshop, beside, backup)
            gone = _gone(workshop, backup, told, newest)
            unknown = [] if printed else coming.unreadable()
            if shorter is None:
                _require_all(workshop, backup, gone, unknown)
            lost, pins = _say_lost(workshop, coming, gone, unknown, shorter)
            workshop.book.signing.end_all(devices=lost is not None, pins=pins)
            beyond = [each for each in told if not workshop.book.has(each.head)]
            head = workshop.book.tell_head()
        return Restored(
            head=head,
            lost=lost,
            pins=pins,
            known=bool(told or newest),
            beside=tuple(told_at(each, coming.book, place) for each in beside),
            aside=coming.put(beyond),
        )


def _on_paper(printed: str | None) -> list[Told]:
    """The head on paper as one that was told. Raises Refused where it is none."""
    with refused_if_unreadable():
        return [Told(head_of(printed), "")] if printed is not None else []


@contextmanager
def _opened(
    coming: Restoring, backup: Path, clock: Callable[[], datetime], chance: Random | None
) -> Iterator[Workshop]:
    """The copy as a workshop. What is wrong with it is told of the backup."""
    try:
        with open_workshop(coming.book, clock=clock, chance=chance) as workshop:
            yield workshop
    except BookError as error:
        if error.see and error.see.topic is Topic.FILE_OF_BOOK:
            raise BookError(f"{backup} is not a book, so it is no backup; give the file that was copied.") from error
        see = error.see and error.see._replace(of=told_at(error.see.of, coming.book, backup))
        raise BookError(told_at(error.says, coming.book, backup), see) from error


def _require_sound(workshop: Workshop, beside: list[str], backup: Path) -> None:
    if found := [fault for fault in workshop.book.verify() if fault not in beside]:
        raise BookError(f"{backup} is no sound backup: {' '.join(found[:MOST])} Give another one, or repair it first.")


def _gone(workshop: Workshop, backup: Path, told: list[Told], newest: list[Head]) -> list[Told]:
    """The heads that do not hold for the backup, by their numbers. Refused where one is of another site."""
    book = workshop.book
    known = [*told, *(Told(head, "") for head in newest)]
    explained = book.explained()
    gone = [each for each in known if not book.has(each.head) and not explained(each.head)]
    for each in gone:
        if each.head.site != book.site:
            raise Refused(f"{backup} is of site {book.site}, and {_named(each)} is of site {each.head.site}")
    return sorted(gone, key=lambda each: (each.head.sequence, each.at))


def _entries_gone(workshop: Workshop, coming: Restoring, gone: list[Told]) -> list[Entry] | None:
    """What the lost entries are, by the book that lay there; None where it does not tell all of them."""
    return coming.behind(workshop.book.head(), [each.head for each in gone])


def _pins_to_take(workshop: Workshop, gone: list[Entry] | None) -> tuple[str, ...]:
    """Whose PIN in the backup held no more: it was set anew since, or they left. Everybody's where nobody can tell."""
    kept = workshop.book.signing.people_with_pins()
    changed = {each.key for each in gone if each.kind in {PIN_SET, ENDED}} if gone is not None else kept.keys()
    return tuple(sorted(kept.keys() & changed, key=lambda person: (len(person), person)))


def _require_all(workshop: Workshop, backup: Path, gone: list[Told], unknown: list[Path]) -> None:
    """Refuse a backup that has not all that was told, before the book at the place is copied to see what it has."""
    if gone:
        says = _why_not(gone, workshop.book.head().sequence, backup)
        raise Refused(f"{says}. Give another backup", See(Topic.SHORTER))
    if unknown:
        says = f"{unknown[0]} is there and cannot be read, so it is not known how far the book went"
        raise Refused(says, See(Topic.TOLD_UNREAD))


def _say_lost(
    workshop: Workshop, coming: Restoring, gone: list[Told], unknown: list[Path], shorter: Shorter | None
) -> tuple[Lost | None, tuple[str, ...]]:
    """Record that what the backup has not is lost, and whose PINs hold no more with it; None where it has all."""
    if shorter is None or not (gone or unknown):
        return None, ()
    pins = _pins_to_take(workshop, None if unknown else _entries_gone(workshop, coming, gone))
    return say_lost(workshop, [each.head for each in gone], shorter.why, shorter.say(workshop)), pins


def _why_not(gone: list[Told], ends: int, backup: Path) -> str:
    first, last = gone[0], gone[-1]
    if first.head.sequence <= ends:
        says = f"entry {first.head.sequence} of {backup} is not the one that {_named(first)} knew"
        return f"{says}: it is of another ledger, or that head was told by a damaged book"
    lost = f"entries {ends + 1} to {last.head.sequence}" if last.head.sequence > ends + 1 else f"entry {ends + 1}"
    return f"{backup} ends at entry {ends}, and {_named(last)} knew entry {last.head.sequence}: {lost} would be lost"


def say_lost(workshop: Workshop, gone: Sequence[Head], why: str, say: Say) -> Lost:
    """Record, as a foreman, that heads do not hold, and that the entries from the next one to the last are lost.

    Raises Refused.
    """
    if not why.strip():
        raise Refused("say why the entries are lost")
    site, ends = subject_of_site(workshop.book.site), workshop.book.head().sequence
    said = {"lost_up_to": max([ends, *(each.sequence for each in gone)]), "why": FreeWords(why)}
    if other := sorted({str(each) for each in gone if each.sequence <= ends}):
        said["heads"] = other

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(site)
        return [attempt.draft(site, RESTORED, said, {"on": workshop.local_day(attempt.happened_at).isoformat()})]

    return lost_by(record(workshop, say, ActName.RESTORE, site, said, build)[0])


def _named(told: Told) -> str:
    return f"the head told on {told.at[:10]}" if told.at else "a head that was told, or the book itself,"
