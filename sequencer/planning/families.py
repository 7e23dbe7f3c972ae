"""The calls of one family against hitters of one side: the league's steps, summed over the plane.

Of hitters from one side only traits differ, so the league is asked once for all. What a belief does
enters only as surprise, a shift in the odds of a miss and of a foul, and what the last pitch did as
another in those of a miss: the steps themselves are worked out once a family and readiness.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.estimates.arrays import expit
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.assumed import USUAL, Assumed
from sequencer.planning.beliefs import NODES, SURPRISES
from sequencer.planning.looks import AREAS, KINDS, PARTS, READINESS, surprise
from sequencer.planning.stages import BALL, END, FOUL, HIT_BY_PITCH, STRIKE
from sequencer.planning.stakes import Stakes
from sequencer.planning.throws import FamilyThrows, plane

_TWO_STRIKES: Final = np.tile(np.arange(3), 4) == 2
_TAKE: Final = 0


@dataclass(frozen=True, eq=False)
class Parts:
    """What calls come to, by hitter, count, kind of last pitch, call and part of a look.

    Attributes
    ----------
    chances : array (5, hitters, 12, kinds, calls, parts)
        Of ball, strike, foul, end, hit by pitch.
    runs : array (hitters, 12, kinds, calls, parts)
        Runs of a ball in play times the chance of one, so that looks mix.
    by_the_way : array (hitters, 12, calls, parts)
    """

    chances: Floats
    runs: Floats
    by_the_way: Floats

    @classmethod
    def empty(cls, hitters: int, kinds: int, calls: int) -> "Parts":
        """Return parts to be filled in."""
        shape = (hitters, 12, kinds, calls, PARTS)
        return cls(np.empty((5, *shape)), np.empty(shape), np.empty((hitters, 12, calls, PARTS)))


@dataclass(frozen=True, eq=False)
class _Steps:
    """What happens at every node and count: (nodes, 12), by readiness and hitter in front."""

    swing: Floats
    miss_odds: Floats
    foul_odds: Floats
    called: Floats
    hit: Floats
    in_play: Floats

    def of(self, readiness: int, hitter: int) -> "_Steps":
        """Return those of one readiness and hitter."""
        return _Steps(*(getattr(self, field.name)[readiness, hitter] for field in fields(self)))


@dataclass(frozen=True, eq=False)
class FamilyGame:
    """What the calls of one family come to; see `filled`."""

    league: League
    throws: FamilyThrows
    stakes: Stakes
    zone: Zone
    log_odds: Floats
    assumed: Assumed = USUAL

    def filled(self, hitters: Sequence[HitterBelief], places: Ints, parts: Parts) -> None:
        """Fill in what the family's calls come to against hitters of one side, in place.

        Taking is a pure take here; the patience ceiling is put on it later.

        Parameters
        ----------
        hitters : sequence of HitterBelief
        places : array (hitters given,)
            Where they stand in the parts.
        parts : Parts
        """
        away = self.stakes.gets_away(plane(), self.zone, self.throws.family)[:, None]
        shifts, steps = self._shifts(), self._steps(hitters)
        for r, readiness in enumerate(READINESS):
            for i, place in enumerate(places):
                his = _Hitter(self, steps.of(r, i), parts, int(place))
                if readiness == READINESS[0]:
                    his.take(away)
                his.swing(readiness, shifts)
                his.loose(readiness, away)
        if self.throws.family != "fast":
            where = np.ix_(places, np.arange(12), self.throws.members)
            parts.by_the_way[where] += self.stakes.soft_steal

    def _steps(self, hitters: Sequence[HitterBelief]) -> _Steps:
        protect = np.array([float(ready == "protect") for ready in READINESS])
        found = self.league.steps(
            self.throws.family,
            plane().u[:, None, None],
            plane().v[:, None, None],
            np.arange(4.0)[:, None],
            np.arange(3.0),
            self.throws.same_side,
            np.stack([hitter.mean for hitter in hitters]),
            protect=protect[:, None, None, None, None],
        )
        shape = (protect.size, len(hitters), plane().u.size)

        def by_count(values: Floats) -> Floats:
            """(readinesses, hitters, nodes, 12)."""
            return np.broadcast_to(values, (*shape, 4, 3)).reshape(*shape, 12)

        return _Steps(
            by_count(expit(found.swing_ready)),
            by_count(np.exp(found.miss)),
            by_count(np.exp(found.foul)),
            by_count(expit(found.called)),
            by_count(found.hit_by_pitch),
            by_count(found.in_play),
        )

    def _shifts(self) -> tuple[Floats, Floats]:
        """Return what multiplies the odds of a miss, (12, kinds, nodes), and of a foul."""
        league = self.league
        nats = surprise(self.throws.family, league, SURPRISES)[:, None, :]
        last = np.exp(self.log_odds)[:, None]
        return last * np.exp(league.surprise_miss * nats), np.exp(league.surprise_foul * nats)


@dataclass(frozen=True, eq=False)
class _Hitter:
    """One hitter's part of a family's game, filled in place."""

    game: FamilyGame
    steps: _Steps
    parts: Parts
    place: int

    def over(self, values: Floats) -> Floats:
        """Sum (nodes, 12, ...) over each call's throws: (12, ..., calls) for (nodes, 12, ...)."""
        flat = self.game.throws.chances @ values.reshape(values.shape[0], -1)
        return np.moveaxis(flat.reshape(-1, *values.shape[1:]), 0, -1)

    def put(self, array: Floats, where: slice, values: Floats) -> None:
        """Put (12, kinds or 1, calls, nodes or 1) into the calls and parts of an array.

        Parts of several kinds of swing are all given the same.
        """
        here = array[self.place][..., where]
        nodes = min(here.shape[-1], NODES)
        by_kind = here.reshape(*here.shape[:-1], -1, nodes)  # a view: only the last axis is split
        by_kind[:, :, self.game.throws.members] = values[..., None, :]

    def take(self, away: Floats) -> None:
        """Fill in the pure take."""
        steps, chances, where = self.steps, self.parts.chances, slice(_TAKE, _TAKE + 1)
        strike = self.over((1.0 - steps.hit) * steps.called)[:, None, :, None]
        hit = self.over(steps.hit)[:, None, :, None]
        nothing = np.zeros_like(hit)
        for part, values in (
            (BALL, 1.0 - strike - hit),
            (STRIKE, strike),
            (FOUL, nothing),
            (END, nothing),
            (HIT_BY_PITCH, hit),
        ):
            self.put(chances[part], where, values)
        self.put(self.parts.runs, where, nothing)
        loose = self.over(np.broadcast_to(away, steps.hit.shape)) * self.game.stakes.wild_pitch
        self.parts.by_the_way[self.place][:, self.game.throws.members, _TAKE] = loose

    def swing(self, readiness: str, shifts: tuple[Floats, Floats]) -> None:
        """Fill in the looks of one readiness: swung at, and called or not when it is not."""
        steps, (miss_times, foul_times) = self.steps, shifts
        rest = 1.0 - steps.swing
        swung, hit = self.over(steps.swing), self.over(rest * steps.hit)
        called = self.over(rest * (1.0 - steps.hit) * steps.called)
        contact = steps.miss_odds[:, :, None, None] * miss_times
        contact += 1.0
        np.divide(steps.swing[:, :, None, None], contact, out=contact)
        touched = np.moveaxis(self.over(contact), -1, 2)  # (12, kinds, calls, nodes)
        end = steps.foul_odds[:, :, None, None] * foul_times + 1.0
        end = np.divide(contact, end, out=contact)
        put_in_play = np.moveaxis(self.over(end), -1, 2)
        by_call = (slice(None), None, slice(None), None)
        chances = (
            (BALL, (1.0 - swung - called - hit)[by_call]),
            (STRIKE, (called + swung)[by_call] - touched),
            (FOUL, touched - put_in_play),
            (END, put_in_play),
            (HIT_BY_PITCH, hit[by_call]),
        )
        kinds = _kinds(readiness)
        for part, values in chances:
            self.put(self.parts.chances[part], _all_of(kinds), values)
        weighed = np.empty_like(end)
        for where, area in kinds:
            np.multiply(end, self._worth(area)[:, :, None, None], out=weighed)
            self.put(self.parts.runs, where, np.moveaxis(self.over(weighed), -1, 2))

    def _worth(self, area: str) -> Floats:
        """Return runs of a ball in play of him who looks for it there, (nodes, 12)."""
        assumed = self.game.assumed
        shift = assumed.area_runs * AREAS[area](plane().u, plane().v)[:, None]
        return self.game.stakes.in_play(self.steps.in_play + (assumed.in_play + shift))

    def loose(self, readiness: str, away: Floats) -> None:
        """Balls that get away, unless hit; with two strikes a miss is a dropped third strike."""
        steps, stakes = self.steps, self.game.stakes
        miss = steps.miss_odds / (1.0 + steps.miss_odds)
        touched = steps.swing * (1.0 - miss)
        loose = np.where(_TWO_STRIKES, 1.0 - steps.swing, 1.0 - touched)
        dropped = np.where(_TWO_STRIKES, steps.swing * miss, 0.0)
        runs = self.over(away * loose) * stakes.wild_pitch
        runs += self.over(away * dropped) * stakes.dropped_third
        way = self.parts.by_the_way[self.place]
        way[:, self.game.throws.members, _all_of(_kinds(readiness))] = runs[..., None]


def _kinds(readiness: str) -> list[tuple[slice, str]]:
    """Return where the nodes of each kind of swing of a readiness stand, and its area."""
    return [
        (slice(1 + NODES * n, 1 + NODES * (n + 1)), area)
        for n, (ready, area) in enumerate(KINDS)
        if ready == readiness
    ]


def _all_of(kinds: list[tuple[slice, str]]) -> slice:
    """Return where several kinds of swing, which stand together, stand."""
    return slice(kinds[0][0].start, kinds[-1][0].stop)
