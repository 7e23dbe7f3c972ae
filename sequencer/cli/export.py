"""`sequencer export`: the whole book as one table a file."""

from pathlib import Path

import click

from sequencer.cli.options import book_option, json_option, print_json
from sequencer.cli.working import working


@click.command(epilog="Example: sequencer export season-2026 --format csv")
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
@click.option(
    "--format",
    "fmt",
    type=click.Choice(["csv", "parquet", "jsonl"]),
    default="csv",
    show_default=True,
    help="The kind of files.",
)
@click.option("--force", is_flag=True, help="Write even where other files lie.")
@json_option
@book_option
def command(folder: Path, fmt: str, force: bool, as_json: bool, book: str) -> None:
    """Write the whole book to DIR: pitches, events, people, marks, bullpens, games and teams.

    `sequencer import DIR` reads it back to the same book.
    """
    from sequencer.records.store import open_book
    from sequencer.records.writers import export_book

    with working("Writing the book out"), open_book(book, create=False) as opened:
        files = export_book(opened, folder, fmt, force=force)
    if as_json:
        print_json({"files": [str(file) for file in files]})
    else:
        click.echo("\n".join(str(file) for file in files))
