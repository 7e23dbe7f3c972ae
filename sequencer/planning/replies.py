"""What a mix of calls is worth over a whole at-bat, to a hitter who replies best or as given.

Against a fixed mix the hitter faces a decision process; with two strikes a foul plays on, so those
states are solved together, by policy iteration (Howard 1960).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning.arrays import Floats
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import Look
from sequencer.planning.open_replies import POLICIES, SAME, against_looks, best_replies
from sequencer.planning.stages import (
    COUNTS_BACKWARD,
    TWO_STRIKES,
    Stages,
    at_bat_tables,
    mixes,
    numbers,
    one_hitter,
    one_hitter_if_given,
    worth_of_staying,
)


@dataclass(frozen=True, eq=False)
class AtBatValue:
    """What a mix is worth; arrays lead with (hitters,) when several were valued.

    Attributes
    ----------
    value
        (4, 3, lasts) runs.
    looks
        (4, 3, lasts, looks) what was played against it: the policy given, or the best reply.
    names
        What the looks are called, where a best reply may be one that was not at hand.
    """

    value: Floats
    looks: Floats
    names: tuple[Look, ...] = ()


def evaluate_at_bat(
    outcomes: ArrayLike,
    end_runs: ArrayLike,
    next_last: ArrayLike,
    walk: float,
    strikeout: float,
    hit_by_pitch: float,
    mix: ArrayLike,
    call_runs: ArrayLike | None = None,
    looks_policy: ArrayLike | None = None,
) -> AtBatValue:
    """Value a fixed mix of calls in one at-bat: see ``evaluate_tables``."""
    tables = at_bat_tables(
        one_hitter("outcomes", outcomes),
        one_hitter("end runs", end_runs),
        next_last,
        walk,
        strikeout,
        hit_by_pitch,
        call_runs=one_hitter_if_given("call runs", call_runs),
    )
    policy = one_hitter_if_given("looks policy", looks_policy)
    played = evaluate_tables(tables, numbers("mix", mix)[None], policy)
    return AtBatValue(played.value[0], played.looks[0])


def evaluate_tables(
    tables: Stages, mix: ArrayLike, looks_policy: ArrayLike | None = None
) -> AtBatValue:
    """Value a fixed mix over the whole at-bat, against a best reply or given looks.

    The tables' trust plays no part: the reply is best outright, or just what is given.

    Parameters
    ----------
    tables
        From ``at_bat_tables``, or a factored game: then a best reply is the best of all looks, not
        only of those at hand.
    mix
        (hitters, 4, 3, lasts, calls): the pitcher's mix in every state.
    looks_policy
        (hitters, 4, 3, lasts, looks): the hitter's mix of looks, such as his habit. Absent, he
        replies best.
    """
    hitters, lasts, calls, looks = tables.sizes
    plan = mixes("mix", mix, (hitters, 4, 3, lasts, calls))
    policy = np.zeros((hitters, 4, 3, lasts, looks))
    if looks_policy is not None:
        policy[...] = mixes("looks policy", looks_policy, policy.shape)
    if isinstance(tables, FactoredGame):
        if looks_policy is not None:
            return AtBatValue(against_looks(tables, plan, policy), policy, tables.looks)
        return AtBatValue(*best_replies(tables, plan))
    values = tables.blank_values()
    for balls, strikes in COUNTS_BACKWARD:
        where = np.s_[:, balls, strikes]
        runs = runs_of_looks(plan[where], tables.payoffs(values, balls, strikes))
        stay = (
            chances_to_stay(tables, plan[where], tables.fouls(balls))
            if strikes == TWO_STRIKES
            else None
        )
        if looks_policy is None:
            policy[where] = best_looks(runs, stay)
        values[where] = value_of_looks(policy[where], runs, stay)
    return AtBatValue(values[:, :4, :3].copy(), policy)


def runs_of_looks(calls: Floats, payoffs: Floats) -> Floats:
    """(hitters, lasts, looks): runs of every look against a mix of calls."""
    runs: Floats = np.matmul(calls[..., None, :], payoffs)[..., 0, :]
    return runs


def chances_to_stay(tables: Stages, calls: Floats, fouls: Floats) -> Floats:
    """(hitters, lasts, looks, lasts): chance of a foul, by the last pitch it leaves behind."""
    leaves = np.eye(tables.sizes[1])[tables.next_last]
    stay: Floats = np.matmul((calls[..., None] * fouls).swapaxes(-1, -2), leaves)
    return stay


def value_of_looks(policy: Floats, runs: Floats, stay: Floats | None) -> Floats:
    """(hitters, lasts): runs of a policy of looks that fouls may have play on."""
    gains: Floats = (policy * runs).sum(axis=-1)
    if stay is None:
        return gains
    moves = np.matmul(policy[..., None, :], stay)[..., 0, :]
    return worth_of_staying(gains, moves)


def best_looks(runs: Floats, stay: Floats | None) -> Floats:
    """(hitters, lasts, looks): the pure policy with most runs, by policy iteration."""
    every_look: Floats = np.eye(runs.shape[-1])
    best = runs.argmax(axis=-1)
    if stay is None:
        first: Floats = every_look[best]
        return first
    for _ in range(POLICIES):
        values = value_of_looks(every_look[best], runs, stay)
        gains = runs + np.matmul(stay, values[:, None, :, None])[..., 0]
        now = np.take_along_axis(gains, best[..., None], axis=-1)[..., 0]
        better = gains.max(axis=-1) > now + SAME * (1.0 + np.abs(now))
        if not better.any():
            break
        best = np.where(better, gains.argmax(axis=-1), best)
    found: Floats = every_look[best]
    return found
