"""`sequencer plan`: a plan for every hitter against one of our pitchers."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planned import hitters_options, planned
from sequencer.cli.planning_options import coach_options, pitcher_options
from sequencer.cli.situation import situation_options

if TYPE_CHECKING:
    from sequencer.planning.plan import Plan


@click.command(
    "plan",
    epilog='Example: sequencer plan --hitters "Osier Bend Wrens" --pitcher "Ilo Brandt" '
    "--trust auto",
)
@hitters_options
@pitcher_options
@coach_options
@situation_options
@click.option(
    "--what-if",
    "asked",
    multiple=True,
    metavar="CALL",
    help='What a call would cost: "curveball 0-0", "3 of 10 changeup when behind" (repeat it).',
)
@click.option("--why", is_flag=True, help="Say why of each call.")
@click.option("--sensitivity", is_flag=True, help="Mark calls that are a coin flip.")
@click.option(
    "--tables",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.npz",
    help="Write the game behind the plan.",
)
@click.option(
    "--or",
    "other",
    metavar="NAME",
    help="Hold another of our pitchers against him for tonight, hitter by hitter.",
)
@book_option
@json_option
@seed_option
def command(
    asked: tuple[str, ...],
    why: bool,
    sensitivity: bool,
    tables: Path | None,
    other: str | None,
    book: str,
    as_json: bool,
    **said: Any,
) -> None:
    """Plan every hitter for one of our pitchers: calls by count, and a card.

    A pitcher who is not in the book is planned from what is usual at his level: say --level and
    --arsenal. A plan has no chance in it: the same call gives the same plan.
    """
    from sequencer.planning.what_if import read_preferred
    from sequencer.reports.plan_text import plan_text

    preferred = [read_preferred(text) for text in asked]
    made = planned(book, said).plan
    if other is not None:
        _beside(made, planned(book, {**said, "pitcher": other}).plan, as_json)
        return
    if sensitivity:
        made = made.with_sensitivity()
    if tables is not None:
        made.save_tables(tables)
    if as_json:
        print_json(made.as_json(why=why, asked=preferred))
    else:
        click.echo(plan_text(made, why=why, asked=preferred))


def _beside(one: "Plan", other: "Plan", as_json: bool) -> None:
    """Print which of two pitchers for tonight."""
    from sequencer.planning.two_pitchers import two_pitchers
    from sequencer.reports.two_pitchers_text import two_pitchers_text

    two = two_pitchers(one, other)
    if as_json:
        print_json(two.as_json())
    else:
        click.echo(two_pitchers_text(two), nl=False)
