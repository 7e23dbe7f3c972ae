"""`sequencer plan`: a plan for every hitter against one of our pitchers."""

from pathlib import Path
from typing import Any

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planning_options import coach_options, coach_rules, pitcher_options, scouting


@click.command(
    "plan",
    epilog='Example: sequencer plan --hitters "Osier Bend Wrens" --pitcher "Ilo Brandt" '
    "--trust 0.3",
)
@click.option(
    "--hitters", required=True, metavar="FILE-or-TEAM", help="A file of hitters, or a team."
)
@pitcher_options
@coach_options
@click.option(
    "--tables",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.npz",
    help="Write the game behind the plan.",
)
@book_option
@json_option
@seed_option
def command(
    hitters: str, pitcher: str, tables: Path | None, book: str, as_json: bool, **said: Any
) -> None:
    """Plan every hitter for one of our pitchers: calls by count, and a card.

    A pitcher who is not in the book is planned from what is usual at his level: say --level and
    --arsenal. A plan has no chance in it: the same call gives the same plan.
    """
    from sequencer.live.scouting import league_of, parse_arsenal
    from sequencer.planning.plan import plan
    from sequencer.reports.plan_text import plan_text

    coach = coach_rules(said)
    with scouting(book) as known:
        person = known.find_pitcher(pitcher)
        level = known.level_of(person, said["level"])
        rules = known.rules_of(person, level, said["rules"])
        arsenal = parse_arsenal(said["arsenal"])
        thrower = known.pitcher(pitcher, level, arsenal=arsenal, throws=said["throws"] or "")
        league = league_of(level, said["league_file"])
        line_up = [
            known.hitter(met, league, throws=thrower.throws) for met in known.line_up(hitters)
        ]
    made = plan(
        line_up,
        thrower,
        league,
        trust=said["trust"],
        coach=coach,
        catcher=said["catcher"],
        rules=rules,
    )
    if tables is not None:
        made.save_tables(tables)
    if as_json:
        print_json(made.as_json())
    else:
        click.echo(plan_text(made))
