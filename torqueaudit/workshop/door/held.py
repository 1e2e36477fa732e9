"""The ledger held against checkpoints: the seals beside the book, and what somebody kept elsewhere."""

from collections.abc import Callable, Collection, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import NamedTuple, TypeVar

from torqueaudit.book import seals
from torqueaudit.book.errors import BookError
from torqueaudit.ledger.merkle import Frontier, leaf_of
from torqueaudit.ledger.note import is_signed
from torqueaudit.model.register.seal_keys import SealKey, key_at
from torqueaudit.workshop.door.seal import keys_of, lost_of, named_of, seals_gone
from torqueaudit.workshop.door.workshop import Workshop

T = TypeVar("T")


class Fit(NamedTuple):
    """How many checkpoints fit the ledger, and the one of them that proves most."""

    number: int
    newest: seals.Seal | None

    @property
    def key_id(self) -> str:
        """The key that the newest is signed with."""
        return self.newest.note.signatures[0].key_id if self.newest else ""


class Held(NamedTuple):
    """What checkpoints say of the ledger: those beside the book, and those that were given.

    `faults` are sentences: each checkpoint that was given and does not fit; of the seals beside the book the first and
    the last that do not, and how many more there are. `lost` are the files of those that seal entries of which an entry
    says that they are lost; they neither fit nor are they a fault. `remarks` are sentences about what is no fault.
    """

    faults: tuple[str, ...]
    kept: Fit
    given: Fit
    lost: tuple[Path, ...] = ()
    remarks: tuple[str, ...] = ()


class _Ledger(NamedTuple):
    """What a checkpoint is held against: the root of the tree and the newest hash at each size that one has."""

    site: str
    last: int
    keys: tuple[SealKey, ...]
    at: dict[int, tuple[bytes, str]]


def held_against(workshop: Workshop, given: Iterable[Path]) -> Held:
    """Hold the ledger against the seals beside the book, and against the checkpoints in these files.

    Raises BookError, and NoSignatures where there is a checkpoint and no signature can be checked.
    """
    kept, spoilt = _read(seals.files_of(workshop.book.path), seals.kept)
    told, strange = _read(given, seals.read)
    ledger = _ledger(workshop, {each.checkpoint.size for each in (*kept, *told)})
    wrong = {each.file: _fault(each, ledger) for each in (*kept, *told)}
    is_lost = lost_of(workshop, ledger.keys)
    unfit = [each for each in (*kept, *told) if wrong[each.file]]
    gone = {each.file: each for each in unfit if _read_or(partial(is_lost, each), otherwise=False)}
    own = [*spoilt, *(wrong[each.file] for each in kept if each.file not in gone)]
    return Held(
        faults=(
            *_first_and_last(list(filter(None, own))),
            *strange,
            *filter(None, (wrong[each.file] for each in told if each.file not in gone)),
        ),
        kept=_fit(each for each in kept if not wrong[each.file]),
        given=_fit(each for each in told if not wrong[each.file]),
        lost=tuple(sorted(gone)),
        remarks=(*filter(None, [seals_gone(workshop.book.path, ledger.keys)]), *_unchecked(gone.values(), ledger)),
    )


def _unchecked(lost: Iterable[seals.Seal], ledger: _Ledger) -> Iterator[str]:
    """Of checkpoints of lost entries, those whose key no entry names that is left."""
    for each in sorted(lost, key=lambda seal: seal.file):
        if not named_of(each, ledger.keys):
            yield f"{each.file}: its signature cannot be checked, as no entry that is left names its key."


def _fit(checkpoints: Iterable[seals.Seal]) -> Fit:
    found = list(checkpoints)
    return Fit(len(found), max(found, key=lambda each: each.checkpoint.size, default=None))


def _read(files: Iterable[Path], reader: Callable[[Path], seals.Seal]) -> tuple[list[seals.Seal], list[str]]:
    """The checkpoints in files, and what is said of those that hold none."""
    read, faults = [], []
    for file in files:
        try:
            read.append(reader(file))
        except BookError as error:
            faults.append(error.says)
    return read, faults


def _ledger(workshop: Workshop, sizes: Collection[int]) -> _Ledger:
    """The ledger as far as these sizes ask for it; it is read once."""
    frontier, at, most = Frontier(), {}, max(sizes, default=0)
    if most:
        for document, stored in workshop.book.documents():
            frontier.add(leaf_of(document))
            if frontier.size in sizes:
                at[frontier.size] = frontier.root, stored
            if frontier.size == most:
                break
    keys: tuple[SealKey, ...] = _read_or(partial(keys_of, workshop), otherwise=())
    return _Ledger(workshop.book.site, workshop.book.head().sequence, keys, at)


def _read_or(ask: Callable[[], T], *, otherwise: T) -> T:
    """What entries answer; else `otherwise`, where they cannot be read, which a verification tells apart."""
    try:
        return ask()
    except (BookError, LookupError, TypeError, ValueError):
        return otherwise


def _fault(seal: seals.Seal, ledger: _Ledger) -> str:
    """Why a checkpoint does not fit the ledger, as a sentence; "" where it does."""
    checkpoint, name = seal.checkpoint, str(seal.file)
    size, day = checkpoint.size, checkpoint.sealed_at[:10]
    if checkpoint.head.site != ledger.site:
        return f"{name} is a checkpoint of site {checkpoint.head.site}; this book is of site {ledger.site}."
    signers = [each.key_id for each in seal.note.signatures if each.name == checkpoint.name]
    named = named_of(seal, ledger.keys)
    if named and not any(is_signed(seal.note, checkpoint.name, key.public) for key in named):
        return f"{name}: the signature does not hold; the file was altered, or made by somebody who has not the key."
    if size > ledger.last:
        return f"{name}: the ledger was sealed on {day} up to entry {size} and ends at {ledger.last}: its tail is lost."
    if ledger.at.get(size) != (checkpoint.root, checkpoint.head.hash):
        return f"{name}: entry {size}, or one before it, is not what was sealed on {day}: the ledger was written anew."
    if key_at(ledger.keys, size) not in named:
        key = f"with the key {signers[0]}" if signers else "by somebody else"
        return f"{name} is signed {key}, and the ledger does not name that key at entry {size}."
    return ""


def _first_and_last(faults: list[str]) -> Iterator[str]:
    """Of many seals that do not fit, which mostly have one cause, the first and the last."""
    yield from faults[:1]
    yield from faults[1:][-1:]
    if len(faults) > 2:  # noqa: PLR2004 what stands between the two
        yield f"{len(faults) - 2} more seals do not fit."
