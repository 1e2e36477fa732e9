"""`torqueaudit serve`: answer the labels' addresses with their records."""

import click

from torqueaudit.cli.common import book_place


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address or name to listen on; 0.0.0.0 for all.")
@click.option("--port", default=8080, show_default=True, type=click.IntRange(0, 65535), help="0 takes a free one.")
@click.option("--tls", is_flag=True, help="Encrypt, by certificates of the workshop's own authority.")
@click.option("--behind-proxy", is_flag=True, help="Believe a proxy on this machine who asks, and whether by https.")
@click.option("--owner-only", is_flag=True, help="Answer owners alone: for a host that is reached from outside.")
def serve(*, host: str, port: int, tls: bool, behind_proxy: bool, owner_only: bool) -> None:
    """Answer the labels' addresses with their records, until stopped.

    Without --tls nothing is encrypted: on anything but the workshop's own network use it, or a proxy with TLS.
    docs/serving.md has both.
    """
    from torqueaudit.web import server as serving

    if tls and behind_proxy:
        raise click.UsageError("--tls and --behind-proxy: give one of them; a proxy that speaks https needs no --tls")
    if tls and owner_only:
        raise click.UsageError("--tls and --owner-only: no owner's phone knows your authority; put a proxy in front")
    how = {"tls": tls, "behind_proxy": behind_proxy, "owner_only": owner_only}
    try:
        serving.serve(book_place(), host, port, click.echo, **how)
    except OSError as error:
        raise click.ClickException(str(error)) from error
