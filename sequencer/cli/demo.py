"""`sequencer demo`: a demo scenario, on a throw-away copy or kept where one says."""

from pathlib import Path

import click


@click.command(epilog="Example: sequencer demo lamplighters")
@click.argument("name", required=False)
@click.option("--list", "listing", is_flag=True, help="Name the scenarios and stop.")
@click.option(
    "--into",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the demo book there and stop, instead of opening it.",
)
def command(name: str | None, listing: bool, into: Path | None) -> None:
    """Open the terminal UI on a throw-away copy of a demo scenario.

    Everyone in the scenarios is invented. What you log there is gone when you leave.
    """
    from demo_scenarios import lay_out, scenarios

    if listing:
        for known, title in scenarios().items():
            click.echo(f"{known:14} {title}")
        return
    if into:
        lay_out(name, into)
        click.echo(f"{into}: the demo book; open it with: sequencer --book {into}")
        return
    _open_copy(name)


def _open_copy(name: str | None) -> None:
    import tempfile

    from demo_scenarios import lay_out, tonight
    from sequencer.cli.open_tui import open_tui

    game = tonight(name)
    with tempfile.TemporaryDirectory(
        prefix="sequencer-demo-", ignore_cleanup_errors=True
    ) as folder:
        book = Path(folder) / "book.db"
        open_tui(str(book), game=game, prepare=lambda: lay_out(name, book))
