"""`torqueaudit ledger`: the append-only list of facts."""

import click

from torqueaudit.book.engine import ALL
from torqueaudit.cli.common import answer, entry_of, json_option, print_json, why_option, workshop_here
from torqueaudit.cli.values import PERSON
from torqueaudit.model.act import Say
from torqueaudit.reports.json.ledger import entry_json, erased_json, seal_key_json
from torqueaudit.workshop.door.ledger import faults, ledger_entries
from torqueaudit.workshop.door.words import Erased, erase_words


@click.group()
def ledger() -> None:
    """Verify and show the ledger."""


@ledger.command("verify")
@click.option("--head", "printed", default=None, help="A head printed earlier; case and spaces do not matter.")
@json_option
def verify(*, printed: str | None, as_json: bool) -> None:
    """Check chain, lists, triggers, application id and clock. Exit code 0 sound, 1 damaged."""
    with workshop_here() as workshop:
        found = faults(workshop, printed)
        head = str(workshop.book.head() if found else workshop.book.tell_head())
        remarks = workshop.book.remarks()
    if as_json:
        print_json({"sound": not found, "faults": found, "remarks": remarks, "head": head})
    else:
        click.echo("".join(f"{remark}\n" for remark in remarks), nl=False)
        click.echo("\n".join(found) if found else f"sound up to {head}")
        if not found and not printed:
            click.echo(
                "A cut tail or a ledger written anew shows only against a head kept on paper: give it with --head."
            )
    click.get_current_context().exit(1 if found else 0)


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
        told = {**entry.said, **entry.words}
        said = " ".join(f"{key}={value}" for key, value in told.items() if key != "text")
        click.echo(
            f"{entry.sequence:>6} {entry.happened_at} {entry.subject[:20]:<20} {entry.kind:<16} {entry.who:<6} {said}"
        )


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
        erased = erase_words(workshop, numbers, why, Say(by, id=act_id))
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
        key = change_key(workshop, secrets, why, Say(by, id=act_id))
    told = seal_key_json(key)
    says = f"From entry #{key.entry} on the ledger is sealed with the key {key.key_id}, which lies in {secrets.path}."
    answer(told, says, as_json=as_json)
