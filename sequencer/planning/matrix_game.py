"""Zero-sum matrix games, many at once, each with a certificate of how exact its solution is.

Rows are calls and minimise runs, columns are looks and maximise them (von Neumann 1928). Three
solvers of falling speed: growing sets of calls and looks, the whole game by batched simplex, and
linear programming game by game for what neither could prove.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sequencer.errors import BadInput
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.growing import solve_by_growing_sets
from sequencer.planning.simplex import scale_of, solve_tableaux

GAP = 1e-9
"""Certificate asked for, as a share of the range of payoffs in play (a chosen precision)."""
NARROW = 16
"""Games with at most so many calls or looks are solved whole (measured: sets gain nothing)."""
CHUNK = 200_000
"""Cells of whole games in one run: more do not fit a core's cache (measured: 4 times slower)."""


class BadGame(BadInput, ValueError):
    """Payoffs that are not a batch of matrix games."""


@dataclass(frozen=True, eq=False)
class GameSolution:
    """Solved games: mixes are probabilities, value and gap are in the payoffs' runs.

    Attributes
    ----------
    value
        (games,) midway between what the two mixes guarantee: wrong by at most half the gap.
    calls, looks
        (games, calls) and (games, looks) optimal mixes.
    gap
        (games,) most a best look gets against ``calls`` minus least a best call gives ``looks``;
        at least nought, and nought only for exact solutions.
    """

    value: Floats
    calls: Floats
    looks: Floats
    gap: Floats


def solve_games(payoffs: ArrayLike, allowed: ArrayLike | None = None) -> GameSolution:
    """Solve a batch of zero-sum matrix games.

    Parameters
    ----------
    payoffs
        (games, calls, looks) runs; rows minimise, columns maximise.
    allowed
        (games, calls) or (calls,) of truth: calls that may be used. All, when absent. The others
        get exactly nought.

    Raises
    ------
    BadGame
        For the wrong shape, a payoff that is no finite number, or a game with no call allowed.
    """
    return solve_checked(*checked_games(payoffs, allowed))


def checked_games(payoffs: ArrayLike, allowed: ArrayLike | None = None) -> tuple[Floats, Bools]:
    """Check what ``solve_games`` is given: (games, calls, looks), (games, calls) allowed."""
    game = _checked(payoffs)
    return game, _checked_mask(allowed, game.shape)


def solve_checked(
    game: Floats, mask: Bools, start: tuple[Floats, Floats] | None = None
) -> GameSolution:
    """Solve games known to be sound; ``start`` gives mixes that may be near the solution."""
    if min(game.shape[1:]) > NARROW:
        calls, looks, left = solve_by_growing_sets(game, mask, start)
    else:
        calls, looks = np.zeros(game.shape[:2]), np.zeros(game.shape[::2])
        left = np.arange(game.shape[0])
    size = max(1, CHUNK // (game.shape[1] * game.shape[2]))
    for first in range(0, left.size, size):
        part = left[first : first + size]
        every_look = np.ones((part.size, game.shape[2]), dtype=bool)
        calls[part], looks[part] = solve_tableaux(game[part], mask[part], every_look)
    for index in _unproven(game, mask, calls, looks, left):
        _keep_better(game, mask, calls, looks, index)
    return _certified(game, mask, calls, looks)


def worst_case(payoffs: Floats, calls: Floats) -> Floats:
    """Give the runs of a best look against each mix of calls, (...) of (..., calls)."""
    worst: Floats = _against(calls, payoffs).max(axis=-1)
    return worst


def _checked(payoffs: ArrayLike) -> Floats:
    try:
        game = np.asarray(payoffs, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadGame("Payoffs must be numbers in a (games, calls, looks) array.") from error
    if game.ndim != 3 or 0 in game.shape[1:]:
        raise BadGame(
            "Payoffs must have the shape (games, calls, looks) with at least one call and one "
            f"look, not {game.shape}."
        )
    bad = np.argwhere(~(np.abs(game) < 1e100))
    if bad.size:
        where = ", ".join(str(n) for n in bad[0])
        raise BadGame(
            f"The payoff at game, call, look {where} is {game[tuple(bad[0])]}: give a finite "
            "number of runs."
        )
    return game


def _checked_mask(allowed: ArrayLike | None, shape: tuple[int, ...]) -> Bools:
    if allowed is None:
        return np.ones(shape[:2], dtype=bool)
    try:
        mask = np.broadcast_to(np.asarray(allowed, dtype=bool), shape[:2])
    except ValueError as error:
        raise BadGame(f"Allowed calls must fit the shape (games, calls) = {shape[:2]}.") from error
    empty = np.flatnonzero(~mask.any(axis=1))
    if empty.size:
        raise BadGame(f"Game {empty[0]} has no allowed call: allow at least one.")
    return mask


def _against(mix: Floats, payoffs: Floats) -> Floats:
    """Payoff of every column against a mix of rows."""
    result: Floats = np.matmul(mix[..., None, :], payoffs)[..., 0, :]
    return result


def _bounds(game: Floats, mask: Bools, calls: Floats, looks: Floats) -> tuple[Floats, Floats]:
    """Find what best replies make of the mixes: least runs of any call, most of any look.

    Measured from a payoff of each game, so that a huge common offset costs no digits.
    """
    base = game[:, :1, :1]
    inner = game - base
    low = np.where(mask, np.matmul(inner, looks[:, :, None])[:, :, 0], np.inf).min(axis=1)
    high = _against(calls, inner).max(axis=1)
    return low, high


def _in_play(game: Floats, calls: Floats, looks: Floats) -> Floats:
    """Range of the payoffs both mixes use (games,): what a gap is to be compared with."""
    used = (calls > 0.0)[:, :, None] & (looks > 0.0)[:, None, :]
    return scale_of(game, used)[1]


def _unproven(game: Floats, mask: Bools, calls: Floats, looks: Floats, which: Ints) -> Ints:
    """Games among ``which`` whose gap is above what is asked for."""
    if which.size == 0:
        return which
    part = game[which]
    low, high = _bounds(part, mask[which], calls[which], looks[which])
    scale = np.maximum(_in_play(part, calls[which], looks[which]), 0.0)
    rounding = np.finfo(float).eps * np.abs(part).max(axis=(1, 2))
    unproven: Ints = which[high - low > GAP * scale + 8.0 * rounding]
    return unproven


def _certified(game: Floats, mask: Bools, calls: Floats, looks: Floats) -> GameSolution:
    low, high = _bounds(game, mask, calls, looks)
    value = game[:, 0, 0] + (low + high) / 2.0
    return GameSolution(value, calls, looks, np.maximum(high - low, 0.0))


def _by_linear_program(game: Floats, mask: Bools) -> tuple[Floats, Floats] | None:
    """Mixes of one game by HiGHS, or None when it gives up."""
    from scipy.optimize import linprog  # 0.3 s to import, and hardly ever needed

    used = np.flatnonzero(mask)
    inner = game[used]
    low, spread = inner.min(), np.ptp(inner) or 1.0
    scaled = (inner - low) / spread
    calls, looks = scaled.shape
    result = linprog(
        np.append(np.zeros(calls), 1.0),
        A_ub=np.hstack([scaled.T, -np.ones((looks, 1))]),
        b_ub=np.zeros(looks),
        A_eq=np.append(np.ones(calls), 0.0)[None, :],
        b_eq=[1.0],
        bounds=[(0.0, None)] * calls + [(None, None)],
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if result.x is None:
        return None
    mix, prices = np.zeros(mask.size), np.maximum(-result.ineqlin.marginals, 0.0)
    mix[used] = np.maximum(result.x[:-1], 0.0)
    return mix / mix.sum(), prices / prices.sum()


def _keep_better(
    game: Floats,
    mask: Bools,
    calls: Floats,
    looks: Floats,
    index: int,
) -> None:
    """Take each side's mix by linear programming where it guarantees more, in place."""
    better = _by_linear_program(game[index], mask[index])
    if better is None:
        return
    one = slice(index, index + 1)
    low, high = _bounds(game[one], mask[one], calls[one], looks[one])
    new_low, new_high = _bounds(game[one], mask[one], better[0][None], better[1][None])
    if new_high[0] < high[0]:
        calls[index] = better[0]
    if new_low[0] > low[0]:
        looks[index] = better[1]
