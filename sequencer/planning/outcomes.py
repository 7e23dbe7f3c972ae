"""The game of several hitters against one pitcher: what every call comes to against every look.

A call is spread over the plane by the pitcher's miss, and the league's steps (moved by the
hitter's traits) are integrated over it. What comes of it is held in its factors (`factored`); the
whole arrays, far larger, are formed for who asks for them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning import lasts as lasts_room
from sequencer.planning import looks as looks_room
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.assumed import USUAL, Assumed
from sequencer.planning.beliefs import FAST, SOFT
from sequencer.planning.calls import Call
from sequencer.planning.factored import FactoredGame, Factors
from sequencer.planning.families import FamilyGame, Parts
from sequencer.planning.lasts import NONE, Lasts, Memory, lasts_of, shown
from sequencer.planning.looks import LOOKS, Columns, Look, columns
from sequencer.planning.stages import BALL, END, FOUL, STRIKE, trust_of
from sequencer.planning.stakes import Stakes
from sequencer.planning.throws import FamilyThrows, thrown

__all__ = ["NONE", "Tables", "factors_of", "tables"]


@dataclass(frozen=True, eq=False)
class Tables:
    """The game of several hitters against one pitcher.

    Attributes
    ----------
    factors : Factors
        What its arrays are made of.
    ruled : array (hitters, 12, calls)
        Runs put on calls that are ruled out.
    allowed : array (hitters, calls)
        The calls in use.
    calls, looks
        What the axes stand for.
    after : Lasts
        The last pitches it tells apart.
    memory, seen_as
        What is remembered of a pitch; the family each pitch is taken for.
    stakes
        What an end is worth.
    """

    factors: Factors
    ruled: Floats
    allowed: Bools
    calls: tuple[Call, ...]
    looks: tuple[Look, ...]
    after: Lasts
    memory: Memory
    seen_as: Mapping[str, str]
    stakes: Stakes

    @property
    def lasts(self) -> tuple[str, ...]:
        """The last pitches; the first is none."""
        return self.after.names

    @property
    def next_last(self) -> Ints:
        """(calls,): what each call shows the next pitch."""
        return self.after.next_last

    def last_of(self, call: Call | None) -> int:
        """Return which of the last pitches a call leaves; nought for none and for no matter."""
        if call is None:
            return 0
        family = self.seen_as.get(call.pitch, call.family)
        name = self.memory.state(shown(call, family))
        return self.lasts.index(name) if name in self.lasts else 0

    def game(self, trust: float | Floats = 0.0) -> FactoredGame:
        """Return the game as the solver takes it; trust is one for all or (hitters,)."""
        hitters = len(self.ruled)
        return FactoredGame(
            next_last=self.next_last,
            walk=np.full(hitters, self.stakes.walk),
            strikeout=np.full(hitters, self.stakes.strikeout),
            hit_by_pitch=np.full(hitters, self.stakes.hit_by_pitch),
            habit=self.habit,
            trust=trust_of(trust, self.habit, hitters),
            allowed=self.allowed,
            factors=self.factors,
            ruled=self.ruled,
            looks=self.looks,
        )

    @cached_property
    def habit(self) -> Floats:
        """(hitters, 4, 3, lasts, looks): the usual mix of looks."""
        usual = self.factors.habit
        place = {look: i for i, look in enumerate(self.looks)}
        kept = [i for i, look in enumerate(LOOKS) if look in place]
        habit = np.zeros((len(usual), 12, len(self.looks)))
        habit[..., [place[LOOKS[i]] for i in kept]] = usual[..., kept]
        lasts = len(self.lasts)
        whole = habit.reshape(-1, 4, 3, 1, len(self.looks))
        repeated: Floats = np.repeat(whole, lasts, axis=3)
        return repeated

    @cached_property
    def _columns(self) -> Columns:
        return columns(self.looks)

    def _whole(self, parts: Floats) -> Floats:
        """(hitters, 4, 3, lasts, calls, looks) of (hitters, 12, kinds, calls, parts)."""
        factors = self.factors
        counts = [
            factors.by_last(factors.read(parts[:, count], count, self._columns))
            for count in range(12)
        ]
        whole = np.stack(counts, axis=1)
        return whole.reshape(len(whole), 4, 3, *whole.shape[2:])

    @property
    def outcomes(self) -> Floats:
        """(hitters, 4, 3, lasts, calls, looks, 5): ball, strike, foul, end, hit by pitch."""
        return np.stack([self._whole(part) for part in self.factors.parts.chances], axis=-1)

    @property
    def end_runs(self) -> Floats:
        """(hitters, 4, 3, lasts, calls, looks): runs given an end."""
        parts = self.factors.parts
        return _given(self._whole(parts.runs), self._whole(parts.chances[END]))

    @property
    def call_runs(self) -> Floats:
        """(hitters, 4, 3, lasts, calls, looks): runs by the way, and those of calls ruled out."""
        way = self.factors.parts.by_the_way + self.ruled[..., None]
        kinds = self.factors.parts.runs.shape[2]
        shape = (*way.shape[:2], kinds, *way.shape[2:])
        return self._whole(np.broadcast_to(way[:, :, None], shape))

    def state(self, hitter: int, balls: int, strikes: int, last: int) -> tuple[Floats, Floats]:
        """Return outcomes (calls, looks, 5) and end runs (calls, looks) of one state."""
        parts, count = self.factors.parts, 3 * balls + strikes
        one = self.game().of(hitter).factors
        kinds = self.factors.kinds[last]

        def read(part: Floats) -> Floats:
            found = one.read(part[hitter : hitter + 1, count], count, self._columns)[0]
            picked: Floats = found[kinds, np.arange(kinds.size)]
            return picked

        outcomes = np.stack([read(part) for part in parts.chances], axis=-1)
        return outcomes, _given(read(parts.runs), outcomes[..., END])

    def terms(self, last: int = 0) -> Floats:
        """Return what a pitch leads to after a last pitch, (hitters, 4, 3, calls, 4, looks).

        Chances of ball, strike and foul, and runs that need no next pitch.
        """
        factors, kinds = self.factors, self.factors.kinds[last]
        parts, calls, game = factors.parts, np.arange(len(self.calls)), self.game()
        out = np.empty((len(self.ruled), 12, len(self.calls), 4, len(self.looks)))
        for count in range(12):
            chances = (parts.chances[part][:, count] for part in (BALL, STRIKE, FOUL))
            for k, part in enumerate((*chances, game.fixed[:, count])):
                here = part[:, kinds, calls][:, None]
                out[:, count, :, k] = factors.read(here, count, self._columns)[:, 0]
        return out.reshape(-1, 4, 3, *out.shape[2:])

    def with_looks(self, looks: Sequence[Look]) -> "Tables":
        """Return the game on other looks; the habit must be of them."""
        return replace(self, looks=tuple(looks))


def _given(runs: Floats, ends: Floats) -> Floats:
    """Return runs given an end, nought where there is none."""
    return np.divide(runs, ends, out=np.zeros_like(runs), where=ends > 0.0)


def tables(
    hitters: Sequence[HitterBelief],
    pitcher: PitcherBelief,
    league: League,
    calls: tuple[Call, ...],
    stakes: Stakes,
    zone: Zone,
    *,
    allowed: Bools | None = None,
    last_pitch: bool = True,
    assumed: Assumed = USUAL,
    memory: Memory = lasts_room.USUAL,
) -> Tables:
    """Work out the game of every hitter against one pitcher.

    Parameters
    ----------
    hitters : sequence of HitterBelief
    pitcher : PitcherBelief
    league : League
    calls : tuple of Call
        Every call considered, each of a pitch of this pitcher.
    stakes : Stakes
        What ends and runs by the way are worth, in the average or a real situation.
    zone : Zone
        The zone that targets are aimed in.
    allowed : array (calls,), optional
        Calls that may be used; all when absent.
    last_pitch : bool
        Whether what the last pitch showed may matter.
    assumed : Assumed
        What no data at hand can settle.
    memory : Memory
        What is remembered of the last pitch, if it may matter, and what pays.
    """
    seen_as = {pitch.pitch: pitcher.seen_as(pitch.pitch) for pitch in pitcher.arsenal}
    memory = memory if last_pitch else lasts_room.NOTHING
    after = lasts_of(calls, [seen_as[call.pitch] for call in calls], memory, assumed)
    by_side = {
        bats: thrown(pitcher, calls, zone, bats) for bats in {hitter.bats for hitter in hitters}
    }
    mask = np.ones(len(calls), dtype=bool) if allowed is None else allowed
    return Tables(
        factors_of(hitters, league, by_side, stakes, zone, after, assumed),
        np.zeros((len(hitters), 12, len(calls))),
        np.tile(mask, (len(hitters), 1)),
        calls,
        LOOKS,
        after,
        memory,
        seen_as,
        stakes,
    )


def factors_of(
    hitters: Sequence[HitterBelief],
    league: League,
    by_side: Mapping[str, Sequence[FamilyThrows]],
    stakes: Stakes,
    zone: Zone,
    after: Lasts,
    assumed: Assumed = USUAL,
) -> Factors:
    """Work out the factors of the game of hitters against thrown calls.

    Parameters
    ----------
    hitters, league, stakes, zone, assumed
        As in `tables`.
    by_side : mapping of side hit from -> throws of each family
    after : Lasts
    """
    calls = after.next_last.size
    parts = Parts.empty(len(hitters), after.log_odds.size, calls)
    sides = np.full(calls, FAST)
    for bats, throws in by_side.items():
        places = np.flatnonzero([hitter.bats == bats for hitter in hitters])
        for family in throws:
            game = FamilyGame(league, family, stakes, zone, after.log_odds, assumed)
            game.filled([one for one in hitters if one.bats == bats], places, parts)
            sides[family.members] = FAST if family.family == "fast" else SOFT
    return Factors(
        parts,
        np.stack([looks_room.take_ceiling(one, league).reshape(12) for one in hitters]),
        np.stack([looks_room.usual_parts(one) for one in hitters], axis=1),
        np.stack([looks_room.habit(one, league).reshape(12, -1) for one in hitters]),
        sides,
        after.kinds,
    )
