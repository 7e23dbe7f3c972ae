"""`sequencer suggest`: the next call in one situation."""

from typing import Any

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planning_options import (
    coach_options,
    coach_rules,
    ours,
    pitcher_options,
    scouting,
)
from sequencer.cli.situation import situation, situation_options
from sequencer.cli.working import working


@click.command(
    "suggest",
    epilog='Example: sequencer suggest --pitcher "Ilo Brandt" --hitter "Rafe Ostrow" --count 2-1 '
    '--outs 1 --bases 1-3 --last "fastball away"',
)
@pitcher_options
@click.option("--hitter", required=True, metavar="NAME", help="Who hits: a name or number.")
@click.option("--bats", type=click.Choice(["R", "L"]), help="The side he hits from today.")
@click.option("--count", required=True, metavar="2-1", help="Balls and strikes.")
@situation_options
@click.option("--on-deck", metavar="NAME", help="Who hits next: he counts in what a walk costs.")
@click.option("--last", metavar='"fastball away"', help="The pitch before, in this at-bat.")
@click.option("--game", metavar="GAME", help="A game being logged: what it has shown counts.")
@coach_options
@book_option
@json_option
@seed_option
def command(hitter: str, book: str, as_json: bool, seed: int, **said: Any) -> None:
    """Suggest the next call, with each call's share, what it does, and one drawn from the mix."""
    from dataclasses import replace

    from sequencer.baseball.count import parse
    from sequencer.estimates import todays_zone
    from sequencer.live.advice import Adviser, Asked
    from sequencer.planning.calls import read_call
    from sequencer.planning.stakes import Moment
    from sequencer.planning.suggest import as_json as to_json
    from sequencer.planning.trust import trusts
    from sequencer.reports.plan_text import suggestion_text

    count, coach = parse(said["count"]), coach_rules(said)
    last = read_call(said["last"]) if said["last"] else None
    moment = situation(said) or Moment()
    with working("Reading the book"), scouting(book) as known:
        today = known.of_game(said["game"]) if said["game"] else None
        side = ours(known, said, today)
        league, throws, deck = side.league, side.pitcher.throws, said["on_deck"]
        man = known.anyone(hitter, league, throws=throws, bats=said["bats"] or "")
        next_up = known.anyone(deck, league, throws=throws) if deck else None
        guessed = known.guess_rate(said["pitcher"], said["game"]) if said["game"] else None
    zone = todays_zone.usual(side.level)
    if today is not None:
        zone = todays_zone.learn(zone, today, league)
        league = replace(league, edges=zone.edges)
    trust = float(trusts(said["trust"], [man])[0])
    adviser = Adviser(
        side.pitcher, league, side.rules, coach=coach, trust=trust, catcher=side.catcher
    )
    asked = Asked(man, count, moment, last)
    found = adviser.advise(asked, seed)
    ways = adviser.beside(asked, next_up)
    state = {
        "pitcher": side.pitcher.name,
        "hitter": man.name,
        "bats": man.bats,
        "count": str(count),
        "outs": moment.outs,
        "bases": "-".join(str(i) for i, on in enumerate(moment.bases, 1) if on),
        "inning": moment.inning,
        "half": moment.half if moment.inning else "",
        "score": said["score"],
        "on_deck": next_up.name if next_up else "",
        "last": str(last) if last else "",
        "level": side.level,
        "trust": trust,
        "notes": [*adviser.notes, *man.notes, *([zone.says()] if today is not None else [])],
    }
    if as_json:
        print_json(to_json(found, state, guessed, ways))
    else:
        click.echo(suggestion_text(state, found, guessed, ways))
