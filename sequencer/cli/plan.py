"""`sequencer plan`: a plan for every hitter against one of our pitchers."""

from pathlib import Path
from typing import Any

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planning_options import (
    coach_options,
    coach_rules,
    pitcher_options,
    rules_for,
    scouting,
)


@click.command(
    "plan",
    epilog='Example: sequencer plan --hitters "Osier Bend Wrens" --pitcher "Ilo Brandt" '
    "--trust auto",
)
@click.option(
    "--hitters", required=True, metavar="FILE-or-TEAM", help="A file of hitters, or a team."
)
@pitcher_options
@coach_options
@click.option(
    "--rule-for",
    "rule_for",
    nargs=2,
    multiple=True,
    metavar="NAME RULE",
    help='A rule against one hitter: "Rafe Ostrow" one-half=away (repeat it).',
)
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
@book_option
@json_option
@seed_option
def command(
    hitters: str,
    pitcher: str,
    rule_for: tuple[tuple[str, str], ...],
    asked: tuple[str, ...],
    why: bool,
    sensitivity: bool,
    tables: Path | None,
    book: str,
    as_json: bool,
    **said: Any,
) -> None:
    """Plan every hitter for one of our pitchers: calls by count, and a card.

    A pitcher who is not in the book is planned from what is usual at his level: say --level and
    --arsenal. A plan has no chance in it: the same call gives the same plan.
    """
    from sequencer.live.scouting import league_of, parse_arsenal
    from sequencer.planning.plan import plan
    from sequencer.planning.what_if import read_preferred
    from sequencer.reports.plan_text import plan_text

    coach, preferred = coach_rules(said), [read_preferred(text) for text in asked]
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
        rules_for=rules_for(rule_for, (man.name for man in line_up)),
        catcher=said["catcher"],
        rules=rules,
    )
    if sensitivity:
        made = made.with_sensitivity()
    if tables is not None:
        made.save_tables(tables)
    if as_json:
        print_json(made.as_json(why=why, asked=preferred))
    else:
        click.echo(plan_text(made, why=why, asked=preferred))
