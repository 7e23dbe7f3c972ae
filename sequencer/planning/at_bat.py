"""Solve the at-bat, a zero-sum stochastic game over the count.

Counts are solved from the last backward. With two strikes a foul keeps the count, so those states
hang on each other: their values are a fixed point (Shapley 1953), found by Newton steps on the
mixes (Pollatschek and Avi-Itzhak 1969) and proved by contraction.
"""

from dataclasses import dataclass, fields, replace
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning.arrays import Floats
from sequencer.planning.matrix_game import GameSolution, solve_checked
from sequencer.planning.replies import (
    AtBatValue,
    chances_to_stay,
    evaluate_at_bat,
    evaluate_tables,
    runs_of_looks,
    value_of_looks,
)
from sequencer.planning.stages import (
    COUNTS_BACKWARD,
    TWO_STRIKES,
    AtBatTables,
    at_bat_tables,
    one_hitter,
    one_hitter_if_given,
)

__all__ = [
    "AtBatSolution",
    "AtBatTables",
    "AtBatValue",
    "at_bat_tables",
    "evaluate_at_bat",
    "evaluate_tables",
    "solve_at_bat",
    "solve_at_bats",
    "solve_tables",
]

PRECISION = 1e-10
"""Proved distance of two-strike values from the fixed point, in runs (a chosen precision)."""
ROUNDING = 1e-14
"""Share of a value that floats cannot be asked to settle beyond (measured: 50 roundings)."""
STEPS = 2_000
"""Newton and contraction steps before the distance is reported as it stands (assumption)."""


@dataclass(frozen=True, eq=False)
class AtBatSolution:
    """The solved at-bat; arrays lead with (hitters,) when several were solved.

    Attributes
    ----------
    value
        (4, 3, lasts) runs, of the game in which a look is drawn from the habit with the chance
        ``trust`` and is else a best reply.
    mix, looks
        (4, 3, lasts, calls) and (4, 3, lasts, looks): the call mix and the best replier's looks.
    gap
        (4, 3, lasts) certificate of each stage, at least nought: what best replies to the two
        mixes differ by, and with two strikes how far the value may be from the fixed point.
    """

    value: Floats
    mix: Floats
    looks: Floats
    gap: Floats

    def one(self, hitter: int) -> Self:
        """Pick one hitter of several."""
        return replace(self, **{f.name: getattr(self, f.name)[hitter] for f in fields(self)})


def solve_at_bat(
    outcomes: ArrayLike,
    end_runs: ArrayLike,
    next_last: ArrayLike,
    walk: float,
    strikeout: float,
    hit_by_pitch: float,
    call_runs: ArrayLike | None = None,
    habit: ArrayLike | None = None,
    trust: float = 0.0,
    allowed: ArrayLike | None = None,
) -> AtBatSolution:
    """Solve one at-bat exactly.

    Parameters
    ----------
    outcomes
        (4, 3, lasts, calls, looks, 5); the others likewise as in ``at_bat_tables``, without the
        hitters in front.

    Raises
    ------
    BadGame
        For wrong shapes, numbers that are not finite, probabilities that do not sum to one.
    """
    tables = at_bat_tables(
        one_hitter("outcomes", outcomes),
        one_hitter("end runs", end_runs),
        next_last,
        walk,
        strikeout,
        hit_by_pitch,
        call_runs=one_hitter_if_given("call runs", call_runs),
        habit=one_hitter_if_given("habit", habit),
        trust=trust,
        allowed=allowed,
    )
    return solve_tables(tables).one(0)


def solve_at_bats(
    outcomes: ArrayLike,
    end_runs: ArrayLike,
    next_last: ArrayLike,
    walk: ArrayLike,
    strikeout: ArrayLike,
    hit_by_pitch: ArrayLike,
    call_runs: ArrayLike | None = None,
    habit: ArrayLike | None = None,
    trust: float = 0.0,
    allowed: ArrayLike | None = None,
) -> AtBatSolution:
    """Solve the at-bats of several hitters: (hitters,) in front of every array but next_last."""
    tables = at_bat_tables(
        outcomes,
        end_runs,
        next_last,
        walk,
        strikeout,
        hit_by_pitch,
        call_runs=call_runs,
        habit=habit,
        trust=trust,
        allowed=allowed,
    )
    return solve_tables(tables)


def solve_tables(tables: AtBatTables) -> AtBatSolution:
    """Solve the at-bats of several hitters, all states of a count at once."""
    hitters, lasts, calls, looks = tables.sizes
    values = tables.blank_values()
    solution = AtBatSolution(
        value=values[:, :4, :3],
        mix=np.zeros((hitters, 4, 3, lasts, calls)),
        looks=np.zeros((hitters, 4, 3, lasts, looks)),
        gap=np.zeros((hitters, 4, 3, lasts)),
    )
    near: GameSolution | None = None
    for balls, strikes in COUNTS_BACKWARD:
        solve = _with_fouls if strikes == TWO_STRIKES else _without_fouls
        near = solve(tables, values, balls, strikes, near)
        where = np.s_[:, balls, strikes]
        solution.value[where] = near.value.reshape(hitters, lasts)
        solution.gap[where] = near.gap.reshape(hitters, lasts)
        solution.mix[where] = near.calls.reshape(hitters, lasts, calls)
        solution.looks[where] = near.looks.reshape(hitters, lasts, looks)
    return solution


def _without_fouls(
    tables: AtBatTables, values: Floats, balls: int, strikes: int, near: GameSolution | None
) -> GameSolution:
    payoffs = tables.leaning(tables.payoffs(values, balls, strikes), balls, strikes)
    return _solve_states(tables, payoffs, near)


def _solve_states(tables: AtBatTables, payoffs: Floats, near: GameSolution | None) -> GameSolution:
    """Solve the stage games of all hitters and lasts, starting near a solution."""
    lasts, calls, looks = payoffs.shape[1:]
    mask = np.repeat(tables.allowed, lasts, axis=0)
    start = None if near is None else (near.calls, near.looks)
    return solve_checked(payoffs.reshape(-1, calls, looks), mask, start)


def _with_fouls(
    tables: AtBatTables, values: Floats, balls: int, strikes: int, near: GameSolution | None
) -> GameSolution:
    """Solve the states of a two-strike count, which fouls tie to one another."""
    fixed = tables.leaning(tables.payoffs(values, balls, strikes), balls, strikes)
    fouls = tables.leaning(tables.fouls(balls), balls, strikes)
    guess = values[:, balls + 1, strikes] if balls < 3 else np.zeros(values.shape[::3])
    nearest = guess
    least = np.full(guess.shape[0], np.inf)
    near = _solve_states(tables, _with_again(tables, fixed, fouls, guess), near)
    for _ in range(STEPS):
        found = near.value.reshape(guess.shape)
        moved = np.abs(found - guess).max(axis=1)
        nears = _nears(tables, near, fouls)
        sure = np.maximum(near.gap.reshape(guess.shape).max(axis=1), ROUNDING * abs(found).max(1))
        settled = moved <= np.maximum(PRECISION * nears, sure)
        if settled.all():
            break
        nearer = moved < least
        least, nearest = np.minimum(moved, least), np.where(nearer[:, None], found, nearest)
        newton = _value_of_both(tables, near, fixed, fouls)
        ahead = np.where(nearer[:, None], newton, nearest)  # after a bad step, one that must near
        guess = np.where(settled[:, None], guess, ahead)
        near = _solve_states(tables, _with_again(tables, fixed, fouls, guess), near)
    moved = np.abs(near.value.reshape(guess.shape) - guess).max(axis=1)
    lasts = guess.shape[1]
    off = (near.gap + 2.0 * np.repeat(moved, lasts)) / np.repeat(_nears(tables, near, fouls), lasts)
    return replace(near, gap=off)


def _nears(tables: AtBatTables, played: GameSolution, fouls: Floats) -> Floats:
    """(hitters,): least chance that a pitch against either side's mix is not fouled.

    What a mix guarantees moves with the values that follow a foul by at most one less this, so a
    step that moves them by d leaves them within d over this of the fixed point.
    """
    calls = played.calls.reshape(fouls.shape[:3])
    looks = played.looks.reshape(*fouls.shape[:2], fouls.shape[3])
    of_looks = runs_of_looks(calls, fouls).max(axis=(1, 2))
    of_calls = np.matmul(fouls, looks[..., None])[..., 0]
    allowed = tables.allowed[:, None, :]
    nears: Floats = 1.0 - np.maximum(of_looks, of_calls.max(axis=(1, 2), where=allowed, initial=0))
    return nears


def _with_again(tables: AtBatTables, fixed: Floats, fouls: Floats, guess: Floats) -> Floats:
    payoffs: Floats = fixed + fouls * guess[:, tables.next_last][:, None, :, None]
    return payoffs


def _value_of_both(
    tables: AtBatTables, played: GameSolution, fixed: Floats, fouls: Floats
) -> Floats:
    """(hitters, lasts): worth of two-strike states when both sides keep to their mixes."""
    calls = played.calls.reshape(fixed.shape[:3])
    looks = played.looks.reshape(*fixed.shape[:2], fixed.shape[3])
    return value_of_looks(looks, runs_of_looks(calls, fixed), chances_to_stay(tables, calls, fouls))
