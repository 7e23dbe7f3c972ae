"""Options that `plan` and `suggest` share: who pitches, at which level, and the coach's rules."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from sequencer.cli.options import league_option

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.baseball.rules import RuleSet
    from sequencer.estimates.league import League
    from sequencer.estimates.pitcher import PitcherBelief
    from sequencer.live.scouting import Scouting
    from sequencer.planning.calls import CoachRules
    from sequencer.planning.stakes import Catcher

F = TypeVar("F", bound=Callable[..., Any])


def _trust(context: click.Context, option: click.Parameter, said: str) -> float | str:
    """Read a trust: auto, or a number from 0 to 0.9."""
    if said.strip().lower() == "auto":
        return "auto"
    try:
        number = float(said)
    except ValueError:
        number = -1.0
    if not 0.0 <= number <= 0.9:
        raise click.BadParameter("say auto, or a number from 0 to 0.9.", context, option)
    return number


_OPTIONS = (
    click.option("--pitcher", required=True, metavar="NAME", help="Our pitcher."),
    click.option(
        "--trust",
        callback=_trust,
        default="0",
        show_default=True,
        metavar="0..0.9|auto",
        help="How far to lean on the book: 0 safe, 0.9 nearly all in; auto by what it knows.",
    ),
    click.option("--level", default="", metavar="LEVEL", help="Such as 13-14; else his team's."),
    click.option("--rules", default="", metavar="NAME", help="Rule set; else his team's."),
    click.option(
        "--arsenal", default="", metavar="TYPES", help='What he throws: "fastball,changeup".'
    ),
    click.option("--throws", type=click.Choice(["R", "L"]), help="Where the book does not say."),
    click.option(
        "--catcher",
        default="average",
        show_default=True,
        metavar="NAME|WORD",
        help="Who catches, as the book has seen him block; or good, average, poor.",
    ),
    click.option(
        "--arm",
        type=click.Choice(["good", "average", "poor"]),
        default="average",
        show_default=True,
        help="The catcher's arm against a steal.",
    ),
    league_option,
)
_COACH = (
    click.option(
        "--breaking/--no-breaking", default=None, help="Breaking balls, whatever the level says."
    ),
    click.option("--one-half", type=click.Choice(["in", "away"]), help="Only this half."),
    click.option("--never", multiple=True, metavar="TYPE", help="Leave a pitch out (repeat it)."),
    click.option("--no-middle", is_flag=True, help="Nothing down the middle."),
    click.option("--first-pitch-strike", is_flag=True, help="Aim the first pitch in the zone."),
    click.option(
        "--last-pitch/--no-last-pitch",
        default=True,
        show_default=True,
        help="Whether the pitch before may matter (it is little; fitted).",
    ),
    click.option(
        "--until-proven",
        type=click.Choice(["in", "away"]),
        help="Work this half till he proves it.",
    ),
    click.option(
        "--rule",
        multiple=True,
        metavar="RULE",
        help='Such as "no changeup with two strikes" or "fastball 3-1" (repeat it).',
    ),
)


def pitcher_options(function: F) -> F:
    """Add the pitcher, his level and rules, and how far to lean on the book."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def coach_options(function: F) -> F:
    """Add the coach's rules."""
    for option in reversed(_COACH):
        function = option(function)
    return function


def coach_rules(said: dict[str, Any]) -> "CoachRules":
    """Return the coach's rules out of a command's options."""
    from sequencer.live.scouting import parse_arsenal
    from sequencer.planning.calls import CoachRules
    from sequencer.planning.coach import joined, read_rule

    rules = CoachRules(
        breaking=said["breaking"],
        one_half=said["until_proven"] or said["one_half"] or "",
        never=parse_arsenal(",".join(said["never"])),
        no_middle=said["no_middle"],
        first_pitch_strike=said["first_pitch_strike"],
        last_pitch=said["last_pitch"],
        until_proven=bool(said["until_proven"]),
    )
    for text in said["rule"]:
        rules = joined(rules, read_rule(text))
    return rules


def rules_for(said: Iterable[tuple[str, str]], names: Iterable[str]) -> "dict[str, CoachRules]":
    """Return the rules against single hitters, by the name each has in the plan.

    Raises
    ------
    BadInput
        If nobody of the line-up is called so, or two are.
    """
    from sequencer.errors import BadInput
    from sequencer.planning.calls import CoachRules
    from sequencer.planning.coach import joined, read_rule

    line_up, rules = tuple(names), dict[str, CoachRules]()
    for who, text in said:
        wanted = who.strip().lower()
        exact = [name for name in line_up if name.lower() == wanted]
        found = exact or [
            n for n in line_up if wanted and wanted in [*n.lower().split(), n.lower()]
        ]
        found = found or [name for name in line_up if wanted in name.lower()]
        if len(found) != 1:
            which = "Nobody" if not found else "More than one"
            raise BadInput(f"{which} of the hitters is called {who}: {', '.join(line_up)}.")
        rules[found[0]] = joined(rules.get(found[0], CoachRules()), read_rule(text))
    return rules


class Ours(NamedTuple):
    """Our side as a command's options name it: who throws, at which level, by which rules."""

    pitcher: "PitcherBelief"
    level: str
    rules: "RuleSet"
    league: "League"
    catcher: "Catcher"


def ours(known: "Scouting", said: dict[str, Any], today: "pd.DataFrame | None" = None) -> Ours:
    """Return our side out of a command's options.

    Parameters
    ----------
    known : Scouting
    said : mapping
        Of `pitcher_options`.
    today : DataFrame, optional
        Today's pitches so far, anyone's: a pitch he has not got in them is left out.

    Raises
    ------
    CoachError
        If somebody is not in the book, or a file cannot be read.
    """
    from sequencer.live.catching import catcher
    from sequencer.live.scouting import league_of, parse_arsenal

    person = known.find_pitcher(said["pitcher"])
    level = known.level_of(person, said["level"])
    arsenal = parse_arsenal(said["arsenal"])
    throws = said["throws"] or ""
    return Ours(
        known.pitcher(said["pitcher"], level, arsenal=arsenal, throws=throws, today=today),
        level,
        known.rules_of(person, level, said["rules"]),
        league_of(level, said["league_file"]),
        catcher(known, said["catcher"], level, said["arm"]),
    )


@contextmanager
def scouting(path: str) -> "Iterator[Scouting]":
    """Open the book for reading what it says; without the user's own book there is none.

    Raises
    ------
    BookError
        If a book was named and is not there, or cannot be read.
    """
    from sequencer.live.scouting import Scouting
    from sequencer.places import default_book
    from sequencer.records.store import open_book

    if not Path(path).expanduser().exists() and path == default_book():
        yield Scouting()
        return
    with open_book(path, create=False) as book:
        yield Scouting(book)
