"""The plan that `plan` and `card` ask for on their command line."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from sequencer.cli.planning_options import coach_rules, ours, rules_for, scouting
from sequencer.cli.situation import situation
from sequencer.cli.working import working

if TYPE_CHECKING:
    from sequencer.live.scouting import Met
    from sequencer.planning.plan import Plan

F = TypeVar("F", bound=Callable[..., Any])


class Planned(NamedTuple):
    """A plan and the hitters it is for, in its order, as they were met."""

    plan: "Plan"
    met: "tuple[Met, ...]"


def hitters_options(function: F) -> F:
    """Add who hits, rules against single hitters, and today's game."""
    function = click.option(
        "--today",
        metavar="GAME",
        help="A game of the book being played: a pitch he has not got in it is left out.",
    )(function)
    function = click.option(
        "--rule-for",
        "rule_for",
        nargs=2,
        multiple=True,
        metavar="NAME RULE",
        help='A rule against one hitter: "Rafe Ostrow" one-half=away (repeat it).',
    )(function)
    return click.option(
        "--hitters", required=True, metavar="FILE-or-TEAM", help="A file of hitters, or a team."
    )(function)


def planned(book: str, said: dict[str, Any]) -> Planned:
    """Make the plan that a command's options ask for.

    Raises
    ------
    CoachError
        If somebody is not in the book, a file cannot be read, or the rules leave no call.
    """
    from sequencer.planning.plan import plan

    coach = coach_rules(said)
    with working("Reading the book"), scouting(book) as known:
        side = ours(known, said, known.of_game(said["today"]) if said["today"] else None)
        met = known.line_up(said["hitters"])
        line_up = [known.hitter(one, side.league, throws=side.pitcher.throws) for one in met]
    with working("Working the plan out"):
        made = plan(
            line_up,
            side.pitcher,
            side.league,
            trust=said["trust"],
            coach=coach,
            rules_for=rules_for(said["rule_for"], (man.name for man in line_up)),
            catcher=side.catcher,
            situation=situation(said) if "outs" in said else None,
            rules=side.rules,
        )
    return Planned(made, met)
