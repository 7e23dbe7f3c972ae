"""`sequencer check`: the health of a book."""

from typing import TYPE_CHECKING

import click

from sequencer.cli.options import book_option, json_option, print_json
from sequencer.cli.working import working
from sequencer.errors import BookError

if TYPE_CHECKING:
    from sequencer.records.health import Health


@click.command(epilog="Example: sequencer check --book club.db")
@json_option
@book_option
def command(as_json: bool, book: str) -> None:
    """Look whether the file is whole, every game replays and everyone named is in the book."""
    from sequencer.records.health import examine
    from sequencer.records.store import open_book

    with working("Looking the book over"), open_book(book, create=False) as opened:
        health = examine(opened)
    if as_json:
        print_json({"book": book, **health.as_json()})
    else:
        _tell(book, health)
    if not health.sound:
        raise BookError(
            f"{book} is not sound: {health.problems[0]} Keep a copy of the file, then restore a "
            "backup."
        )


def _tell(book: str, health: "Health") -> None:
    for problem in health.problems:
        click.echo(f"problem: {problem}")
    for note in health.notes:
        click.echo(f"note: {note}")
    counts = ", ".join(f"{number} {name}" for name, number in health.counts.items())
    click.echo(f"{book}: {'sound' if health.sound else 'not sound'}; {counts}")
