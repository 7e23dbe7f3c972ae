"""The calls of one family against one hitter: the league's steps, summed over where they go."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.estimates.arrays import expit
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats
from sequencer.planning.assumed import USUAL, Assumed
from sequencer.planning.looks import (
    AREAS,
    PARTS,
    READINESS,
    TAKE,
    place_of,
    places,
    surprise,
)
from sequencer.planning.stages import BALL, HIT_BY_PITCH, STRIKE
from sequencer.planning.stakes import Stakes
from sequencer.planning.throws import FamilyThrows, plane

_TWO_STRIKES: Final = np.tile(np.arange(3), 4) == 2


@dataclass(frozen=True, eq=False)
class FamilyGame:
    """What the calls of a family come to, by (no repeat, repeat), count, call and part of a look.

    chances
        (2, 12, calls, parts, 5).
    runs
        (2, 12, calls, parts): runs of a ball in play times the chance of one, so that looks mix.
    by_the_way
        (12, calls, parts).
    """

    chances: Floats
    runs: Floats
    by_the_way: Floats


@dataclass(frozen=True, eq=False)
class _Steps:
    """One readiness at every node and count, (nodes, 12), and how nodes add up to calls."""

    swing: Floats
    miss_odds: Floats
    foul_odds: Floats
    called: Floats
    hit: Floats
    in_play: Floats
    weight: Floats

    def over(self, values: Floats) -> Floats:
        """Sum (nodes, 12, ...) over each call's throws: (12, calls, ...)."""
        flat = self.weight @ values.reshape(values.shape[0], -1)
        return np.moveaxis(flat.reshape(-1, *values.shape[1:]), 0, 1)


def family_game(
    hitter: HitterBelief,
    league: League,
    throws: FamilyThrows,
    stakes: Stakes,
    zone: Zone,
    assumed: Assumed = USUAL,
) -> FamilyGame:
    """Return what the calls of one family come to against every part of a look.

    Taking is a pure take here; the patience ceiling is put on it later.
    """
    shape = (2, 12, throws.members.size, len(PARTS))
    game = FamilyGame(np.zeros((*shape, 5)), np.zeros(shape), np.zeros(shape[1:]))
    away = stakes.gets_away(plane(), zone, throws.family)[:, None]
    for readiness in READINESS:
        steps = _steps(hitter, league, throws, readiness)
        if readiness == READINESS[0]:
            _take(game, steps, stakes, away)
        _swing(game, steps, stakes, readiness, _shifts(throws.family, league, assumed), assumed)
        _loose(game, steps, stakes, readiness, away)
    if throws.family != "fast":
        game.by_the_way[...] += stakes.soft_steal
    return game


def _steps(hitter: HitterBelief, league: League, throws: FamilyThrows, readiness: str) -> _Steps:
    found = league.steps(
        throws.family,
        plane().u[:, None, None],
        plane().v[:, None, None],
        np.arange(4.0)[:, None],
        np.arange(3.0),
        throws.same_side,
        hitter.mean,
        protect=float(readiness == "protect"),
    )
    by_count = (plane().u.size, 12)
    return _Steps(
        expit(found.swing_ready).reshape(by_count),
        np.exp(found.miss).reshape(by_count),
        np.exp(found.foul).reshape(by_count),
        expit(found.called).reshape(by_count),
        found.hit_by_pitch.reshape(by_count),
        found.in_play.reshape(by_count),
        throws.chances,
    )


def _shifts(family: str, league: League, assumed: Assumed) -> tuple[Floats, Floats]:
    """Return what surprise multiplies the odds of a miss and of a foul by, counts first."""
    nats = surprise(family, league)[:, None, :]
    repeat = np.exp([0.0, assumed.same_side_other_speed])[:, None]
    return repeat * np.exp(league.surprise_miss * nats), np.exp(league.surprise_foul * nats)


def _take(game: FamilyGame, steps: _Steps, stakes: Stakes, away: Floats) -> None:
    place = place_of(TAKE)
    strike, hit = steps.over((1.0 - steps.hit) * steps.called), steps.over(steps.hit)
    game.chances[..., place, BALL] = 1.0 - strike - hit
    game.chances[..., place, STRIKE], game.chances[..., place, HIT_BY_PITCH] = strike, hit
    loose = steps.over(np.broadcast_to(away, steps.hit.shape))
    game.by_the_way[..., place] = loose * stakes.wild_pitch


def _swing(
    game: FamilyGame,
    steps: _Steps,
    stakes: Stakes,
    readiness: str,
    shifts: tuple[Floats, Floats],
    assumed: Assumed,
) -> None:
    """Fill in the looks of one readiness: what is swung at, and called or not when it is not."""
    miss_times, foul_times = shifts
    rest = 1.0 - steps.swing
    swung, hit = steps.over(steps.swing), steps.over(rest * steps.hit)
    called = steps.over(rest * (1.0 - steps.hit) * steps.called)
    contact = steps.swing[:, :, None, None] / (1.0 + steps.miss_odds[:, :, None, None] * miss_times)
    end = contact / (1.0 + steps.foul_odds[:, :, None, None] * foul_times)
    touched, put_in_play = steps.over(contact), steps.over(end)  # (12, calls, 2, beliefs)
    every = np.zeros_like(touched)
    chances = np.stack(
        [
            every + (1.0 - swung - called - hit)[..., None, None],
            (called + swung)[..., None, None] - touched,
            touched - put_in_play,
            put_in_play,
            every + hit[..., None, None],
        ],
        axis=-1,
    )
    for area in _areas(readiness):
        where = places(readiness, area)
        shift = assumed.area_runs * AREAS[area](plane().u, plane().v)[:, None]
        worth = stakes.in_play(steps.in_play + assumed.in_play + shift)
        game.chances[..., where, :] = np.moveaxis(chances, 2, 0)
        runs = steps.over(end * worth[:, :, None, None])
        game.runs[..., where] = np.moveaxis(runs, 2, 0)


def _areas(readiness: str) -> tuple[str, ...]:
    """Areas a readiness can have: protecting is of the whole zone."""
    return tuple(AREAS) if readiness == "drive" else ("whole",)


def _loose(game: FamilyGame, steps: _Steps, stakes: Stakes, readiness: str, away: Floats) -> None:
    """Balls that get away, unless hit; with two strikes a miss is a dropped third strike."""
    miss = steps.miss_odds / (1.0 + steps.miss_odds)
    touched = steps.swing * (1.0 - miss)
    loose = np.where(_TWO_STRIKES, 1.0 - steps.swing, 1.0 - touched)
    dropped = np.where(_TWO_STRIKES, steps.swing * miss, 0.0)
    runs = steps.over(away * loose) * stakes.wild_pitch
    runs += steps.over(away * dropped) * stakes.dropped_third
    for area in _areas(readiness):
        game.by_the_way[..., places(readiness, area)] = runs[..., None]
