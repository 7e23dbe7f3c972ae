"""The league's steps where pitches were seen: on a fine lattice, or averaged over unsure places.

A chart gives a cell, a dot seen from the dugout, or no place. Every place it may have been counts
by how often pitches of its family go there in its count, times the chance of its being entered as
it was. Later steps keep to what came before: a miss is averaged over places swung at. The averages
are worked out once for every dot of a grid and every cell; a trait moves an average less than it
moves its places, so that a coarse log does not look like a sharp one.
"""

from functools import lru_cache
from math import erf
from typing import Final, NamedTuple

import numpy as np

from sequencer.baseball import levels, zone
from sequencer.baseball.pitches import FAMILIES
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.errors import BadInput
from sequencer.estimates.arrays import Floats, Ints, expit, logit
from sequencer.estimates.league import League
from sequencer.estimates.traits import STEPS, areas_at

#: Dots of the grid along one side, zone halves: what is beyond is at its rim. An error of two
#: inches is more than a step of it, so that sums over it are as good as integrals.
GRID: Final = np.linspace(-3.2, 3.2, 33)
_STEP: Final = float(GRID[1] - GRID[0])
_NOWHERE: Final = np.inf
#: Sides of the columns from in to away, and of the rows from below to above, halves of the zone as
#: named; the last is a place of which nothing was said.
_SIDES: Final = (
    *((-_NOWHERE, -1.0), (-1.0, -1 / 3), (-1 / 3, 1 / 3), (1 / 3, 1.0), (1.0, _NOWHERE)),
    (-_NOWHERE, _NOWHERE),
)
ANYWHERE: Final = len(GRID) + len(_SIDES) - 1
#: Density of pitches lost anywhere, a square zone half: keeps far dots where they were seen.
_LOST: Final = 1e-4
#: Which of `STEPS` are yes or no.
_CHOICES: Final = np.array([step != "in_play" for step in STEPS])


class Blurred(NamedTuple):
    """Averages by where it was entered across and up, balls and strikes.

    Attributes
    ----------
    base : array (places, places, 4, 3, steps)
        Log odds of the average chance (runs for `in_play`), in the order of `STEPS`.
    areas : array (places, places, 4, 3, steps, areas)
        How much of each area's effect is left.
    """

    base: Floats
    areas: Floats


def dot(x: Floats) -> Ints:
    """Return which dot of the grid is nearest."""
    return np.asarray(np.clip(np.rint((x - GRID[0]) / _STEP), 0, len(GRID) - 1), dtype=np.intp)


@lru_cache(maxsize=512)
def cell(word: str, bats: str) -> tuple[int, int]:
    """Return where a place in words stands across and up; `ANYWHERE` where it leaves that open."""
    try:
        word = zone.to_hitter(zone.to_catcher(word, bats), bats)
    except BadInput:
        return ANYWHERE, ANYWHERE
    row, _, column = word.partition("-")
    if word in zone.COLUMNS:
        row, column = "", word
    rows, columns = zone.ROWS[::-1], zone.COLUMNS
    return (
        len(GRID) + columns.index(column) if column in columns else ANYWHERE,
        len(GRID) + rows.index(row) if row in rows else ANYWHERE,
    )


#: Sides of the lattice of sharp places, zone halves; between its points the steps go straight,
#: which is within .025 in log odds, and beyond it straight on.
_LATTICE: Final = np.linspace(-3.2, 3.2, 65)
_FURTHEST: Final = 6.0


@lru_cache(maxsize=18)
def _lattice(league: League, family: str, same: float) -> Floats:
    """Return log odds (runs for `in_play`) at the lattice, (65, 65, 4, 3, steps)."""
    u, v = (x[..., None, None] for x in np.meshgrid(_LATTICE, _LATTICE, indexing="ij"))
    steps = league.steps(family, u, v, np.arange(4.0)[:, None], np.arange(3.0), same)
    hit = logit(steps.hit_by_pitch)
    found = (steps.swing_ready, steps.miss, steps.foul, steps.in_play, hit)
    return np.stack(np.broadcast_arrays(*found), axis=-1)


def sharp(
    league: League, family: str, same: float, u: Floats, v: Floats, balls: Ints, strikes: Ints
) -> Floats:
    """Return log odds (runs for `in_play`) at places seen well, (n, steps), as `STEPS` go.

    Parameters
    ----------
    league, family, same
        As in `blurred`.
    u, v, balls, strikes : array (n,)
    """
    table = _lattice(league, family, same)
    (i, x), (j, y) = (_between(place) for place in (u, v))
    low = (1.0 - y) * table[i, j, balls, strikes] + y * table[i, j + 1, balls, strikes]
    high = (1.0 - y) * table[i + 1, j, balls, strikes] + y * table[i + 1, j + 1, balls, strikes]
    return np.asarray((1.0 - x) * low + x * high)


def _between(place: Floats) -> tuple[Ints, Floats]:
    """Return the lattice point below each place, and how far on to the next it is, (n, 1)."""
    steps = (np.clip(place, -_FURTHEST, _FURTHEST) - _LATTICE[0]) / (_LATTICE[1] - _LATTICE[0])
    point = np.clip(steps, 0, len(_LATTICE) - 2).astype(np.intp)
    return point, (steps - point)[:, None]


@lru_cache(maxsize=18)
def blurred(league: League, family: str, same: float, error_in: tuple[float, float]) -> Blurred:
    """Return the averages of one family.

    Parameters
    ----------
    league : League
    family : str
        fast, breaking, off-speed or unknown.
    same : float
        1 when the pitcher throws from the side he hits from, 0 when not, between when unknown.
    error_in : pair
        Standard deviation of the error of seeing, to the side and in height, inches.
    """
    across, up = entered(league.level, error_in)
    weight, value = _at_dots(league, family, same)
    areas = areas_at(GRID[:, None], GRID)[:, :, None, None, None, :]
    total = summed(across, up, weight)
    mean = summed(across, up, weight * value) / total
    # What moving a place's log odds by one does to its value.
    slope = np.where(_CHOICES, value * (1.0 - value), 1.0)
    moved = summed(across, up, (weight * slope)[..., None] * areas) / total[..., None]
    steep = np.where(_CHOICES, np.maximum(mean * (1.0 - mean), 1e-9), 1.0)
    base = np.where(_CHOICES, logit(np.where(_CHOICES, mean, 0.5)), mean)
    return Blurred(base, (moved / steep[..., None]).astype(np.float32))


@lru_cache(maxsize=64)
def entered(level: str, error_in: tuple[float, float]) -> tuple[Floats, Floats]:
    """Return the chances of the dots' being entered across and up, each (places, dots)."""
    area = levels.level(level).zone
    half_height = area.centre_half_height_in
    across = _entered(error_in[0] / HALF_WIDTH_IN)
    return across, _entered(error_in[1] / half_height, area.half_height_in / half_height)


def _at_dots(league: League, family: str, same: float) -> tuple[Floats, Floats]:
    """Return weight and value of each step at the dots, (dots, dots, 4, 3, steps)."""
    every = (len(_LATTICE) - 1) // (len(GRID) - 1)
    value = _lattice(league, family, same)[::every, ::every].copy()
    value[..., _CHOICES] = expit(value[..., _CHOICES])
    swing, miss, foul = (value[..., STEPS.index(step)] for step in ("swing", "miss", "foul"))
    here, touched = thrown(league, family), swing * (1.0 - miss)
    taken = 1.0 - (1.0 - league.take_share) * swing
    reached = (np.ones_like(swing), swing, touched, touched * (1.0 - foul), taken)
    return np.stack([here * share for share in reached], axis=-1), value


@lru_cache(maxsize=18)
def taken(league: League, family: str) -> Floats:
    """Return how often a family goes to each dot and is taken, (dots, dots, 4, 3)."""
    return _at_dots(league, family, 0.5)[0][..., STEPS.index("hit_by_pitch")]


@lru_cache(maxsize=18)
def thrown(league: League, family: str) -> Floats:
    """Return how often a family goes to each dot in each count, (dots, dots, 4, 3)."""
    mix, (u, v) = league.mix, np.meshgrid(GRID, GRID, indexing="ij")
    kinds = [FAMILIES.index(family)] if family in FAMILIES else range(len(FAMILIES))
    found = sum(
        mix.family[f][..., None, None] * np.tensordot(mix.weights[f], mix.density(f, u, v), 1)
        for f in kinds
    )
    return np.moveaxis(np.asarray(found), (0, 1), (2, 3)) + _LOST


def _entered(error: float, named: float = 1.0) -> Floats:
    """Return the chance of each dot's being entered as each place, (places, dots).

    `named` is how far out the edge of the zone as named is, in halves of the ball's centre's.
    """
    # A cell's side lies between two dots: nothing narrower than half a step can be summed.
    error = max(error, _STEP / 2)
    dots = np.exp(-0.5 * ((GRID[:, None] - GRID) / error) ** 2)
    below = np.vectorize(lambda x: 0.5 * (1.0 + erf(x / 2**0.5)))
    sides = named * np.array(_SIDES)
    cells = [below((high - GRID) / error) - below((low - GRID) / error) for low, high in sides]
    return np.concatenate([dots, np.array(cells)])


def summed(across: Floats, up: Floats, values: Floats) -> Floats:
    """Sum values (dots, dots, ...) over the dots by how they are entered: (places, places, ...)."""
    once = np.tensordot(across, values, 1)
    return np.moveaxis(np.tensordot(up, once, (1, 1)), 0, 1)
