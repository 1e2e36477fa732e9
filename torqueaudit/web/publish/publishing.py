"""Publishing a book's labels into a folder: which of them are made anew, and what is told of it."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import queries
from torqueaudit.book.flushing import make_folder
from torqueaudit.book.lock import held
from torqueaudit.model.act import See, Sentence, Topic
from torqueaudit.model.shown.label import JOB, record_address
from torqueaudit.reports.calendar import calendar_file, cancelled_file, recheck_event
from torqueaudit.web.publish.folder import CALENDAR, PAGE, File, Folder, Wanted
from torqueaudit.web.publish.page import Pages
from torqueaudit.web.publish.stages import pages_of, turns_on
from torqueaudit.web.publish.written import UpTo, key_of
from torqueaudit.workshop.night.candidates import jobs_of_wrenches, vehicles_told_of
from torqueaudit.workshop.night.in_full import concerns_all, rules_of
from torqueaudit.workshop.recheck.stages import stages_of
from torqueaudit.workshop.register.labels import vehicle_of
from torqueaudit.workshop.register.printing import unreachable

if TYPE_CHECKING:
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.model.shown.owner import OwnerView
    from torqueaudit.workshop.door.workshop import Workshop

AT_ONCE = 40  # vehicles whose files are written together


class Published(NamedTuple):
    """How many files were written and how many stayed as they were; what is somebody else's, and what was not read."""

    written: int
    kept: int
    foreign: tuple[Path, ...]
    unread: tuple[str, ...]


def publish(workshop: "Workshop", place: Path) -> Published:
    """Bring a folder to what the labels say now. Raises OSError with the file it failed at; what was written stays.

    What was recorded since the last time tells which vehicles are made anew. A page that cannot be made stays as it is.
    """
    make_folder(place)
    with held(place, wait=True):
        return _Publishing(workshop, place).done()


def not_told(settings: "Settings") -> list[Sentence]:
    """What the workshop has not chosen and a published page needs: an address, and ways to answer."""
    says = unreachable(settings, JOB)
    if not settings.telephone:
        says.append(Sentence("the pages name no telephone", See(Topic.TELEPHONE)))
    if not settings.mail_address:
        says.append(Sentence("owners cannot write to you from the pages", See(Topic.MAIL)))
    if not settings.labels_published:
        says.append(Sentence("the link in a mail that ends reminders opens nothing here", See(Topic.PUBLISHED)))
    return says


class _Publishing:
    """One run."""

    def __init__(self, workshop: "Workshop", place: Path) -> None:
        self._workshop = workshop
        self._settings = workshop.settings
        self._pages = Pages(self._settings, workshop.book.site)
        self._folder = Folder(place, workshop.clock(), capitals=self._settings.upper_case_labels)
        self._shown: set[str] = set()
        self._unread: list[str] = []

    def done(self) -> Published:
        """Write what has changed."""
        list_, up_to = self._folder.list, self._up_to()
        changed = _changed_vehicles(self._workshop, self._folder, up_to)
        vehicles = iter(
            changed if changed is not None else (row.vehicle for row in queries.vehicles(self._workshop.book))
        )
        while some := list(islice(vehicles, AT_ONCE)):
            self._folder.bring([label for vehicle in some for label in self._labels(vehicle)])
        if changed is None and not self._unread:
            self._folder.bring(self._not_shown())
        folder = self._folder
        if not self._unread and not folder.foreign:  # else all of it is looked at again the next time
            list_.finish(up_to)
        return Published(folder.written, folder.kept, tuple(folder.foreign), tuple(self._unread))

    def _up_to(self) -> UpTo:
        made_of = "\n".join((*rules_of(self._workshop.plugins), self._pages.made_of))
        return UpTo(self._workshop.book.head(), sha256(made_of.encode()).hexdigest())

    def _labels(self, vehicle: str) -> list[Wanted]:
        try:
            found = [self._label(views) for views in stages_of(self._workshop, vehicle).values()]
        except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the other vehicles are published
            self._unread.append(f"{vehicle} cannot be read ({type(error).__name__}: {error})")
            return []
        self._shown.update(key_of(label.token) for label in found)
        return found

    def _label(self, views: "Sequence[OwnerView]") -> Wanted:
        pages = pages_of(views)
        files = {
            PAGE: File(lambda moment: self._pages.page(pages, moment)),
            CALENDAR: File(self._calendar(views[0]), cancelled_file),
        }
        return Wanted(views[0].token, int(views[0].job), files, turns_on(pages))

    def _calendar(self, view: "OwnerView") -> Callable[[datetime], bytes] | None:
        address = record_address(self._settings, JOB, view.token)

        def made(moment: datetime) -> bytes:
            event = recheck_event(view, address, moment)
            return calendar_file(event) if event else b""

        return made if view.back and view.back.due_on else None

    def _not_shown(self) -> Iterator[Wanted]:
        """The folder of all labels, which lists none of them, and each label that the book does not know any more."""
        nothing = {PAGE: File(self._pages.nothing), CALENDAR: File(None, cancelled_file)}
        yield Wanted("", 0, {PAGE: nothing[PAGE]})
        known = self._folder.list.labels
        for token in set(self._folder.tokens()):
            if (key := key_of(token)) in known and key not in self._shown:
                yield Wanted(token, known[key].job, nothing)


def _changed_vehicles(workshop: "Workshop", folder: Folder, up_to: UpTo) -> Iterable[str] | None:
    """The vehicles of which something was recorded since, whose day has come, or of which a file is not as it was left.

    None for all there are.
    """
    written, book = folder.list, workshop.book
    before = written.up_to
    if before is None or before.basis != up_to.basis or workshop.plugins.unsteady("review_job"):
        return None
    if not book.has(before.head):
        return None
    since = [entry for entry, _ in book.ledger(before.head.sequence + 1)]
    if any(concerns_all(entry) for entry in since):
        return None
    today = workshop.today()
    jobs = [label.job for label in written.labels.values() if label.turns and label.turns <= today]
    jobs += jobs_of_wrenches(workshop, since)
    disturbed = folder.disturbed()
    if not all(vehicle_of(workshop, str(job)) for job in disturbed):
        return None
    jobs += disturbed
    found = [*vehicles_told_of(workshop, since), *(vehicle_of(workshop, str(job)) for job in jobs)]
    return [vehicle for vehicle in dict.fromkeys(found) if vehicle]
