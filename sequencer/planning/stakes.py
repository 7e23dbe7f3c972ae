"""What an at-bat's ends are worth, and the runs that come by the way: on average, or right now.

A card is for the average situation. In a real one, ends are worth the change in run expectancy
that they bring, so that with the bases loaded and one out a strikeout is worth far more than a
third of a run; with inning and score known, the change in the chance to win (`here`).
"""

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball import runs
from sequencer.baseball.levels import Level
from sequencer.baseball.rules import RuleSet
from sequencer.baseball.situation import EMPTY, Bases, may_run
from sequencer.baseball.zone import HALF_WIDTH_IN, Zone
from sequencer.errors import BadInput
from sequencer.estimates.coefficients import PLAYS
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats
from sequencer.planning.here import GETS_AWAY, Here, Moment, here
from sequencer.planning.throws import Plane

#: A catcher's blocking, times the chance of an average one (assumption).
BLOCKING: Final = MappingProxyType({"good": 0.6, "average": 1.0, "poor": 2.0})
#: How much more often runners go on a catcher's arm (assumption).
ARM: Final = MappingProxyType({"good": 0.5, "average": 1.0, "poor": 1.5})
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
class Catcher:
    """Who catches, as far as runs by the way go.

    Attributes
    ----------
    blocking : how often a ball in the dirt gets away from him, times an average catcher
    arm : how often runners go on him, times an average catcher
    says : what this rests on, in a coach's words; empty for a word of his own
    """

    blocking: float = 1.0
    arm: float = 1.0
    says: str = ""


def catching(said: str | Catcher) -> Catcher:
    """Return the catcher of a word (good, average or poor at blocking), or as he is known.

    Raises
    ------
    BadInput
        If there is no such word.
    """
    if isinstance(said, Catcher):
        return said
    if said not in BLOCKING:
        raise BadInput(f"A catcher blocks {', '.join(BLOCKING)}; not '{said}'.")
    return Catcher(BLOCKING[said])


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


def average(
    level: Level, *, catcher: str | Catcher = "average", dropped_third_strike: bool = True
) -> Stakes:
    """Return what ends are worth in the average situation of a level.

    Parameters
    ----------
    level : Level
    catcher : str or Catcher
        good, average or poor at blocking, or as he is known.
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
        GETS_AWAY[level.name] * catching(catcher).blocking,
    )


def right_now(
    moment: Moment,
    level: Level,
    league: League,
    *,
    catcher: str | Catcher = "average",
    dropped_third_strike: bool = True,
    lead_offs: bool = True,
    rules: RuleSet | None = None,
) -> Stakes:
    """Return what ends are worth in this situation, in runs: see `here`.

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
    rules : RuleSet, optional
        Whose innings and limits count; the level's usual ones when absent.
    """
    now, behind = here(moment, level, rules), catching(catcher)
    return Stakes(
        now.play("walk"),
        now.play("strikeout"),
        now.play("hit by pitch"),
        _loose(now),
        _dropped(now, dropped_third_strike),
        GOES * behind.arm * SOFT_HELPS * _steal(now) if lead_offs else 0.0,
        GETS_AWAY[level.name] * behind.blocking,
        _worth(now, league),
    )


def _up(bases: Bases, hitter: str = "") -> tuple[Bases, int]:
    """Every runner up one, and the hitter on first when he is named; how many come home."""
    first, second, third = bases
    return (hitter, first, second), int(bool(third))


def _loose(now: Here) -> float:
    """Every runner moves up one."""
    bases, home = _up(now.moment.bases)
    return now.gain(bases, now.moment.outs, home) if any(now.moment.bases) else 0.0


def _dropped(now: Here, lets_run: bool) -> float:
    """Return what a third strike that gets away adds to a strikeout.

    Runners move up one, and the hitter reaches where he may run; with two out he is out otherwise,
    and nothing is added.
    """
    bases, outs = now.moment.bases, now.moment.outs
    out = now.play("strikeout")
    if lets_run and may_run(bases, outs):
        reached, home = _up(bases, "hitter")
        return now.gain(reached, outs, home) - out
    if outs == 2:
        return 0.0
    moved, home = _up(bases)
    return now.gain(moved, outs + 1, home) - out


def _steal(now: Here) -> float:
    """Return what a steal of second is worth over being caught; nought if it cannot be."""
    (first, second, third), outs = now.moment.bases, now.moment.outs
    if not first or second:
        return 0.0
    caught: Bases = ("", "", third) if outs < 2 else EMPTY
    return now.value(("", first, third), outs) - now.value(caught, outs + 1)


def _worth(now: Here, league: League) -> tuple[Floats, Floats]:
    """Average runs of a ball in play, and the runs of the same ball here."""
    shares = league.plays(_RUNS_GRID)
    plays = np.array(
        [now.out_in_play() if play.endswith("out") else now.play(play) for play in PLAYS]
    )
    return _RUNS_GRID, shares @ plays


__all__ = [
    "ARM",
    "BLOCKING",
    "GETS_AWAY",
    "Catcher",
    "Moment",
    "Stakes",
    "average",
    "catching",
    "here",
    "right_now",
]
