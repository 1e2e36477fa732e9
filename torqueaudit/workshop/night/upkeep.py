"""What keeps a workshop's record going, for a foreman to see to: backups, who cannot sign, and keys that end.

What is asked here lies partly beside the book, where nobody sees it change, so it is worked out each time.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from torqueaudit.book import last_backup
from torqueaudit.model.act import See, Topic
from torqueaudit.model.shown.night import Line, NightSection
from torqueaudit.workshop.door.ledger import made_on
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.night.sections import REST
from torqueaudit.workshop.signing.devices import DeviceView, show_devices
from torqueaudit.workshop.signing.pins import has_pin, is_locked
from torqueaudit.workshop.signing.programs import ProgramView, show_programs

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

# A device or a program that nobody used for so long may be lost, or given up: common practice, no source.
UNSEEN = timedelta(days=60)
ENDS_SOON = timedelta(days=14)  # as long as it takes to see to a key: common practice, no source


def with_upkeep(workshop: "Workshop", sections: tuple[NightSection, ...], day: date) -> tuple[NightSection, ...]:
    """Sections with what is to be seen to at the end of a day under the rest. The demo has nobody who would."""
    lines = () if workshop.settings.demo else tuple(_upkeep(workshop, day))
    return tuple(each._replace(lines=(*each.lines, *lines)) if each.key == REST else each for each in sections)


def _upkeep(workshop: "Workshop", day: date) -> Iterator[Line]:
    yield from _backup(workshop, day)
    admitted = [device for device in show_devices(workshop) if not device.withdrawn_on]
    for device in admitted:
        yield from _device(workshop, device, day)
    for program in show_programs(workshop):
        yield from _program(workshop, program, day)
    for person in (each for each, _ in people(workshop) if each.works_on(day)):
        if is_locked(workshop, person.number):
            yield _locked(person.number)
        elif admitted and not has_pin(workshop, person.number):
            says = f"{person.number} has no PIN, so cannot sign on a device."
            yield Line(says, see=See(Topic.PIN, person.number))


def _backup(workshop: "Workshop", day: date) -> Iterator[Line]:
    workshop.asks_outside()
    made, days = last_backup.newest(workshop.book.path), workshop.settings.backup_days
    since = workshop.local_day(made) if made else made_on(workshop)
    if days and day > since + timedelta(days=days):
        says = f"The last backup was made on {since}." if made else "No backup of this book is known here."
        yield Line(says, see=See(Topic.BACKUP))


def _device(workshop: "Workshop", device: DeviceView, day: date) -> Iterator[Line]:
    named = f"{device.number} ({device.name})"
    seen = workshop.local_day(device.last_seen) if device.last_seen else None
    if device.locked:
        yield _locked(device.number, named)
    elif seen and day > seen + UNSEEN:
        says = f"Device {named} was not used since {seen}. If nobody has it any more, let it in no more"
        yield Line(says, see=See(Topic.WITHDRAWING_A_DEVICE, device.number))


def _program(workshop: "Workshop", view: ProgramView, day: date) -> Iterator[Line]:
    """A key that ends soon, which somebody may rely on, or one that nobody uses."""
    program, seen = view.program, workshop.local_day(view.last_seen) if view.last_seen else None
    named = f"{program.number} ({program.name})"
    if not view.is_let_in:
        return
    if day > (seen or program.admitted_on) + UNSEEN:
        since = f"since {seen}" if seen else "yet"
        yield Line(f"The program {named} has not asked for anything {since}. If nobody uses it any more, withdraw it.")
    elif day > program.last_day - ENDS_SOON:
        yield Line(f"The key of the program {named} ends on {program.last_day}. If it is still used, let it in anew.")


def _locked(number: str, named: str = "") -> Line:
    says = f"{named or number} is locked, for five wrong PINs were told. Ask what happened"
    return Line(says, see=See(Topic.LOCKED, number))
