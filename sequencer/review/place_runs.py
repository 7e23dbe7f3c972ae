"""What a pitch is worth where it crossed: the expected runs of what follows, by the league's steps.

A pitch of a family at a place, in a count, is swung at, missed, fouled off or put in play, taken
for a ball or a strike as the league says; every count it may lead to has its own worth. That makes
a table over the plane, from which a pitch measured in inches is read where it crossed; one seen by
eye, or charted as a cell, is the mean over all it may have been (see `estimates.blurred`).
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.count import COUNTS
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.levels import LEVELS
from sequencer.estimates import league as league_room
from sequencer.estimates.arrays import expit
from sequencer.estimates.blurred import ANYWHERE, GRID, entered, summed, thrown
from sequencer.estimates.chain import chain
from sequencer.estimates.entries import SEEN_FROM, Entries
from sequencer.estimates.league import League
from sequencer.estimates.places import SEEN_ERROR_IN
from sequencer.review.came_to import AFTER_BALL, AFTER_FOUL, AFTER_STRIKE, STATES, state_runs

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

#: Where the steps are asked, along one side in zone halves, and where tables are read: halfway
#: between as well. Runs so read are within .006 of the steps' own, chances of a called strike
#: within .014 (.0003 and .001 as a root mean square; measured at every level).
ASKED: Final = np.linspace(GRID[0], GRID[-1], 2 * len(GRID) - 1)
READ: Final = np.linspace(GRID[0], GRID[-1], 2 * len(ASKED) - 1)
_BY_EYE: Final = 4  # every so many points of `READ` are a dot of `GRID`
#: Counts in which the usual hitter protects.
WITH_TWO_STRIKES: Final = tuple(count.strikes == 2 for count in COUNTS)
_HIT: Final = STATES.index("hit by pitch")


class _Chances(NamedTuple):
    """What a league says of pitches, each (across, up, 4, 3); `ready`: swings of him who may."""

    ready: Floats
    miss: Floats
    foul: Floats
    called: Floats
    hit: Floats
    in_play: Floats


@lru_cache(maxsize=32)
def _chances(
    league: League,
    family: str,
    same: float,
    where: tuple[tuple[float, ...], tuple[float, ...]],
    protects: tuple[bool, ...],
) -> _Chances:
    u, v = (np.array(axis) for axis in where)
    steps = league.steps(
        family, u[:, None, None, None], v[:, None, None], np.arange(4.0)[:, None], np.arange(3.0),
        same, protect=np.reshape(protects, (4, 3)),
    )  # fmt: skip
    ready, miss, foul, called = map(
        expit, (steps.swing_ready, steps.miss, steps.foul, steps.called)
    )
    return _Chances(ready, miss, foul, called, steps.hit_by_pitch, steps.in_play)


def league_runs(
    league: League,
    family: str,
    same: float,
    where: tuple[Floats, Floats],
    states: Floats,
    takes: Floats | None = None,
    protects: tuple[bool, ...] = WITH_TWO_STRIKES,
) -> Floats:
    """Return expected runs of what follows a pitch of a family at places, (across, up, 12 counts).

    Parameters
    ----------
    league : League
    family : str
        fast, breaking, off-speed or unknown.
    same : float
        1 when thrown from the side he hits from, 0 when not, .5 when unknown.
    where : ndarray, shape (across,); ndarray, shape (up,)
        Zone halves.
    states : ndarray, shape (states,)
        Runs of what a pitch can lead to; see `came_to.STATES`.
    takes : ndarray, shape (4, 3), optional
        Share of pitches taken whatever comes; the level's habit when not given.
    protects : tuple of bool
        Whether he protects in each of the 12 counts, else drives.
    """
    u, v = (tuple(axis.tolist()) for axis in where)
    ready, miss, foul, called, hit, in_play = _chances(league, family, same, (u, v), protects)
    ball, strike, fouled = (
        states[after].reshape(4, 3) for after in (AFTER_BALL, AFTER_STRIKE, AFTER_FOUL)
    )
    swing = (1.0 - (league.take_share if takes is None else takes)) * ready
    swung = miss * strike + (1.0 - miss) * (foul * fouled + (1.0 - foul) * in_play)
    left = hit * states[_HIT] + (1.0 - hit) * (called * strike + (1.0 - called) * ball)
    runs: Floats = swing * swung + (1.0 - swing) * left
    return runs.reshape(len(u), len(v), 12)


@lru_cache(maxsize=16)
def level_states(level: str) -> Floats:
    """Return the runs of every state at a level, (states,), relative to before the at-bat.

    Counts are worth what the level's own steps add up to over where its pitches go
    (`estimates.chain`), so that the mean pitch of the level in a count is worth nought.
    """
    at = LEVELS[level]
    ends = ("walk", "strikeout", "hit by pitch")
    found = chain(
        league_room.load(level), {end: event_value(end, at.runs_per_game) for end in ends}
    )
    return state_runs((found.value + found.start).ravel(), at.runs_per_game)


@dataclass(frozen=True, eq=False)
class PlaceRuns:
    """Tables of one family.

    Attributes
    ----------
    level : str
    runs : ndarray, shape (read, read, 12)
        Expected runs of what follows, at the points of `READ` across and up.
    called : ndarray, shape (read, read, 12)
        Chance that a pitch taken there is called a strike.
    thrown, taken : ndarray, shape (dots, dots, 12)
        How often the level's pitches go to each dot of `GRID`, and are taken there.
    """

    level: str
    runs: Floats
    called: Floats
    thrown: Floats
    taken: Floats

    def runs_of(self, entries: Entries, count: Codes) -> Floats:
        """Return the expected runs of pitches by where they were seen, (n,); nan where not."""
        return _mean(self.runs, self.thrown, self.level, entries, count)

    def called_of(self, entries: Entries, count: Codes) -> Floats:
        """Return the chance that pitches taken there are called strikes, (n,); nan where unseen."""
        return _mean(self.called, self.taken, self.level, entries, count)


@lru_cache(maxsize=64)
def usual_places(level: str, family: str, same: float) -> PlaceRuns:
    """Return the tables of a level's usual hitter, who brings his level's habit."""
    at = league_room.load(level)
    runs = league_runs(at, family, same, (ASKED, ASKED), level_states(level))
    return places_with(at, family, same, runs)


def places_with(league: League, family: str, same: float, runs: Floats) -> PlaceRuns:
    """Return the tables of a family whose runs are known at the points `ASKED`, (.., .., 12)."""
    asked = tuple(ASKED.tolist())
    ready = _chances(league, family, same, (asked, asked), WITH_TWO_STRIKES).ready[::2, ::2]
    went, dots = thrown(league, family), (len(GRID), len(GRID), 12)
    left = went * (1.0 - (1.0 - league.take_share) * ready)
    called = _called(league, family)
    return PlaceRuns(league.level, between(runs), called, went.reshape(dots), left.reshape(dots))


@lru_cache(maxsize=32)
def _called(league: League, family: str) -> Floats:
    """Return chances of a called strike where tables are read; from either side alike."""
    u, v = ASKED[:, None, None, None], ASKED[:, None, None]
    chances = expit(league.called(family, u, v, np.arange(4.0)[:, None], np.arange(3.0)))
    every = np.broadcast_to(chances, (len(ASKED), len(ASKED), 4, 3))
    return np.clip(between(every.reshape(len(ASKED), len(ASKED), 12)), 0.0, 1.0)


def between(table: Floats) -> Floats:
    """Return a table (n, n, ...) with the points halfway between: (2 n - 1, 2 n - 1, ...).

    Four-point cubic interpolation (Lagrange's, at the middle), straight at the rim.
    """
    for axis in (0, 1):
        known = np.moveaxis(table, axis, 0)
        middle = (known[1:] + known[:-1]) / 2.0
        middle[1:-1] = (9.0 * (known[1:-2] + known[2:-1]) - known[:-3] - known[3:]) / 16.0
        both = np.empty((2 * len(known) - 1, *known.shape[1:]))
        both[::2], both[1::2] = known, middle
        table = np.moveaxis(both, 0, axis)
    return np.ascontiguousarray(table)


def _mean(table: Floats, weight: Floats, level: str, entries: Entries, count: Codes) -> Floats:
    """Return a table's values where pitches were seen, (n,): see the module."""
    found = np.full(len(count), np.nan)
    sure = np.flatnonzero(entries.measured)
    found[sure] = _read(table, entries.u[sure], entries.v[sure], count[sure])
    dots = table[::_BY_EYE, ::_BY_EYE]
    for seen in np.unique(entries.seen[~entries.measured]).tolist():
        across, up = entered(level, SEEN_ERROR_IN[SEEN_FROM[seen]])
        mean = summed(across, up, weight * dots) / summed(across, up, weight)
        own = np.flatnonzero(~entries.measured & (entries.seen == seen))
        found[own] = mean[entries.column[own], entries.row[own], count[own]]
    nowhere = (entries.column == ANYWHERE) & (entries.row == ANYWHERE)
    found[nowhere & ~entries.measured] = np.nan
    return found


def _read(table: Floats, u: Floats, v: Floats, count: Codes) -> Floats:
    """Return a table's values at places, (n,), straight between its points; its rim beyond."""
    (i, x), (j, y) = _point(u), _point(v)
    low = (1.0 - y) * table[i, j, count] + y * table[i, j + 1, count]
    high = (1.0 - y) * table[i + 1, j, count] + y * table[i + 1, j + 1, count]
    return np.asarray((1.0 - x) * low + x * high)


def _point(place: Floats) -> tuple[Codes, Floats]:
    """Return the point below each place and how far on to the next it is, nought to one."""
    steps = (np.clip(place, READ[0], READ[-1]) - READ[0]) / (READ[1] - READ[0])
    point = np.minimum(steps.astype(np.int64), len(READ) - 2)
    return point, steps - point
