"""`torqueaudit completion`: what a shell needs to complete commands."""

import click
from click.shell_completion import get_completion_class

from torqueaudit.cli.values import OneOf


@click.command()
@click.argument("shell", type=OneOf(["bash", "zsh", "fish"]))
def completion(*, shell: str) -> None:
    """Print the completion script of a shell: `eval "$(torqueaudit completion bash)"`."""
    found = get_completion_class(shell)
    if found is None:
        raise click.UsageError(f"{shell}: no completion for this shell")
    root = click.get_current_context().find_root().command
    click.echo(found(root, {}, "torqueaudit", "_TORQUEAUDIT_COMPLETE").source())
