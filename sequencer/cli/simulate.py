"""`sequencer simulate`: a plan and what coaches do by hand, against hitters of several minds."""

from typing import Any

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planned import hitters_options, planned
from sequencer.cli.planning_options import coach_options, pitcher_options, scouting
from sequencer.cli.working import working


@click.command(
    "simulate",
    epilog='Example: sequencer simulate --hitters "Osier Bend Wrens" --pitcher "Ilo Brandt" '
    "--games 4",
)
@hitters_options
@pitcher_options
@coach_options
@click.option(
    "--games",
    type=click.IntRange(2, 1000),
    default=8,
    show_default=True,
    help="Games: in each the hitters and what they have charted are drawn anew.",
)
@click.option(
    "--watched",
    type=click.IntRange(1, 20_000),
    default=300,
    show_default=True,
    metavar="PITCHES",
    help="How many of his pitches their dugout has charted.",
)
@click.option("--card", is_flag=True, help="Also the cards that hitters share on one page.")
@book_option
@json_option
@seed_option
def command(
    games: int,
    watched: int,
    card: bool,
    book: str,
    as_json: bool,
    seed: int,
    **said: Any,
) -> None:
    """Play a plan against hitters of several minds, beside what coaches do by hand.

    Hitters are drawn from what is believed of them; all ways of pitching meet the same chance, so
    that what one saves over another is known better than either. The same seed gives the same
    table.
    """
    from sequencer.live.past_calls import past_calls
    from sequencer.planning.pooling import pool
    from sequencer.planning.simulated.simulate import simulate
    from sequencer.reports.simulate_text import simulate_text

    made = planned(book, said).plan
    with working("Playing it out"):
        with scouting(book) as known:
            past = past_calls(known, said["pitcher"])
        pages = pool(made.solved, [one.card for one in made.hitters]) if card else None
        shared = [pages.plan_of(h).card for h in range(len(made.hitters))] if pages else []
        found = simulate(made, past, games=games, watched=watched, seed=seed, shared=shared)
    if as_json:
        print_json(found.as_json())
    else:
        click.echo(simulate_text(found))
