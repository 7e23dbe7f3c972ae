"""`sequencer backup` and `sequencer restore`: safe copies of a book."""

from pathlib import Path

import click

from sequencer.cli.options import book_option, json_option, print_json
from sequencer.cli.working import working

FILE = click.Path(path_type=Path)


@click.command(epilog="Example: sequencer backup sunday.db")
@click.argument("file", type=FILE)
@json_option
@book_option
def backup_command(file: Path, as_json: bool, book: str) -> None:
    """Copy the book, whole, to FILE, even while a game is being logged to it."""
    from sequencer.records.store import open_book

    with working("Copying the book"), open_book(book, create=False) as opened:
        made = opened.backup(file)
    if as_json:
        print_json({"copy": str(made)})
    else:
        click.echo(f"{made}: a safe copy of {book}")


@click.command(epilog="Example: sequencer restore sunday.db")
@click.argument("file", type=FILE)
@json_option
@book_option
def restore_command(file: Path, as_json: bool, book: str) -> None:
    """Put the copy FILE in the place of the book, once it has proved whole.

    The present book is kept beside it under a dated name.
    """
    from sequencer.records.copies import restore

    with working("Bringing the copy back"):
        done = restore(file, book)
    if as_json:
        print_json({"book": str(done.book), "kept": str(done.kept) if done.kept else None})
        return
    kept = f"; the book before is kept as {done.kept}" if done.kept else ""
    click.echo(f"{done.book}: brought back from {file}{kept}")
