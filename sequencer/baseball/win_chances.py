"""The chance to win from any inning, score, bases and outs: half-innings in a row.

Both sides score alike and nobody has the advantage of home. What happens is then worth the change
in the chance to win, told in runs: divided by the win chance of one run at the start of an even
game, so that whoever reads it keeps one unit.
"""

from dataclasses import dataclass
from functools import cache, cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.half_innings import LOOSE, MOST_RUNS, HalfInning, half_inning, state_of
from sequencer.baseball.rules import RuleSet, game_over, placed_runner
from sequencer.baseball.situation import EMPTY, Bases
from sequencer.errors import BadInput

Floats = NDArray[np.float64]

#: Leads kept apart; a longer one is as good as this.
MOST_LEAD: Final = 40
_LEADS: Final = np.arange(-MOST_LEAD, MOST_LEAD + 1)
_PLACED: Final[Bases] = ("", "runner", "")


@dataclass(frozen=True)
class Score:
    """Where a game is: inning, half (top, bottom), the home side's lead, runs of this half."""

    inning: int
    half: str
    home_lead: int = 0
    half_runs: int = 0

    def __post_init__(self) -> None:
        if self.inning < 1 or self.half not in ("top", "bottom"):
            raise BadInput(f"There is no {self.half} of inning {self.inning}.")


@dataclass(frozen=True, eq=False)
class WinChances:
    """Chances of the home side to win a game by some rules, at one level of scoring.

    Attributes
    ----------
    rules : RuleSet
        Innings, run rule, run limit of a half and placed runner are used; time limits are not.
    half : HalfInning
    """

    rules: RuleSet
    half: HalfInning

    @cached_property
    def _starts(self) -> dict[tuple[int, str], Floats]:
        """Win chance of the home side at the start of each half, by its lead (LEADS).

        Two sides that score alike have even chances at the start of every extra inning.
        """
        last = self.rules.innings
        even = np.where(_LEADS == 0, 0.5, (_LEADS > 0).astype(np.float64))
        found = {(last + 1, "top"): even}
        for inning in range(last, 0, -1):
            for half in ("bottom", "top"):
                found[inning, half] = self._before(inning, half, self._after(inning, half, found))
        return found

    def _after(self, inning: int, half: str, starts: dict[tuple[int, str], Floats]) -> Floats:
        """Win chance of the home side once a half is over, by its lead."""
        if inning > self.rules.innings:
            ended = (inning, half, starts[self.rules.innings + 1, "top"])
        else:
            ended = (inning, half, starts[_next(inning, half)])
        return self._settled(*ended)

    def _settled(self, inning: int, half: str, then: Floats) -> Floats:
        """Leads that end the game when this half is over are won or lost."""
        over = [
            bool(game_over(self.rules, inning, half, 0, int(lead), half_done=True))
            for lead in _LEADS
        ]
        return np.where(over, (_LEADS > 0).astype(np.float64), then)

    def _before(self, inning: int, half: str, after: Floats) -> Floats:
        start = state_of(_PLACED if placed_runner(self.rules, inning) else EMPTY, 0)
        return _scored(self._runs(0)[start], after, 1 if half == "bottom" else -1)

    def _runs(self, so_far: int) -> Floats:
        limit = self.rules.half_run_limit
        return self.half.runs if limit is None else self.half.limited(max(limit - so_far, 0))

    def ends(self, inning: int, half: str) -> Floats:
        """Win chance of the home side once this half is over, by its lead (-40..40)."""
        if inning <= self.rules.innings:
            return self._after(inning, half, self._starts)
        even = self._starts[self.rules.innings + 1, "top"]
        if half == "bottom":
            return self._settled(inning, half, even)
        closing = self._before(inning, "bottom", self._settled(inning, "bottom", even))
        return self._settled(inning, half, closing)

    @cached_property
    def run(self) -> float:
        """The win chance of one run at the start of an even game: the unit of `worth`."""
        start = self._starts[1, "top"]
        middle = MOST_LEAD
        return float(start[middle + 1] - start[middle - 1]) / 2.0

    def home(self, score: Score, bases: Bases = EMPTY, outs: int = 0) -> float:
        """Return the home side's chance to win; three outs are the end of the half."""
        return float(self.table(score)[0, state_of(bases, outs)])

    def table(self, score: Score) -> Floats:
        """Return the home side's chance, (5, 32), with 0 to 4 runs more by state (outs 0 to 3)."""
        after = self.ends(score.inning, score.half)
        way = 1 if score.half == "bottom" else -1
        found = np.empty((5, 32))
        for more in range(5):
            runs = self._runs(score.half_runs + more)
            lead = score.home_lead + way * more
            found[more, :24] = _scored(runs, after, way)[_place(lead)]
            found[more, 24:] = after[_place(lead)]
            if self._over(score, lead):
                found[more] = float(lead > 0)
        return found

    def _over(self, score: Score, lead: int) -> bool:
        reason = game_over(self.rules, score.inning, score.half, 0, lead, half_done=False)
        return bool(reason)

    def worth(self, score: Score) -> Floats:
        """Return what each state is worth to the hitters in runs, (5, 32): see `table`."""
        side = 1.0 if score.half == "bottom" else -1.0
        worth: Floats = side * self.table(score) / self.run
        return worth


def _next(inning: int, half: str) -> tuple[int, str]:
    return (inning, "bottom") if half == "top" else (inning + 1, "top")


def _place(lead: int) -> int:
    return min(max(lead, -MOST_LEAD), MOST_LEAD) + MOST_LEAD


def _scored(runs: Floats, after: Floats, way: int) -> Floats:
    """Mean over runs still to come: (LEADS,) of runs (n,), (LEADS, states) of (states, n)."""
    leads = np.clip(_LEADS[:, None] + way * np.arange(MOST_RUNS + 1), -MOST_LEAD, MOST_LEAD)
    mean: Floats = after[leads + MOST_LEAD] @ runs.T
    return mean


@cache
def win_chances(
    rules: RuleSet,
    runs_per_game: float,
    *,
    error_share: float | None = None,
    loose: float = LOOSE,
) -> WinChances:
    """Return the chances of a game by these rules; arguments as of `half_inning`."""
    half = half_inning(runs_per_game, error_share=error_share, loose=loose)
    return WinChances(rules, half)
