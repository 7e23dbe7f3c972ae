"""Pitchers and hitters for tests of plans: the level's average, moved where a test needs it."""

from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.count import Count
from sequencer.baseball.levels import level as find_level
from sequencer.estimates import command, hitter, league, traits
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.plan import Plan
from sequencer.planning.throws import plane, thrown

LEVEL = "17-18"
THREE = ("fastball", "changeup", "curveball")


@cache
def a_league(level: str = LEVEL) -> League:
    return league.load(level)


def a_pitcher(
    *arsenal: str,
    level: str = LEVEL,
    spread: float | None = None,
    throws: str = "R",
    freedom: float = 400.0,
) -> PitcherBelief:
    """A pitcher whose command is surely known; soft pitches spread a tenth more."""
    found = command.average(level, arsenal=arsenal or THREE, throws=throws)
    pitches = []
    for pitch in found.arsenal:
        cov = pitch.cov
        if spread is not None:
            cov = np.eye(2) * (spread * (1.0 if pitch.family == "fast" else 1.1)) ** 2
        pitches.append(replace(pitch, cov=cov, freedom=freedom))
    return replace(found, arsenal=tuple(pitches))


def a_hitter(
    *, level: str = LEVEL, bats: str = "R", name: str = "", **moved: float
) -> HitterBelief:
    """The level's hitter with some traits moved, in prior standard deviations."""
    man = hitter.average(level, bats=bats, name=name or "average hitter")
    mean, sd = man.mean.copy(), hitter.spread(level)
    for trait, by in moved.items():
        mean[traits.INDEX[trait]] = by * sd[traits.INDEX[trait]]
    usual = a_league(level)
    take = hitter.habit_of(mean, usual.take_share)
    fast = hitter.fast_belief_of(mean, usual.fast_share)
    return replace(man, mean=mean, take_share=take, fast_belief=fast)


def shares(plan: Plan, count: Count, hitter: int = 0) -> NDArray[np.float64]:
    """The mix of calls in a count, nothing shown by the pitch before."""
    mix: NDArray[np.float64] = plan.solved.mix[hitter, count.balls, count.strikes, 0]
    return mix


def share_of(plan: Plan, count: Count, family: str) -> float:
    """The share of a family in a count."""
    chosen = [call.family == family for call in plan.solved.tables.calls]
    return float(shares(plan, count)[chosen].sum())


def in_zone(
    plan: Plan, pitcher: PitcherBelief, *, level: str = LEVEL, bats: str = "R"
) -> NDArray[np.float64]:
    """The chance of each call to cross in the strike zone, (calls,)."""
    calls = plan.solved.tables.calls
    inside = (np.abs(plane().u) <= 1.0) & (np.abs(plane().v) <= 1.0)
    chance = np.zeros(len(calls))
    for family in thrown(pitcher, calls, find_level(level).zone, bats):
        chance[family.members] = family.chances[:, inside].sum(axis=1)
    return chance
