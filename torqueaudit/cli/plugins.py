"""`torqueaudit plugins`: what is installed, and in which state."""

import click

from torqueaudit.cli.common import json_option, print_json
from torqueaudit.plugins import load_plugins


@click.command()
@json_option
def plugins(*, as_json: bool) -> None:
    """List the plugins: name, version, hooks, state."""
    states = list(load_plugins().states.values())
    if as_json:
        print_json([{"name": s.name, "version": s.version, "hooks": s.hooks, "state": s.state} for s in states])
        return
    for state in states:
        click.echo(f"{state.name:<18} {state.version:<8} {', '.join(state.hooks) or '-':<32} {state.state}")
