"""`torqueaudit serve`: answer the labels' addresses with their records."""

import click

from torqueaudit.cli.common import book_path


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address or name to listen on; 0.0.0.0 for all.")
@click.option("--port", default=8080, show_default=True, type=click.IntRange(0, 65535), help="0 takes a free one.")
def serve(*, host: str, port: int) -> None:
    """Answer the labels' addresses with their records, until stopped.

    There is no encryption here: on anything but the workshop's own network put a proxy with TLS before it.
    """
    from torqueaudit.web import server as serving

    try:
        serving.serve(book_path(), host, port, click.echo)
    except OSError as error:
        raise click.ClickException(str(error)) from error
