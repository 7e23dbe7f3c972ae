"""Looks: what a hitter brings to a pitch - how ready he is, what he expects, and where.

The whole list is small enough to stand as columns of every stage game: taking, eleven beliefs for
each area when driving, eleven when protecting (the whole zone by its nature), and taking with a
chosen rest. Nobody takes for ever: taking means the habit of his level and no more than so much
over it. What he does with the rest is his own choice too, or the answer to his taking would be
whatever his habit does not look for: with the habit's swing for the rest a change-up down the
middle came out at .90 of first pitches where it is .58 (measured: professionals, three pitches of
10.5 inches, patience .25), and plans promised .1 to .2 runs per 100 that a hitter could take back.
"""

from collections.abc import Callable
from types import MappingProxyType
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats, Ints

#: Probability he gives a fast pitch. Eleven are within .0005 runs of as many as one likes, seven
#: are too few (measured on prototypes); the ends are open because surprise has no bound.
BELIEFS: Final = (0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98)
READINESS: Final = ("drive", "protect")
#: Width in zone halves over which an area begins (assumption).
BLUR: Final = 0.35


def _side(x: Floats) -> Floats:
    return np.asarray(np.tanh(0.5 * x / BLUR), dtype=np.float64)


#: Area -> what a look at it does to a pitch at (u, v), from -1 (elsewhere) to +1 (just there).
AREAS: Final = MappingProxyType[str, Callable[[Floats, Floats], Floats]](
    {
        "whole": lambda u, v: np.zeros(np.broadcast(u, v).shape),
        "in": lambda u, v: _side(-u) + 0.0 * v,
        "away": lambda u, v: _side(u) + 0.0 * v,
        "up": lambda u, v: _side(v) + 0.0 * u,
        "down": lambda u, v: _side(-v) + 0.0 * u,
    }
)


class Look(NamedTuple):
    """A readiness (take, drive, protect), a belief (chance of a fast pitch) and an area.

    A look that takes has in `rest` how ready he is where his patience ends, with the belief and
    the area that go with it; without one his usual swing is the rest.
    """

    readiness: str
    belief: float = 0.0
    area: str = "whole"
    rest: str = ""

    def __str__(self) -> str:
        swing = f"{self.rest or self.readiness} {self.belief:.2f} {self.area}"
        if self.readiness == "take":
            return f"take, else {swing}" if self.rest else "take"
        return swing

    @property
    def says(self) -> str:
        """The look in a coach's words."""
        if self.readiness == "take":
            return "take"
        ready = "ready to drive" if self.readiness == "drive" else "protecting"
        where = "" if self.area == "whole" else f", {self.area}"
        return f"{ready}, {expecting(self.belief)}{where}"


def expecting(belief: float) -> str:
    """Return a chance of a fast pitch as a coach would put it."""
    if belief >= 0.75:
        return "sitting fastball"
    if belief >= 0.55:
        return "leaning fastball"
    if belief <= 0.25:
        return "sitting soft"
    return "leaning soft" if belief <= 0.45 else "ready for either"


TAKE: Final = Look("take")
#: What looks are made of: the pure take and the swings.
PARTS: Final = (
    TAKE,
    *(Look("drive", belief, area) for area in AREAS for belief in BELIEFS),
    *(Look("protect", belief) for belief in BELIEFS),
)
#: The swings that a hitter who takes may choose for the rest, beside his usual one: beliefs need
#: be no finer, being of a part of his pitches, and a driver always gains by an area. Measured with
#: 5 levels and 2 hitters against every swing for the rest: within .0001 runs.
RESTS: Final = tuple(
    part
    for part in PARTS[1:]
    if part.belief in (0.02, 0.2, 0.4, 0.6, 0.8, 0.98)
    and (part.readiness == "protect" or part.area != "whole")
)
#: Every look: the parts (taking with his usual swing for the rest), then taking with a chosen rest.
#: The order is the one of every array.
LOOKS: Final = (
    *PARTS,
    *(Look("take", rest.belief, rest.area, rest.readiness) for rest in RESTS),
)
_PLACE: Final = MappingProxyType({look: place for place, look in enumerate(LOOKS)})


def place_of(look: Look) -> int:
    """Return where a look stands in `LOOKS`, and in `PARTS` if it is one of them."""
    return _PLACE[look]


def places(readiness: str, area: str = "whole") -> Ints:
    """Return where the looks of one readiness and area stand, by belief."""
    return np.array([_PLACE[Look(readiness, belief, area)] for belief in BELIEFS])


def surprise(family: str, league: League) -> Floats:
    """Return surprise at a family under each of `BELIEFS`, (12 counts, beliefs) nats.

    Fast or not, as it was fitted: splitting the soft mass by a fixed share would make the rarer
    soft pitch a surprise that no hitter could ever learn to expect. Nought is the league's own
    expectation in each count, which `League.steps` already holds.
    """
    fast, usual = np.array(BELIEFS), league.fast_share.reshape(12, 1)
    if family != "fast":
        fast, usual = 1.0 - fast, 1.0 - usual
    return np.asarray(np.log(np.clip(usual, BELIEFS[0], BELIEFS[-1]) / fast), dtype=np.float64)


def take_ceiling(hitter: HitterBelief, league: League) -> Floats:
    """Return how much of a *take* really is one, (4, 3): hitters do not take for ever."""
    return np.minimum(1.0, hitter.take_share + league.patience)


def usual_swing(hitter: HitterBelief) -> Floats:
    """Return his usual looks when he does not take, (4, 3, looks), each count summing to one.

    His belief is shared between the two beliefs of the grid about it.
    """
    mix = np.zeros((4, 3, len(LOOKS)))
    belief = _on_grid(hitter.fast_belief)
    mix[..., places("drive")] = (1.0 - hitter.protect)[..., None] * belief
    mix[..., places("protect")] = hitter.protect[..., None] * belief
    return mix


def rests(hitter: HitterBelief) -> Floats:
    """Return what follows where patience ends, of each look that takes, (4, 3, takes, parts).

    First his usual swings, then the chosen `RESTS`: the order of takes in `LOOKS`.
    """
    usual = usual_swing(hitter)[..., None, : len(PARTS)]
    chosen = np.zeros((4, 3, len(RESTS), len(PARTS)))
    chosen[:, :, np.arange(len(RESTS)), [place_of(rest) for rest in RESTS]] = 1.0
    return np.concatenate([usual, chosen], axis=-2)


def habit(hitter: HitterBelief, league: League) -> Floats:
    """Return his usual mix of looks, (4, 3, looks); his takes are his own, not the ceiling's."""
    ceiling = take_ceiling(hitter, league)
    taking = np.where(ceiling > 0.0, hitter.take_share / np.maximum(ceiling, 1e-12), 0.0)
    mix = (1.0 - taking)[..., None] * usual_swing(hitter)
    mix[..., place_of(TAKE)] = taking
    return mix


def _on_grid(belief: Floats) -> Floats:
    """Share beliefs (...) between their neighbours of the grid, (..., beliefs)."""
    grid = np.array(BELIEFS)
    kept = np.clip(belief, grid[0], grid[-1])
    upper = np.clip(np.searchsorted(grid, kept), 1, grid.size - 1)
    part = (kept - grid[upper - 1]) / (grid[upper] - grid[upper - 1])
    shares = np.zeros((*kept.shape, grid.size))
    np.put_along_axis(shares, (upper - 1)[..., None], (1.0 - part)[..., None], axis=-1)
    np.put_along_axis(shares, upper[..., None], part[..., None], axis=-1)
    return shares
