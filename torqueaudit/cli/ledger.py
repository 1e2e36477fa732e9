"""`torqueaudit ledger`: the append-only list of facts."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from torqueaudit.book.engine import ALL
from torqueaudit.book.errors import BookError
from torqueaudit.cli.command import typed
from torqueaudit.cli.common import (
    Who,
    answer,
    entry_of,
    json_option,
    print_json,
    said_by,
    say_of,
    who_says,
    why_option,
    workshop_here,
)
from torqueaudit.cli.sites import each_site
from torqueaudit.cli.values import HEAD, PERSON
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import came_of
from torqueaudit.reports.json.ledger import entry_json, erased_json, held_json, proved_json, seal_key_json
from torqueaudit.signs import seen
from torqueaudit.workshop.door.ledger import faults, ledger_entries
from torqueaudit.workshop.door.unread import remarks as told_remarks
from torqueaudit.workshop.door.unread import strike_unread
from torqueaudit.workshop.door.words import Erased, erase_words

if TYPE_CHECKING:
    from torqueaudit.ledger.checkpoint import Checkpoint
    from torqueaudit.ledger.proof import Proved
    from torqueaudit.workshop.door.held import Held

Read = TypeVar("Read")
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
LARGEST_PROOF = 4 * 1024 * 1024  # bytes; an entry with a procedure's text is the largest


@click.group()
def ledger() -> None:
    """Verify, prove and show the ledger."""


@ledger.command("verify")
@click.option("--head", "printed", type=HEAD, help="A head printed earlier; case and spaces do not matter.")
@click.option(
    "--against", multiple=True, type=FILE, metavar="FILE", help="A checkpoint kept elsewhere; may be repeated."
)
@json_option
@each_site()
def verify(*, printed: str | None, against: tuple[Path, ...], as_json: bool) -> None:
    """Check chain, lists, triggers, application id and clock, and every checkpoint. Exit code 0 sound, 1 damaged.

    The ledger is held against the seals beside the book, and against the checkpoints that are given.
    """
    from torqueaudit.workshop.door.held import Fit, Held, held_against
    from torqueaudit.workshop.night.heartbeat import heartbeat

    with workshop_here() as workshop:
        own, none = faults(workshop, printed), list[str]()
        nothing = Held(faults=(), kept=Fit(0, None), given=Fit(0, None))
        held = _so_far(own, lambda: held_against(workshop, against), nothing)
        found = [*own, *held.faults]
        head = _so_far(found, lambda: str(workshop.book.head() if found else workshop.book.tell_head()), "")
        remarks = _so_far(found, lambda: [*told_remarks(workshop), *held.remarks], none)
        missed = _so_far(found, lambda: heartbeat(workshop).says, None)
    if as_json:
        remarks += [str(missed)] if missed else []
        told = {"sound": not found, "faults": found, "remarks": remarks, "head": head, "held": held_json(held)}
        print_json(told)
    else:
        remarks += [typed(*missed)] if missed else []
        click.echo("".join(f"{remark}\n" for remark in remarks), nl=False)
        click.echo("\n".join(found) if found else f"sound up to {head}")
        for line in _proved_by(held):
            click.echo(line)
        if not found and not printed and not against:
            click.echo(
                "A cut tail or a ledger written anew shows only against what is kept elsewhere: give a head on paper "
                "with --head, or a checkpoint with --against."
            )
    click.get_current_context().exit(1 if found else 0)


def _so_far(found: list[str], read: Callable[[], Read], otherwise: Read) -> Read:
    """What is read, or the other where a book with these faults cannot be read so far. Raises BookError without any."""
    try:
        return read()
    except BookError:
        if not found:
            raise
        return otherwise


def _proved_by(held: "Held") -> Iterator[str]:
    """What the checkpoints that fit prove, and up to when."""
    for file in held.lost:
        yield f"{file} is of entries that are lost; an entry says so, and nothing more is known of them."
    for fit, whose in ((held.given, "given"), (held.kept, "beside the book")):
        if fit.newest:
            checkpoint = fit.newest.checkpoint
            yield (
                f"Held against {fit.number} checkpoint{'s' * (fit.number > 1)} {whose}: entries 1 to {checkpoint.size} "
                f"are those that were sealed on {_moment(checkpoint)} with the key {fit.key_id}."
            )


@ledger.command("prove")
@click.argument("entry", metavar="ENTRY")
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), help="The file of the proof.")
@click.option("--against", type=FILE, metavar="FILE", help="The checkpoint it belongs to. Default: the newest one.")
@click.option("--with-words", is_flag=True, help="Hand out the remark or reason too; it may name somebody.")
@json_option
def prove(*, entry: str, out: Path, against: Path | None, with_words: bool, as_json: bool) -> None:
    """Write a small file that proves an entry to whoever has the checkpoint, without the book."""
    from torqueaudit.book import seals
    from torqueaudit.book.disk import check_free
    from torqueaudit.book.flushing import write_whole
    from torqueaudit.ledger.proof import proof_text
    from torqueaudit.workshop.door.proving import prove

    number = entry_of(entry, "ledger show")
    with workshop_here() as workshop:
        check_free(out)
        proof = prove(workshop, number, seals.read(against) if against else None, with_words=with_words)
    try:
        write_whole(out, proof_text(proof).encode())
    except OSError as error:
        raise click.ClickException(f"{out} cannot be written: {error.strerror}") from None
    told = {"entry": number, "tree_size": proof.size, "out": str(out)}
    if as_json:
        print_json(told)
        return
    click.echo(f"{out}: proves entry #{number} under the checkpoint of {proof.size} entries.")
    click.echo(f"Whoever has that checkpoint checks it with `torqueaudit ledger check-proof {out} --against …`.")


@ledger.command("check-proof")
@click.argument("file", type=FILE)
@click.option("--against", required=True, type=FILE, metavar="FILE", help="The checkpoint that you keep.")
@json_option
def check_proof(*, file: Path, against: Path, as_json: bool) -> None:
    """Check a proof of an entry, without any book. Exit code 0 proved, 1 not."""
    from torqueaudit.ledger.proof import NotProved, check, proof_of

    try:
        proved = check(proof_of(_text_of(file)), _text_of(against))
    except NotProved as error:
        if as_json:
            print_json({"proved": False, "says": str(error)})
        else:
            click.echo(seen(f"Not proved: {error}."))
        click.get_current_context().exit(1)
    if as_json:
        print_json({"proved": True, **proved_json(proved)})
        return
    for line in _proved(proved):
        click.echo(seen(line))


def _text_of(file: Path) -> str:
    """What stands in a file that somebody handed in; where it is no text, nothing that proves anything."""
    with file.open("rb") as opened:
        return opened.read(LARGEST_PROOF).decode(errors="replace")


def _proved(proved: "Proved") -> Iterator[str]:
    entry, checkpoint = proved.entry, proved.checkpoint
    sealed = f"when it was sealed on {_moment(checkpoint)}"
    yield f"Proved: entry {entry.sequence} stood so in the ledger of {entry.site} {sealed}."
    yield _line(entry._replace(words=proved.words))
    yield f"Sealed: {checkpoint.size} entries, with the key {proved.key_id}. Whose key that is, this file cannot prove:"
    yield "hold its number against the one that you were given."
    hidden = ", ".join(sorted(entry.sealed.keys() - proved.words.keys()))
    left = f" Its words ({hidden}) were not handed out." if hidden else ""
    yield f"Not proved: whether what the entry says is true, and what was recorded or struck since.{left}"


def _moment(checkpoint: "Checkpoint") -> str:
    return f"{checkpoint.sealed_at[:16].replace('T', ' at ')} UTC"


def _line(entry: Entry) -> str:
    """An entry as the list of the ledger shows it."""
    told = {**entry.said, **entry.words}
    said = " ".join(f"{key}={value}" for key, value in told.items() if key != "text")
    by = f" ({came.says})" if (came := came_of(entry.judged)).says else ""
    where = f"{entry.sequence:>6} {entry.happened_at} {entry.subject[:20]:<20}"
    return f"{where} {entry.kind:<16} {entry.who:<6} {said}{by}"


@ledger.command("head")
@json_option
def head(*, as_json: bool) -> None:
    """Print the head of the chain, to be kept on paper."""
    with workshop_here() as workshop:
        text = str(workshop.book.tell_head())
    if as_json:
        print_json({"head": text})
    else:
        click.echo(text)


@ledger.command("show")
@click.option("--from", "first", type=click.IntRange(1, ALL), default=1, show_default=True)
@click.option("--to", "last", type=click.IntRange(1, ALL), default=None)
@json_option
def show(*, first: int, last: int | None, as_json: bool) -> None:
    """Print entries in their order."""
    with workshop_here() as workshop:
        entries = ledger_entries(workshop, first, last)
    if as_json:
        print_json([entry_json(entry) for entry in entries])
        return
    for entry in entries:
        click.echo(_line(entry))


@ledger.command("strike")
@click.argument("entry")
@why_option("Why it must not count", "“a later version wrote it”")
@who_says
def strike(*, entry: str, why: str, who: Who) -> None:
    """Strike an entry that cannot be read, whatever it is about. By a foreman.

    `ledger verify` names such entries. What can be read is struck where it stands, as by `job strike`.
    """
    number = entry_of(entry, "ledger verify")
    with workshop_here() as workshop:
        struck = strike_unread(workshop, number, why, say_of(workshop, who))
    click.echo(f"entry {number} ({struck.subject}): struck. It stays in the ledger, and counts for nothing.")


@ledger.command("erase-words")
@click.argument("entries", metavar="ENTRY…", nargs=-1, required=True)
@why_option("Why, without what they said", "“it named a customer”")
@click.option("--by", required=True, type=PERSON, envvar="TORQUEAUDIT_BY", help="Your number, such as P-1.")
@click.option("--id", "act_id", default="", help="An id for this act; the same act sent again changes nothing.")
@json_option
def erase(*, entries: tuple[str, ...], why: str, by: str, act_id: str, as_json: bool) -> None:
    """Erase the remark, reason, basis or limit of an entry for good. By a foreman.

    The entry itself stays, and shows when and by whom its words were erased. Words that one act told of several
    fasteners are erased of all of them.
    """
    numbers = [entry_of(text, "ledger show") for text in entries]
    with workshop_here() as workshop:
        erased = erase_words(workshop, numbers, why, said_by(workshop, by, act_id))
    if as_json:
        print_json(erased_json(erased))
        return
    for line in _erased(erased):
        click.echo(line)


def _erased(erased: Erased) -> list[str]:
    told = ", ".join(f"#{entry}" for entry in erased.entries)
    stays = "the entry itself stays" if len(erased.entries) == 1 else "the entries themselves stay"
    return [
        f"{told}: words erased on {erased.on} by {erased.by}; {stays}.",
        "Copies of the book and reports that were made before still hold the words.",
    ]


@ledger.command("new-key")
@why_option("Why the key is changed", "“the machine was sold”")
@click.option("--by", required=True, type=PERSON, envvar="TORQUEAUDIT_BY", help="Your number, such as P-1.")
@click.option("--id", "act_id", default="", help="An id for this act; the same act sent again changes nothing.")
@json_option
def new_key(*, why: str, by: str, act_id: str, as_json: bool) -> None:
    """Make a new key that seals the ledger from now on. By a foreman.

    The private key lies among the secrets, and the one before is taken away there; the ledger names the public one.
    """
    from torqueaudit.book.secrets import Secrets, default_place
    from torqueaudit.workshop.door.seal import change_key

    with workshop_here() as workshop:
        secrets = Secrets(default_place(), workshop.book.path)
        key = change_key(workshop, secrets, why, said_by(workshop, by, act_id))
    told = seal_key_json(key)
    says = f"From entry #{key.entry} on the ledger is sealed with the key {key.key_id}, which lies in {secrets.path}."
    answer(told, says, as_json=as_json)
