"""What an at-bat's ends are worth, and the runs that come by the way: on average, or right now.

A card is for the average situation. In a real one, ends are worth the change in run expectancy
that they bring, so that with the bases loaded and one out a strikeout is worth far more than a
third of a run.
"""

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball import runs
from sequencer.baseball.levels import Level
from sequencer.baseball.situation import EMPTY, Bases, may_run
from sequencer.baseball.zone import HALF_WIDTH_IN, Zone
from sequencer.errors import BadInput
from sequencer.estimates.coefficients import PLAYS
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats
from sequencer.planning.throws import Plane

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
#: A catcher's blocking, times the chance above (assumption).
BLOCKING: Final = MappingProxyType({"good": 0.6, "average": 1.0, "poor": 2.0})
#: A breaking ball in the dirt is harder to block than a fastball there (assumption).
HARDER: Final = MappingProxyType({"fast": 1.0, "breaking": 1.3, "off-speed": 1.1})
#: A pitch crossing the plate below this height bounces before the catcher; inches, and the width
#: over which it does (assumption).
DIRT_IN: Final = (6.0, 2.0)
#: Share of pitches with a runner on: plate appearances with the bases not empty among the
#: counts behind a published expectancy table (Project Scoresheet, 1984-94).
RUNNERS_ON: Final = 0.468
#: Share of strikeouts on which the hitter may run: first base empty or two out (same counts).
MAY_RUN: Final = 0.803
#: Share of pitches on which a usual runner on first goes, and what a soft pitch adds to his chance
#: of making it (assumption).
GOES: Final = 0.06
SOFT_HELPS: Final = 0.07
#: Grid of average runs of a ball in play that a real situation's worth is read from.
_RUNS_GRID: Final = np.linspace(-0.25, 0.6, 86)


@dataclass(frozen=True, slots=True)
class Moment:
    """A real situation: who is on base ("" for an empty one) and how many are out."""

    bases: Bases = EMPTY
    outs: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.outs <= 2:
            raise BadInput(f"There cannot be {self.outs} out: outs go from 0 to 2.")


@dataclass(frozen=True, eq=False)
class Stakes:
    """Runs to the hitting side, relative to before the at-bat.

    Attributes
    ----------
    walk, strikeout, hit_by_pitch : float
    wild_pitch : float
        Runs of a ball that gets away, times how likely a runner is on.
    dropped_third : float
        What a third strike that gets away adds to the strikeout.
    soft_steal : float
        Runs a soft pitch gives away to a runner who goes.
    lost : float
        Chance that a ball in the dirt gets away from this catcher.
    worth : arrays (n,), (n,) or None
        Average runs of a ball in play, and what they are worth here; None on average.
    """

    walk: float
    strikeout: float
    hit_by_pitch: float
    wild_pitch: float
    dropped_third: float
    soft_steal: float
    lost: float
    worth: tuple[Floats, Floats] | None = field(default=None)

    def in_play(self, average: Floats) -> Floats:
        """Return what a ball in play of so many average runs is worth here."""
        if self.worth is None:
            return average
        return np.interp(average, *self.worth)

    def gets_away(self, where: Plane, zone: Zone, family: str) -> Floats:
        """Return the chance that a pitch at each node gets away, (nodes,)."""
        height = zone.middle_in + zone.centre_half_height_in * where.v
        low, width = DIRT_IN
        dirt = 0.5 * (1.0 - np.tanh(0.5 * (height - low) / width))
        wide = 0.5 * (1.0 + np.tanh(0.5 * (np.abs(where.u) * HALF_WIDTH_IN - 34.0) / width))
        chance = self.lost * HARDER[family] * np.maximum(dirt, wide)
        return np.asarray(np.minimum(chance, 1.0), dtype=np.float64)


def average(level: Level, *, catcher: str = "average", dropped_third_strike: bool = True) -> Stakes:
    """Return what ends are worth in the average situation of a level.

    Parameters
    ----------
    level : Level
    catcher : str
        good, average or poor at blocking.
    dropped_third_strike : bool
        Whether the rules let the hitter run on a third strike that gets away.
    """
    walk, strikeout, hit, loose = (
        runs.event_value(event, level.runs_per_game)
        for event in ("walk", "strikeout", "hit by pitch", "wild pitch")
    )
    return Stakes(
        walk,
        strikeout,
        hit,
        RUNNERS_ON * loose,
        MAY_RUN * (walk - strikeout) if dropped_third_strike else 0.0,
        0.0,
        _lost(level, catcher),
    )


def _lost(level: Level, catcher: str) -> float:
    if catcher not in BLOCKING:
        raise BadInput(f"A catcher blocks {', '.join(BLOCKING)}; not '{catcher}'.")
    return GETS_AWAY[level.name] * BLOCKING[catcher]


def right_now(
    moment: Moment,
    level: Level,
    league: League,
    *,
    catcher: str = "average",
    dropped_third_strike: bool = True,
    lead_offs: bool = True,
) -> Stakes:
    """Return what ends are worth with these runners and outs, at this level's run expectancy.

    Parameters
    ----------
    moment : Moment
    level : Level
    league : League
        What plays a ball in play of so many average runs becomes.
    catcher, dropped_third_strike
        As in `average`.
    lead_offs : bool
        Whether a runner may go before the pitch arrives; without it a soft one does not help him.
    """
    table = runs.scaled(runs.STANDARD, level.runs_per_game)
    walk, strikeout, hit = (
        runs.play_value(play, moment.bases, moment.outs, table)
        for play in ("walk", "strikeout", "hit by pitch")
    )
    return Stakes(
        walk,
        strikeout,
        hit,
        _loose(moment, table) if any(moment.bases) else 0.0,
        _dropped(moment, table) if dropped_third_strike else 0.0,
        GOES * SOFT_HELPS * _steal(moment, table) if lead_offs else 0.0,
        _lost(level, catcher),
        _worth(moment, table, league),
    )


def _loose(moment: Moment, table: runs.RunTable) -> float:
    """Every runner moves up one."""
    first, second, third = moment.bases
    home = int(bool(third))
    return runs.value_of(moment.bases, moment.outs, ("", first, second), moment.outs, home, table)


def _dropped(moment: Moment, table: runs.RunTable) -> float:
    """Return what a third strike that gets away adds to a strikeout; it is as if he were walked."""
    if not may_run(moment.bases, moment.outs):
        return 0.0
    reached, out = (
        runs.play_value(play, moment.bases, moment.outs, table) for play in ("walk", "strikeout")
    )
    return reached - out


def _steal(moment: Moment, table: runs.RunTable) -> float:
    """Return what a steal of second is worth over being caught; nought if it cannot be."""
    first, second, third = moment.bases
    if not first or second:
        return 0.0
    safe = runs.value_of(moment.bases, moment.outs, ("", first, third), moment.outs, 0, table)
    caught = runs.value_of(moment.bases, moment.outs, ("", "", third), moment.outs + 1, 0, table)
    return safe - caught


def _worth(moment: Moment, table: runs.RunTable, league: League) -> tuple[Floats, Floats]:
    """Average runs of a ball in play, and the runs of the same ball here."""
    shares = league.plays(_RUNS_GRID)
    here = np.array([_play_value(play, moment, table) for play in PLAYS])
    return _RUNS_GRID, shares @ here


def _play_value(play: str, moment: Moment, table: runs.RunTable) -> float:
    if play.endswith("out"):
        return runs.out_in_play_value(moment.bases, moment.outs, table)
    return runs.play_value(play, moment.bases, moment.outs, table)
