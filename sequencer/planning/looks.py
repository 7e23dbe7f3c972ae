"""Looks: what a hitter brings to a pitch - how ready he is, what he expects, and where.

A belief can be anything, so games begin with the few looks of `LOOKS` and take in others as replies
need them: for each area when driving, when protecting (the whole zone by its nature), and taking
with a chosen rest. Nobody takes for ever: taking means the habit of his level and no more than so
much over it. What he does with the rest is his own choice too, or the answer to his taking would be
whatever his habit does not look for: with the habit's swing for the rest a change-up down the
middle came out at .90 of first pitches where it is .58 (measured: professionals, three pitches of
10.5 inches, patience .25), and plans promised .1 to .2 runs per 100 that a hitter could take back.

Arrays hold looks by their parts: a pure take, then every kind of swing at every node of surprise. A
look weighs them, and differently for fast and for soft pitches, which surprise him differently.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning import beliefs as beliefs_room
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.beliefs import BELIEFS, FAST, HIGHEST, LATTICE, LOWEST, NODES, SOFT

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
        swing = f"{self.rest or self.readiness} {_digits(self.belief)} {self.area}"
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


def _digits(belief: float) -> str:
    """Two digits where they tell it, else as many as it takes."""
    return f"{belief:.2f}" if round(belief, 2) == belief else repr(float(belief))


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
#: Kinds of swing, in the order of parts: readiness and area.
KINDS: Final = (*(("drive", area) for area in AREAS), ("protect", "whole"))
#: A pure take, then each kind of swing at each node of surprise.
PARTS: Final = 1 + len(KINDS) * NODES
#: Swings that a hitter who takes may choose for the rest, where games begin: a driver always gains
#: by an area.
RESTS: Final = tuple(
    Look(readiness, belief, area)
    for readiness, area in KINDS
    for belief in (0.02, 0.2, 0.4, 0.6, 0.8, 0.98)
    if readiness == "protect" or area != "whole"
)
#: Where games begin: taking with his usual swing for the rest, swings, taking with a chosen rest.
LOOKS: Final = (
    TAKE,
    *(Look(readiness, belief, area) for readiness, area in KINDS for belief in BELIEFS),
    *(Look("take", rest.belief, rest.area, rest.readiness) for rest in RESTS),
)
_PLACE: Final = MappingProxyType({look: place for place, look in enumerate(LOOKS)})


def place_of(look: Look) -> int:
    """Return where a look stands in `LOOKS`."""
    return _PLACE[look]


def places(readiness: str, area: str = "whole") -> Ints:
    """Return where the looks of one readiness and area stand, by belief."""
    return np.array([_PLACE[Look(readiness, belief, area)] for belief in BELIEFS])


@dataclass(frozen=True, eq=False)
class Columns:
    """Looks as parts weigh them.

    Attributes
    ----------
    weights : array (fast or soft, parts, looks)
        Of the swing of each look, or of a taker's rest; noughts for his usual swings.
    takes : array (looks,)
        Whether it takes, as far as his patience goes.
    usual : array (looks,)
        Whether his usual swings are the rest.
    """

    weights: Floats
    takes: Bools
    usual: Bools


def columns(looks: Sequence[Look]) -> Columns:
    """Return how looks are made of parts."""
    weights = np.zeros((2, PARTS, len(looks)))
    takes = np.array([look.readiness == TAKE.readiness for look in looks])
    usual = np.array([look == TAKE for look in looks])
    swings = np.flatnonzero(~usual)
    swung = [look for look in looks if look != TAKE]
    beliefs = np.array([look.belief for look in swung])
    kinds = [KINDS.index((look.rest or look.readiness, look.area)) for look in swung]
    places = 1 + NODES * np.array(kinds, dtype=np.intp)[:, None] + np.arange(NODES)
    for side in (FAST, SOFT):
        weights[side, places, swings[:, None]] = beliefs_room.weights(beliefs, side)
    return Columns(weights, takes, usual)


#: `LOOKS` as parts weigh them; every kind of swing at each belief of the lattice, (2, beliefs,
#: nodes).
_COLUMNS: Final = columns(LOOKS)
LATTICE_WEIGHTS: Final = np.stack(
    [beliefs_room.weights(np.array(LATTICE), side) for side in (FAST, SOFT)]
)


def surprise(family: str, league: League, expected: Floats) -> Floats:
    """Return surprise at a family, (12 counts, n) nats.

    Fast or not, as it was fitted: splitting the soft mass by a fixed share would make the rarer
    soft pitch a surprise that no hitter could ever learn to expect. Nought is the league's own
    expectation in each count, which `League.steps` already holds.

    Parameters
    ----------
    family : str
    league : League
    expected : array (n,)
        Minus the log of the probability he gave a fast pitch, or a soft one if this is one.
    """
    usual = league.fast_share.reshape(12, 1)
    usual = np.clip(usual if family == "fast" else 1.0 - usual, LOWEST, HIGHEST)
    return np.asarray(np.log(usual) + expected, dtype=np.float64)


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


def usual_parts(hitter: HitterBelief) -> Floats:
    """Return his usual swings by parts, (fast or soft, 12 counts, parts)."""
    parts: Floats = np.matmul(usual_swing(hitter).reshape(12, -1), _COLUMNS.weights.swapaxes(1, 2))
    return parts


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
