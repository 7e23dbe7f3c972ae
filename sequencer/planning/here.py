"""What each base-out state is worth to the hitters in a real situation, in runs.

By run expectancy when only bases and outs are known. With inning and score it is the change in
the chance to win, divided by what one run brings at the start of an even game: early in an even
game the two are nearly the same (walks and strikeouts within .09 runs and an eighth), and late in a
close one they are not. A game that is as good as decided goes by runs again, since nothing would
matter in it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball import runs
from sequencer.baseball.advancing import Result, outs_in_play, results
from sequencer.baseball.half_innings import LOOSE, half_inning, state_of
from sequencer.baseball.levels import Level
from sequencer.baseball.rules import RuleSet, rule_set
from sequencer.baseball.situation import EMPTY, Bases
from sequencer.baseball.win_chances import Score, WinChances, win_chances
from sequencer.errors import BadInput
from sequencer.planning.arrays import Floats

#: Chance that a pitch in the dirt gets away from an average catcher with a runner on. For
#: professionals 6,478 wild pitches and passed balls on some 1.2 million pitches with a runner on
#: (Tango, Lichtman and Dolphin 2006, table 4) over 7 pitches in 100 in the dirt (assumption); below
#: them assumption.
GETS_AWAY: Final = MappingProxyType(
    {
        "pro": 0.07,
        "college": 0.10,
        "17-18": 0.15,
        "15-16": 0.18,
        "13-14": 0.25,
        "11-12": 0.40,
        "9-10": 0.50,
    }
)
#: A side with a smaller chance than this has as good as lost (assumption).
DECIDED: Final = 0.02
_BASES: Final[tuple[Bases, ...]] = tuple(
    ("on" if i & 1 else "", "on" if i & 2 else "", "on" if i & 4 else "") for i in range(8)
)


@dataclass(frozen=True, slots=True)
class Moment:
    """A real situation.

    Attributes
    ----------
    bases : who is on base, "" for an empty one
    outs : int
    inning : int or None
        None when inning and score do not count: bases and outs alone.
    half : top or bottom; the home side hits in the bottom
    lead : runs of the side in the field less the hitters'
    half_runs : runs of this half so far, where the rules limit them
    """

    bases: Bases = EMPTY
    outs: int = 0
    inning: int | None = None
    half: str = "top"
    lead: int = 0
    half_runs: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.outs <= 2:
            raise BadInput(f"There cannot be {self.outs} out: outs go from 0 to 2.")
        if self.inning is not None and self.inning < 1:
            raise BadInput(f"There is no inning {self.inning}: they count from 1.")
        if self.half not in ("top", "bottom"):
            raise BadInput(f"'{self.half}' is no half of an inning: use top or bottom.")

    @property
    def score(self) -> Score | None:
        """Where the game is, seen from the home side; None when that does not count."""
        if self.inning is None:
            return None
        home = self.lead if self.half == "top" else -self.lead
        return Score(self.inning, self.half, home, self.half_runs)

    def after(self, bases: Bases, outs: int, scored: int = 0) -> "Moment":
        """Return the moment with these on base and out, and so many more runs in."""
        return Moment(
            bases, outs, self.inning, self.half, self.lead - scored, self.half_runs + scored
        )


@dataclass(frozen=True, eq=False)
class Here:
    """What every state is worth from here.

    Attributes
    ----------
    moment : Moment
    worth : (5, 32)
        Runs to the hitters with 0 to 4 runs more, by base-out state; outs 0 to 3.
    win : float or None
        The hitters' chance to win before the at-bat, where inning and score are known.
    by_win : bool
        Whether `worth` goes by the chance to win rather than by runs.
    """

    moment: Moment
    worth: Floats = field(repr=False)
    win: float | None = None
    by_win: bool = False

    @cached_property
    def _now(self) -> float:
        return self.value(self.moment.bases, self.moment.outs)

    def value(self, bases: Bases, outs: int, scored: int = 0) -> float:
        """Return what a state is worth, so many runs having scored on the way there."""
        return float(self.worth[scored, state_of(bases, outs)])

    def gain(self, bases: Bases, outs: int, scored: int = 0) -> float:
        """Return the same less what it is worth now."""
        return self.value(bases, outs, scored) - self._now

    def play(self, play: str) -> float:
        """Return the mean runs of a play, or of how an at-bat ends, relative to now."""
        ends = results(play, self.moment.bases, self.moment.outs)
        return self._mean(ends) - self._now

    def out_in_play(self) -> float:
        """Return the same of a ball in play that is caught or thrown out."""
        kinds = outs_in_play(self.moment.bases, self.moment.outs)
        return sum(part * self.play(kind) for kind, part in kinds.items() if part)

    def _mean(self, ends: Iterable[Result]) -> float:
        return sum(end.share * self.value(end.bases, end.outs, end.runs) for end in ends)


def here(moment: Moment, level: Level, rules: RuleSet | None = None) -> Here:
    """Return what states are worth in a situation.

    Parameters
    ----------
    moment : Moment
    level : Level
        Its run environment.
    rules : RuleSet, optional
        Innings, run rule and limit of a half; the level's usual ones when absent.
    """
    played = rules or rule_set(level.rules)
    score = moment.score
    if score is None:
        return Here(moment, _by_runs(moment, level, played))
    chances = chances_at(level, played)
    home = chances.home(score, moment.bases, moment.outs)
    win = home if moment.half == "bottom" else 1.0 - home
    if min(win, 1.0 - win) < DECIDED:
        return Here(moment, _by_runs(moment, level, played), win)
    return Here(moment, chances.worth(score), win, by_win=True)


def chances_at(level: Level, rules: RuleSet) -> WinChances:
    """Return the win chances of a level's games; balls get away as they do there."""
    return win_chances(
        rules, level.runs_per_game, error_share=level.error_share, loose=_loose(level)
    )


def _loose(level: Level) -> float:
    """As often as for professionals, times how much more often a ball in the dirt gets away."""
    return LOOSE * GETS_AWAY[level.name] / GETS_AWAY["pro"]


def _by_runs(moment: Moment, level: Level, rules: RuleSet) -> Floats:
    """Run expectancy, cut where a half ends with so many runs."""
    table = runs.scaled(runs.STANDARD, level.runs_per_game)
    coming = np.array(
        [runs.expectancy(table, bases, outs) for outs in range(4) for bases in _BASES]
    )
    scored = np.arange(5.0)
    if rules.half_run_limit is None:
        worth: Floats = scored[:, None] + coming
        return worth
    left = max(rules.half_run_limit - moment.half_runs, 0)
    half = half_inning(level.runs_per_game, error_share=level.error_share, loose=_loose(level))
    worth = np.repeat(np.minimum(scored, float(left))[:, None], 32, axis=1)
    counts = np.arange(half.runs.shape[1])
    for more in range(5):
        kept = half.limited(max(left - more, 0)) @ counts / half.expected
        worth[more, :24] += coming[:24] * kept
    return worth
