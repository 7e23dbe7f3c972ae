"""Options that say where a game is: outs, bases, inning and score, who catches, who is on deck."""

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from sequencer.planning.stakes import Moment

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--outs", type=click.IntRange(0, 2), help="How many are out: 0, 1 or 2."),
    click.option("--bases", default="", metavar="1-3", help="Runners on: 1, 1-3, 2-3, 1-2-3."),
    click.option(
        "--inning", type=click.IntRange(1), help="With --score: what wins counts, not only runs."
    ),
    click.option(
        "--half", type=click.Choice(["top", "bottom"]), help="The half they hit in; else the top."
    ),
    click.option("--score", default="", metavar="3-2", help="Ours first, then theirs."),
)


def situation_options(function: F) -> F:
    """Add outs, bases, inning, half and score."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def situation(said: dict[str, Any]) -> "Moment | None":
    """Return the situation that was said; None when nothing was.

    Raises
    ------
    BadInput
        If bases or score cannot be read, or an inning comes without a score or a score without one.
    """
    from sequencer.errors import BadInput
    from sequencer.planning.stakes import Moment

    inning, score = said["inning"], said["score"]
    if (inning is None) != (not score):
        raise BadInput("Say inning and score together: --inning 7 --half bottom --score 3-2.")
    if said["half"] and inning is None:
        raise BadInput("A half needs its inning and score: --inning 7 --half bottom --score 3-2.")
    if said["outs"] is None and not said["bases"] and inning is None:
        return None
    bases, outs = read_bases(said["bases"]), said["outs"] or 0
    if inning is None:
        return Moment(bases, outs)
    us, them = read_score(score)
    return Moment(bases, outs, inning, said["half"] or "top", us - them)


def read_bases(text: str) -> tuple[str, str, str]:
    """Read who is on base, such as ``1-3``.

    Raises
    ------
    BadInput
        If it names anything but the three bases.
    """
    from sequencer.errors import BadInput

    words = set(re.findall(r"\S", re.sub(r"[-,]", " ", text)))
    if not words <= {"1", "2", "3"}:
        raise BadInput(f"'{text}' does not say who is on base: write 1, 1-3 or 1-2-3.")
    first, second, third = ("on" if base in words else "" for base in ("1", "2", "3"))
    return first, second, third


def read_score(text: str) -> tuple[int, int]:
    """Read a score, ours first, such as ``3-2``.

    Raises
    ------
    BadInput
        If it is not two numbers.
    """
    from sequencer.errors import BadInput

    found = re.fullmatch(r"\s*(\d{1,3})\s*[-:]\s*(\d{1,3})\s*", text)
    if found is None:
        raise BadInput(f"'{text}' is no score: write ours, then theirs, such as 3-2.")
    return int(found[1]), int(found[2])
