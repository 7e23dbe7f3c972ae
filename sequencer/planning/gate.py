"""Before a fit is planned with: its league must play the counts as they were counted.

The league's own calls (where its pitches go, by count) are put into the planner's own tables
against the league's habit. Count values must come out within a hundredth of a run of the counted
ones, strikeouts and walks within two points.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sequencer.baseball import runs
from sequencer.baseball.count import COUNTS, Count, parse
from sequencer.baseball.levels import level
from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates import hitter
from sequencer.estimates.league import League, shift_to
from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.calls import Call
from sequencer.planning.lasts import NONE, NOTHING, Lasts
from sequencer.planning.looks import LOOKS
from sequencer.planning.outcomes import Tables, factors_of
from sequencer.planning.stakes import Stakes
from sequencer.planning.throws import FamilyThrows, spread

RUNS: Final = 0.01
POINTS: Final = 0.02


@dataclass(frozen=True, slots=True)
class Gate:
    """What a fit's league comes to.

    Attributes
    ----------
    values, counted : mapping of count -> runs relative to 0-0, computed and counted
    strikeouts, walks : shares of plate appearances, computed
    counted_strikeouts, counted_walks : the same, counted
    """

    values: dict[Count, float]
    counted: dict[Count, float]
    strikeouts: float
    walks: float
    counted_strikeouts: float
    counted_walks: float

    @property
    def worst(self) -> float:
        """The largest error of a count value, runs."""
        return max(abs(self.values[count] - self.counted[count]) for count in COUNTS)

    @property
    def ok(self) -> bool:
        """Whether the fit may be planned with."""
        return (
            self.worst <= RUNS
            and abs(self.strikeouts - self.counted_strikeouts) <= POINTS
            and abs(self.walks - self.counted_walks) <= POINTS
        )

    @property
    def says(self) -> str:
        """The result in one sentence."""
        return (
            f"count values within {self.worst:.3f} runs of the counted ones (at most {RUNS:g}); "
            f"strikeouts {100 * self.strikeouts:.1f} against "
            f"{100 * self.counted_strikeouts:.1f} in 100 plate appearances, walks "
            f"{100 * self.walks:.1f} against {100 * self.counted_walks:.1f} (at most 2 apart)"
        )


def check(league: League) -> Gate:
    """Check the fit behind a league, whatever level it was moved to.

    The counted values are professional, and so is the league compared: levels below have none.
    """
    base = League.of(league.fitted, shift_to("pro"))
    ends = runs.TERMINAL_VALUES
    value = _values(base, ends["walk"], ends["strikeout"], ends["hit by pitch"])
    start = value[0, 0]
    return Gate(
        {count: float(value[count.balls, count.strikes] - start) for count in COUNTS},
        dict(runs.COUNT_VALUES),
        float(_values(base, 0.0, 1.0, 0.0, in_play=False)[0, 0]),
        float(_values(base, 1.0, 0.0, 0.0, in_play=False)[0, 0]),
        _counted("strikeout"),
        _counted("walk"),
    )


def _values(
    league: League, walk: float, strikeout: float, hit: float, *, in_play: bool = True
) -> Floats:
    """Worth of each count, (4, 3), when an at-bat ends so; a ball in play its own runs or none."""
    tables, mix = _league_game(league, Stakes(walk, strikeout, hit, 0.0, 0.0, 0.0, 0.0))
    if not in_play:
        parts = replace(tables.factors.parts, runs=np.zeros_like(tables.factors.parts.runs))
        tables = replace(tables, factors=replace(tables.factors, parts=parts))
    values: Floats = evaluate_tables(tables.game(), mix, tables.habit).value[0, :, :, 0]
    return values


def _league_game(league: League, stakes: Stakes) -> tuple[Tables, Floats]:
    """Tables of the league's calls (parts of its location mix), and its mix of them."""
    man = replace(
        hitter.average("pro"), take_share=league.take_share, fast_belief=league.fast_share
    )
    throws, parts = _league_throws(league), league.mix.means.shape[1]
    share = (league.mix.family[..., None] * league.mix.weights).transpose(1, 2, 0, 3)
    calls = len(FAMILIES) * parts
    after = Lasts((NONE,), np.zeros(calls, np.intp), np.zeros((1, calls), np.intp), np.zeros(1))
    tables = Tables(
        factors_of([man], league, {man.bats: throws}, stakes, level("pro").zone, after),
        np.zeros((1, 12, calls)),
        np.ones((1, calls), dtype=bool),
        tuple(Call(family, "middle") for family in FAMILIES for _ in range(parts)),
        LOOKS,
        after,
        NOTHING,
        {},
        stakes,
    )
    mix = share.reshape(1, 4, 3, 1, calls)
    return tables, mix / mix.sum(axis=-1, keepdims=True)


def _league_throws(league: League) -> tuple[FamilyThrows, ...]:
    """Each part of each family's location mix as a call of its own."""
    throws = []
    for f, family in enumerate(FAMILIES):
        parts = zip(league.mix.means[f], league.mix.covs[f], strict=True)
        chances = np.concatenate([spread(mean[None], cov) for mean, cov in parts])
        members = f * chances.shape[0] + np.arange(chances.shape[0])
        throws.append(FamilyThrows(family, members, chances, float(league.mix.same_side[f])))
    return tuple(throws)


def _counted(end: str) -> float:
    """Share of plate appearances that end so, from the counted transitions."""
    values: dict[Count, float] = {}
    for count in sorted(COUNTS, key=sum, reverse=True):
        follows = runs.COUNT_TRANSITIONS[str(count)]
        stays = follows.get(str(count), 0.0)
        total = sum(
            share * (values[parse(to)] if to[:1].isdigit() else float(to == end))
            for to, share in follows.items()
            if to != str(count)
        )
        values[count] = total / (sum(follows.values()) - stays)
    return values[Count(0, 0)]
