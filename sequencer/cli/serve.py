"""`sequencer serve`: the terminal UI in a browser, for a tablet."""

import click

from sequencer.cli.options import book_option


@click.command(
    epilog="Example: sequencer serve   Example: sequencer serve --host 0.0.0.0 --sessions 2"
)
@book_option
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="Where to listen; 0.0.0.0 lets other devices of the network in.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8421,
    show_default=True,
    help="Port to listen at; 0 takes one that is free.",
)
@click.option(
    "--sessions",
    type=click.IntRange(1, 32),
    default=4,
    show_default=True,
    help="How many tablets or browser tabs at once; each runs a process of its own.",
)
@click.option(
    "--certificate",
    default="",
    metavar="FILE",
    help="Encrypt with this certificate (PEM; your tablets must trust it).",
)
@click.option("--key", default="", metavar="FILE", help="Its key, where that is a file of its own.")
def command(book: str, host: str, port: int, sessions: int, certificate: str, key: str) -> None:
    """Show the terminal UI in a browser: a tablet on the bench, a second one beside it.

    Only this machine can open it unless --host says otherwise, and always only with the address
    printed, which has a random token in it. Several tablets may log to one book at once. Buttons
    for the keys of a pitch stand under the screen. Ctrl+C ends it; what was logged is kept.
    """
    from sequencer.cli.open_tui import serve_tui

    if key and not certificate:
        raise click.UsageError("--key goes with --certificate.")
    serve_tui(book, host, port, sessions, click.echo, certificate=certificate, key=key)
