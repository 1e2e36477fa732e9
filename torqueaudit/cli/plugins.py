"""`torqueaudit plugins`: what is installed, and in which state."""

import click

from torqueaudit.cli.common import json_option, print_json, workshop_here
from torqueaudit.plugins import load_plugins


@click.command()
@json_option
def plugins(*, as_json: bool) -> None:
    """List the plugins: name, version, hooks, state; with a book named, as that book blocks them."""
    if click.get_current_context().find_root().obj is None:
        states = list(load_plugins().asked_through().states.values())
    else:
        with workshop_here() as workshop:
            states = list(workshop.plugins.asked_through().states.values())
    if as_json:
        print_json([{"name": s.name, "version": s.version, "hooks": s.hooks, "state": s.state} for s in states])
        return
    for state in states:
        click.echo(f"{state.name:<18} {state.version:<8} {', '.join(state.hooks) or '-':<32} {state.state}")
