"""How many runs a half still brings from each base-out state: a chain of plate appearances.

Plate appearances follow each other independently, runners go as counted (`advancing`), and one
number, how often hitters reach, is set so that a half brings the level's runs. The whole
distribution is kept, since late in a game one run and three are not three times apart.
"""

from dataclasses import dataclass
from functools import cache, cached_property
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.advancing import outs_in_play, results
from sequencer.baseball.run_tables import INNINGS, base_index
from sequencer.baseball.situation import Bases
from sequencer.errors import BadInput

Floats = NDArray[np.float64]

#: Plate appearances by how they ended, of 437,603: counted here from Retrosheet 2016, 2019 and
#: 2020 (`count_table.NOTICE`); at other levels the split of those who reach is an assumption.
COUNTED: Final = MappingProxyType(
    {
        "single": 62_557,
        "double": 19_608,
        "triple": 1_899,
        "home run": 14_690,
        "walk": 35_188 + 1_887,
        "hit by pitch": 4_456,
        "error": 3_484,
        "catcher's interference": 137,
        "strikeout": 97_391,
        "out in play": 181_052 + 9_432 + 2_716 + 1_807 + 1_299,
    }
)
_OUTS: Final = ("strikeout", "out in play")
_IN_PLAY: Final = ("single", "double", "triple", "home run", "error", "out in play")
#: Share of plate appearances with a runner on in which every runner moves up between pitches (wild
#: pitch, passed ball, balk): 7,103 of 725,143 plate appearances (Tango, Lichtman and Dolphin 2006,
#: table 4), .468 of them with a runner on (Project Scoresheet 1984-94).
LOOSE: Final = 7_103 / (0.468 * 725_143)
#: A runner on first with second open steals it, or is caught: 10,259 and 3,734 (same table) over
#: the .227 of plate appearances that begin so (1984-94); that all are of second is an assumption.
STEALS: Final = (10_259 / (0.227 * 725_143), 3_734 / (0.227 * 725_143))
#: Runs of one half kept apart; more are counted as so many (less than 1 half in 10,000 at 9 runs).
MOST_RUNS: Final = 24
#: Runs of one plate appearance.
_AT_ONCE: Final = 4
#: Bases of each of the eight states, in the order of `run_tables.BASE_STATES`.
_BASES: Final[tuple[Bases, ...]] = tuple(
    ("1" if state & 1 else "", "2" if state & 2 else "", "3" if state & 4 else "")
    for state in range(8)
)


def state_of(bases: Bases, outs: int) -> int:
    """Return 0..23, eight base states for each number of outs."""
    return 8 * outs + base_index(bases)


@dataclass(frozen=True, eq=False)
class HalfInning:
    """The chain of one half.

    Attributes
    ----------
    moves : array (5, 24, 24)
        Chance of each next state, with 0 to 4 runs on the way; what is missing ends the half.
    """

    moves: Floats

    @cached_property
    def ends(self) -> Floats:
        """(24,): chance that the half ends on the next plate appearance; no run counts on it."""
        left: Floats = 1.0 - self.moves.sum(axis=(0, 2))
        return left

    @cached_property
    def runs(self) -> Floats:
        """(24, MOST_RUNS + 1): chance of so many runs from each state to the end of the half."""
        still = np.linalg.inv(np.eye(24) - self.moves[0])
        chances = np.zeros((24, MOST_RUNS + 1))
        for scored in range(MOST_RUNS + 1):
            come = self.ends.copy() if scored == 0 else np.zeros(24)
            for now in range(1, min(scored, _AT_ONCE) + 1):
                come += self.moves[now] @ chances[:, scored - now]
            chances[:, scored] = still @ come
        chances[:, -1] += 1.0 - chances.sum(axis=1)
        return chances

    def limited(self, most: int) -> Floats:
        """(24, MOST_RUNS + 1): the same when the half ends with so many more runs."""
        if most >= MOST_RUNS:
            return self.runs
        cut = np.zeros_like(self.runs)
        cut[:, :most] = self.runs[:, :most]
        cut[:, max(most, 0)] = self.runs[:, max(most, 0) :].sum(axis=1)
        return cut

    @property
    def expected(self) -> Floats:
        """(24,): runs expected from each state to the end of the half."""
        counts: Floats = np.arange(MOST_RUNS + 1.0)
        mean: Floats = self.runs @ counts
        return mean


Counts = tuple[tuple[str, float], ...]
_COUNTED: Final[Counts] = tuple(COUNTED.items())


@cache
def half_inning(
    runs_per_game: float,
    *,
    error_share: float | None = None,
    loose: float = LOOSE,
    counts: Counts = _COUNTED,
) -> HalfInning:
    """Return the half of a level of scoring.

    Parameters
    ----------
    runs_per_game : float
        Runs of one side in nine innings, 1 to 20; how often hitters reach is set to bring them.
    error_share : float, optional
        Share of balls in play on which the hitter reaches by an error; as counted when absent.
    loose : float
        Share of plate appearances with a runner on in which all move up between pitches.
    counts : tuple of (how it ended, number)
        Plate appearances of a league, in the words of `COUNTED`.

    Raises
    ------
    BadInput
        If the runs are out of range.
    """
    if not 1.0 <= runs_per_game <= 20.0:
        raise BadInput(f"{runs_per_game:g} runs a game is out of range: use 1 to 20.")
    parts = _parts()
    between = _between(loose)
    low, high = -4.0, 4.0
    for _ in range(40):
        middle = (low + high) / 2
        made = _chain(parts, between, _shares(middle, error_share, dict(counts)))
        low, high = (middle, high) if _per_game(made) < runs_per_game else (low, middle)
    return made


def _per_game(half: HalfInning) -> float:
    """Return runs in nine innings, from the means alone."""
    at_once = np.arange(_AT_ONCE + 1.0) @ half.moves.sum(axis=2)
    return INNINGS * float(np.linalg.solve(np.eye(24) - half.moves.sum(axis=0), at_once)[0])


def _shares(reach: float, error_share: float | None, counts: dict[str, float]) -> dict[str, float]:
    """Shares of how plate appearances end, with the odds of reaching moved by `reach` (log)."""
    if error_share is not None:
        played = sum(counts[name] for name in _IN_PLAY)
        spare = counts["error"] + counts["out in play"]
        counts["error"] = min(error_share * played, 0.9 * spare)
        counts["out in play"] = spare - counts["error"]
    moved = {
        name: count * (1.0 if name in _OUTS else float(np.exp(reach)))
        for name, count in counts.items()
    }
    total = sum(moved.values())
    return {name: count / total for name, count in moved.items()}


@cache
def _parts() -> dict[str, Floats]:
    """(5, 24, 24) of every way a plate appearance ends."""
    return {name: _moves_of(name) for name in COUNTED}


def _moves_of(name: str) -> Floats:
    moves = np.zeros((_AT_ONCE + 1, 24, 24))
    for outs in range(3):
        for bases in _BASES:
            kinds = outs_in_play(bases, outs) if name == "out in play" else {name: 1.0}
            for kind, part in kinds.items():
                for end in results(kind, bases, outs) if part else ():
                    if end.outs < 3:
                        where = end.runs, state_of(bases, outs), state_of(end.bases, end.outs)
                        moves[where] += part * end.share
    return moves


def _between(loose: float) -> Floats:
    """(5, 24, 24): what runners do between plate appearances; a third out is left out."""
    moves = np.zeros((_AT_ONCE + 1, 24, 24))
    for outs in range(3):
        for bases in _BASES:
            here, still = state_of(bases, outs), 1.0
            first, second, third = bases
            if any(bases):
                up: Bases = ("", first, second)
                moves[int(bool(third)), here, state_of(up, outs)] += loose
                still -= loose
            if first and not second:
                safe, caught = STEALS
                moves[0, here, state_of(("", first, third), outs)] += safe
                if outs < 2:
                    moves[0, here, state_of(("", "", third), outs + 1)] += caught
                still -= safe + caught
            moves[0, here, here] += still
    return moves


def _chain(parts: dict[str, Floats], between: Floats, shares: dict[str, float]) -> HalfInning:
    """Put what happens between plate appearances before each of them."""
    moves, ended = np.zeros((2, _AT_ONCE + 1, 24, 24))
    for name, part in parts.items():
        ended += shares[name] * part
    for before in range(2):
        for scored in range(_AT_ONCE + 1):
            # No five runs come of one plate appearance often enough to be kept apart.
            moves[min(before + scored, _AT_ONCE)] += between[before] @ ended[scored]
    return HalfInning(moves)
