"""`sequencer page`: what the book believes of one hitter or pitcher, and how surely."""

import click

from sequencer.cli.options import book_option, json_option, print_json
from sequencer.cli.working import working


@click.command("page", epilog='Example: sequencer page "Rafe Ostrow"')
@click.argument("who")
@click.option("--level", default="", help="Level he is seen at; his team's when not given.")
@click.option(
    "--throws",
    type=click.Choice(["R", "L"]),
    help="The hand that a hitter of both sides faces.",
)
@json_option
@book_option
def command(who: str, level: str, throws: str | None, as_json: bool, book: str) -> None:
    """Show what the book believes of WHO, each number with its spread.

    A hitter: what sets him apart, how surely, what cannot be known yet. A pitcher: strikes and
    misses of each pitch, strikes in any count, whether a hitter can tell his pitches apart, and
    what he does to right- and left-handed hitters. WHO is a name, #7, both ("Rafe Ostrow #7") or an
    id of `people --json`.
    """
    from sequencer.live.scouting import Scouting
    from sequencer.records.store import open_book
    from sequencer.reports.person_page import person_page

    with working("Working the page out"), open_book(book, create=False) as opened:
        page = person_page(Scouting(opened), who, level=level, throws=throws or "")
    if as_json:
        print_json(page.json)
    else:
        click.echo(page.text)
