"""Rows of `sequencer bench`: stage games solved in batches, beside linear programs one by one.

Every solver works on the same games in the same run, in turns, with one thread.
"""

import time
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec
from itertools import product
from typing import Final

import numpy as np
from scipy.optimize import linprog
from threadpoolctl import threadpool_limits

from sequencer.cli.bench import Measured
from sequencer.planning.arrays import Floats
from sequencer.planning.matrix_game import solve_games

#: Every solver takes its turn so many times, and runs so many times in a turn; the median is shown.
TURNS, RUNS = 3, 3
#: Linear programs are run on every so many-th game, and the time is taken so many times.
SHARE: Final = 9
_SCIPY: Final = "scipy linprog"


def random_games() -> Measured:
    """Measure 600 random games of 52 calls and 10 looks, most of which mix five to seven calls."""
    ours, other, _ = _random()
    return _row("600 random games", ours, other, _SCIPY, 50)


def random_games_by_nashpy() -> Measured:
    """Measure the same, where nashpy is installed, beside its linear programs."""
    ours, _, other = _random()
    against = "nashpy: not installed (.[test])" if other is None else "nashpy"
    return _row("600 random games", ours, other, against, 100)


def plan_games() -> Measured:
    """Measure 600 games of 52 calls and 10 looks of the shape that plans have."""
    ours, other = _in_turns(_few_looks(plan_like(600)), _programs)
    return _row("600 plan-like games", ours, other, _SCIPY, 50)


def large_games() -> Measured:
    """Measure 81 games of 100 calls and 561 looks of the shape that plans have."""
    ours, other = _in_turns(plan_like(81), _programs)
    return _row("81 plan-like, large", ours, other, _SCIPY, 150)


def _row(what: str, ours: float, other: float | None, against: str, times: int) -> Measured:
    """Tell what must be so many times as fast as the other."""
    holds = other is None or times * ours <= other
    return Measured(what, ours, other, against, f"1/{times} of it", holds)


@cache
def _random() -> tuple[float, float, float | None]:
    payoffs = np.random.default_rng(0).normal(size=(600, 52, 10))
    if find_spec("nashpy") is None:
        ours, scipy = _in_turns(payoffs, _programs)
        return ours, scipy, None
    ours, scipy, nashpy = _in_turns(payoffs, _programs, _by_nashpy)
    return ours, scipy, nashpy


def _in_turns(payoffs: Floats, *others: Callable[[Floats], object]) -> list[float]:
    """Median seconds of ours on all games, then of others, each worked out from a share."""
    share = payoffs[::SHARE]
    runs: list[tuple[Callable[[Floats], object], Floats]] = [(solve_games, payoffs)]
    runs += [(other, share) for other in others]
    seconds = np.zeros((TURNS * RUNS, len(runs)))
    with threadpool_limits(1):
        for solve, games in runs:
            solve(games[:2])  # imports what it needs
        for turn, which, run in product(range(TURNS), range(len(runs)), range(RUNS)):
            solve, games = runs[which]
            began = time.perf_counter()
            solve(games)
            seconds[turn * RUNS + run, which] = time.perf_counter() - began
    times = [len(payoffs) / len(games) for _, games in runs]
    return [float(taken) for taken in np.median(seconds, axis=0) * times]


def _programs(payoffs: Floats) -> list[float]:
    return [program(game) for game in payoffs]


def program(game: Floats) -> float:
    """Return the value of one game, (calls, looks), by a linear program."""
    calls, looks = game.shape
    solved = linprog(
        np.r_[np.zeros(calls), 1.0],
        A_ub=np.c_[game.T, -np.ones(looks)],
        b_ub=np.zeros(looks),
        A_eq=np.r_[np.ones(calls), 0.0][None],
        b_eq=[1.0],
        bounds=[(0, None)] * calls + [(None, None)],
        method="highs",
    )
    return float(solved.fun)


def _by_nashpy(payoffs: Floats) -> list[object]:
    import nashpy

    return [nashpy.Game(-game).linear_program() for game in payoffs]


def _few_looks(games: Floats) -> Floats:
    """(games, 52, 10): some calls and looks of every game."""
    rng = np.random.default_rng(1)
    return np.stack(
        [game[rng.choice(100, 52, False)][:, rng.choice(561, 10, False)] for game in games]
    )


def plan_like(games: int) -> Floats:
    """Make games of the shape of a plan's: (games, 100 calls, 561 looks) runs.

    Calls are five pitches (two fast) at twenty targets; looks are eleven ways (ready to drive or
    protecting, each with five areas, and taking) with 51 beliefs. A belief moves misses and fouls
    through surprise, so payoffs are smooth in it. Sizes are plausible ones, and such that payoffs
    vary by call and look as those of a solved plan do (five pitches at 21 targets, 61 beliefs: runs
    of calls spread 4.7 times as wide as what call and look add together, one to three calls mixed;
    here 5.7 times, and one to four).
    """
    rng = np.random.default_rng(0)
    return np.stack([_plan_like(rng) for _ in range(games)])


def _plan_like(rng: np.random.Generator) -> Floats:
    fast = np.repeat([True, True, False, False, False], 20)[:, None]
    side, height = np.meshgrid(np.linspace(-1.5, 1.5, 5), np.linspace(-1.5, 1.2, 4))
    u, v = (np.tile(place.ravel(), 5)[:, None] for place in (side, height))
    off = 3.0 * np.maximum(np.hypot(u, v) - 1.0, 0.0)
    areas = (0.0 * u, np.tanh(-1.4 * u), np.tanh(1.4 * u), np.tanh(1.4 * v), np.tanh(-1.4 * v))
    belief, usual = np.linspace(0.02, 0.98, 51), rng.uniform(0.45, 0.7)
    nats = np.log(np.where(fast, usual / belief, (1.0 - usual) / (1.0 - belief)))
    pitch = np.repeat(rng.normal(0.0, 0.25, 5), 20)[:, None]
    ball, strike = rng.uniform(0.03, 0.12), -rng.uniform(0.04, 0.2)
    called = _chance(2.2 - 2.2 * off)
    taken = called * strike + (1.0 - called) * ball
    looks = []
    for protects in (0.0, 1.0):
        swing = _chance(1.1 + 0.8 * protects - 1.3 * off)
        miss = _chance(pitch - 1.3 + 0.35 * off - 0.4 * protects + 0.30 * nats)
        foul = _chance(0.2 * protects - 0.1 + 0.16 * nats)
        for area in areas:
            worth = rng.normal(0.07, 0.003) - 0.05 * off + 0.02 * area - 0.04 * protects
            hit = foul * strike + (1.0 - foul) * worth
            looks.append((1.0 - swing) * taken + swing * (miss * strike + (1.0 - miss) * hit))
    looks.append(0.6 * taken + 0.4 * looks[0])
    return np.concatenate(looks, axis=1) + rng.normal(0.0, 0.015, (100, 1))


def _chance(log_odds: Floats) -> Floats:
    chance: Floats = 1.0 / (1.0 + np.exp(-log_odds))
    return chance
