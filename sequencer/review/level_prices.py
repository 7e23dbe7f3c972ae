"""Prices of a level: what pitches are worth to its usual hitter, with its usual miss."""

from dataclasses import dataclass
from functools import lru_cache
from math import erf
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import levels
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.zone import HALF_WIDTH_IN, aim_uv
from sequencer.estimates.blurred import GRID
from sequencer.estimates.misses import LOST
from sequencer.estimates.pitcher import LOST_WIDER
from sequencer.review.coded import Coded
from sequencer.review.place_runs import PlaceRuns, level_states, usual_places
from sequencer.review.prices import NAMES, Pitches, Values, apart, level_of, pitches_of

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]

_DOT: Final = float(GRID[1] - GRID[0])


@dataclass(frozen=True, eq=False)
class LevelPrices:
    """Prices of a level: its usual hitter with his usual looks, its usual miss.

    What gets away from a catcher is left out, as it is from the log of pitches.
    """

    level: str
    same: float

    @property
    def states(self) -> Floats:
        """Runs of what a pitch can lead to."""
        return level_states(self.level)

    def place(self, family: str) -> PlaceRuns:
        """Return the tables of a family."""
        return usual_places(self.level, family, self.same)

    def call(self, pitch: str, target: str) -> Floats | None:
        """Return the expected runs of a call, (12,), None for a pitch of no family."""
        if TYPES.get(pitch, "unknown") == "unknown":
            return None
        return _usual_call(self.level, TYPES[pitch], self.same, target)


@lru_cache(maxsize=1024)
def _usual_call(level: str, family: str, same: float, target: str) -> Floats:
    """Return the expected runs of a call of a family with a level's usual miss, (12,)."""
    at, table = levels.LEVELS[level], usual_places(level, family, same).runs
    every = len(table) // (len(GRID) - 1)
    dots = table[::every, ::every]
    scale = (HALF_WIDTH_IN, at.zone.centre_half_height_in)
    found = np.zeros(12)
    for share, wider in ((1.0 - LOST, 1.0), (LOST, LOST_WIDER)):
        across, up = (
            _chances(middle, wider * at.spread_in[family] / inches)
            for middle, inches in zip(aim_uv(target, at.zone), scale, strict=True)
        )
        found += share * np.einsum("i,j,ijk->k", across, up, dots)
    return found


def _chances(aim: float, spread: float) -> Floats:
    """Return the chance of each dot of `GRID` for normal throws, what is beyond at its rim."""
    sides = (GRID[:-1] + _DOT / 2 - aim) / spread
    below = [0.5 * (1.0 + erf(side / 2**0.5)) for side in sides.tolist()]
    return np.diff(np.array([0.0, *below, 1.0]))


def level_values(pitches: Pitches) -> Values:
    """Return the values of every pitch by its level's prices."""
    values = Values.empty(len(pitches.count))
    at = level_of(pitches.level)
    for code, own in apart((4 * at + 2 * pitches.same).astype(np.int64), np.arange(len(at))):
        level, same = divmod(code, 4)
        pitches.fill(values, own, LevelPrices(NAMES[level], same / 2))
    return values


def usual_values(frame: "pd.DataFrame", log: Coded) -> Values:
    """Return what every pitch of a log was worth on its way, by its level's tables.

    Parameters
    ----------
    frame : DataFrame
        The log `log` was coded from.
    log : Coded
    """
    return level_values(pitches_of(frame, log))
