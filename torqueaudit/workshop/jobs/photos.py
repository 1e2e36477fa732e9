"""Photos of work: kept beside the book, named by the job's entries, and erased as an entry as well."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import photos
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.photo import ERASED, PHOTOGRAPHED
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.judged.subject import about_key
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import PhotoView
from torqueaudit.photo import Harmless
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.jobs.keys import no_such
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.fastener_view import photo_view

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from torqueaudit.model.procedure.procedure import Procedure

SHORTEST = 8  # characters of a digest that name a photo
WORK = "work"


def photograph(
    workshop: Workshop, job: str, keys: "Iterable[str]", picture: Harmless, why: str, say: Say
) -> list[Entry]:
    """Keep a photo of some work of a job, named by positions or keys, and record it.

    The photo is on the disk before its entry is written. Raises Refused without any work, and for work that the job
    does not have; BookError where the disk does not take the photo.
    """
    of, photo = list(dict.fromkeys(keys)), photos.weigh(*picture)
    said = {"digest": photo.digest, "bytes": photo.bytes, "of": of, **({"why": FreeWords(why)} if why.strip() else {})}

    def build(attempt: Attempt) -> list[Draft]:
        _require_work(workshop.procedure_of(live_record(attempt, job)), job, of)
        photos.keep(workshop.book.path, *picture, photo)
        return [attempt.draft(f"job/{job}", PHOTOGRAPHED, said, {"small": photo.small})]

    entries = record(workshop, say, ActName.PHOTOGRAPH, f"job/{job}", said, build)
    if _stands(workshop, job, photo.digest):
        photos.keep_lost(workshop.book.path, *picture, photo)
    return entries


def erase_photo(workshop: Workshop, job: str, digest: str, why: str, say: Say) -> list[Entry]:
    """Erase a photo of a job by the first characters of its digest; its files go with the last job that names it.

    Raises Refused without a reason, for a photo that the job does not have, and for one that was erased already;
    BookError where the disk does not let the files go, and the erasure stands then.
    """
    if not why.strip():
        raise Refused("say why the photo is erased, without what it shows")
    whole = _meant(workshop, job, digest)
    said = {"digest": whole, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(f"job/{job}")
        if not _stands(workshop, job, whole):
            raise Refused(f"photo {digest}: it was erased already, so nothing is left to erase")
        return [attempt.draft(f"job/{job}", ERASED, said)]

    return record(workshop, say, ActName.ERASE_PHOTO, f"job/{job}", said, build)


def photo_file(workshop: Workshop, digest: str, small: str = "") -> bytes | None:
    """The content of a photo by its whole digest; with that of the small one of it, the latter's.

    None where it is not there as it was.
    """
    return photos.read(workshop.book.path, digest, small)


class Listed(NamedTuple):
    """A photo of a job, the keys and the names of what it shows, and its file, "" where that was erased."""

    view: PhotoView
    keys: tuple[str, ...]
    names: str
    file: str


def photos_of_job(workshop: Workshop, number: str) -> tuple[Listed, ...]:
    """Every photo of a job, in the order of the work. Raises Refused for an unknown one."""
    job = workshop.job(number)
    around = around_of(workshop, job)
    folder = workshop.book.photos
    return tuple(
        Listed(
            view=(view := photo_view(job, around, each, _positions(job.procedure, each.keys))),
            keys=each.keys,
            names=names_together(about_key(job.procedure, key) for key in each.keys),
            file="" if view.erased else str(folder / each.photo.name),
        )
        for each in job.record.photos()
    )


def _positions(procedure: "Procedure", keys: "Iterable[str]") -> "Iterator[str]":
    """The fasteners that these keys name, one by one."""
    for key in keys:
        item = procedure.item(key)
        if isinstance(item, Fastener):
            yield from item.positions
        elif item is None:
            yield key


def _require_work(procedure: "Procedure", job: str, keys: "Sequence[str]") -> None:
    if not keys:
        raise Refused("say what the photo shows, by the keys of the work")
    for key in keys:
        if procedure.item(key) is None and procedure.fastener_at(key) is None:
            raise no_such(procedure, f"job {job}", key, WORK, [item.key for item in procedure.work])


def _meant(workshop: Workshop, job: str, digest: str) -> str:
    """The whole digest of the one photo of a job that begins so. Raises Refused where none does, or several do."""
    entries = workshop.book.entries(f"job/{job}") if job.isalnum() else []
    if not entries:
        raise Refused(f"job {job}: no such job", See(Topic.JOBS))
    known = {str(entry.said.get("digest")) for entry in entries if entry.kind == PHOTOGRAPHED}
    found = sorted(each for each in known if each.startswith(digest.lower()))
    if len(digest) < SHORTEST or len(found) != 1:
        has = ", ".join(sorted(each[:SHORTEST] for each in known)) or "none"
        raise Refused(
            f"“{digest[:64]}” names no one photo of job {job}; give {SHORTEST} characters or more; it has {has}"
        )
    return found[0]


def _stands(workshop: Workshop, job: str, digest: str) -> bool:
    """Whether a photo of a job was taken and not erased since, struck or not."""
    told = [entry for entry in workshop.book.entries(f"job/{job}") if entry.kind in {PHOTOGRAPHED, ERASED}]
    of_it = [entry.kind for entry in told if entry.said.get("digest") == digest]
    return bool(of_it) and of_it[-1] == PHOTOGRAPHED
