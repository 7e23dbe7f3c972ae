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
from sequencer.planning.best_so_far import BestSoFar
from sequencer.planning.growing import solve_by_growing_sets
from sequencer.planning.simplex import solve_tableaux
from sequencer.planning.tableaux import scale_of

GAP = 1e-10
"""Certificate asked for, as a share of the range of payoffs in play (a chosen precision)."""
ROUNDING = 1e-14
"""What rounding may leave of a gap, as a share of a payoff (measured: 50 roundings)."""
REFRESHES = 3
"""Fresh starts of games that one run did not prove (measured: 2 mend all but freaks)."""
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
    best = BestSoFar(game, mask)
    left = np.arange(game.shape[0])
    if min(game.shape[1:]) > NARROW:
        left = solve_by_growing_sets(best, start)
    for solve in (_whole, _whole_with_care, _by_linear_programs):
        left = _unproven(best, left)
        if left.size == 0:
            break
        solve(best, left)
    value, gap = best.certificate()
    return GameSolution(value, best.calls, best.looks, gap)


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


def _unproven(best: BestSoFar, games: Ints) -> Ints:
    """Those of some games whose gap is above what is asked for."""
    gap, size = best.high - best.low, np.abs(best.base)
    games = games[gap[games] > ROUNDING * np.abs(best.high[games])]
    widest = scale_of(best.game[games], np.True_)[1]
    surely = gap[games] > GAP * widest + ROUNDING * np.maximum(widest, size[games])
    maybe = games[~surely]  # the range in play is dearer to find, and most need no look at it
    calls_on, looks_on = _worth_playing(best.game[maybe], best.mask[maybe])
    _, spread = scale_of(best.game[maybe], calls_on[:, :, None] & looks_on[:, None, :])
    wanted = GAP * spread + ROUNDING * np.maximum(spread, size[maybe])
    return np.concatenate([games[surely], maybe[gap[maybe] > wanted]])


def _worth_playing(game: Floats, mask: Bools) -> tuple[Bools, Bools]:
    """(games, calls) and (games, looks): what no single call or look rules out.

    A call that always gives more than the safest call's worst is never mixed, nor a look that never
    gets as much as the safest look's least; a mad payoff in one of them must not set the scale.
    """
    most, least = game.max(axis=2), game.min(axis=2)
    calls_on = mask & (least <= np.where(mask, most, np.inf).min(axis=1, keepdims=True))
    low = np.where(mask[:, :, None], game, np.inf).min(axis=1)
    high = np.where(calls_on[:, :, None], game, -np.inf).max(axis=1)
    return calls_on, high >= low.max(axis=1, keepdims=True)


def _whole(best: BestSoFar, games: Ints, refreshes: int = 0) -> None:
    """Solve some games with all their calls and looks, in runs that fit a cache."""
    size = max(1, CHUNK // (best.game.shape[1] * best.game.shape[2]))
    for first in range(0, games.size, size):
        part = games[first : first + size]
        calls_on, looks_on = _worth_playing(best.game[part], best.mask[part])
        best.offer(part, *solve_tableaux(best.game[part], calls_on, looks_on, refreshes))


def _whole_with_care(best: BestSoFar, games: Ints) -> None:
    """Solve some games whose calls and looks are too near alike for one run."""
    _whole(best, games, REFRESHES)


def _by_linear_programs(best: BestSoFar, games: Ints) -> None:
    """Solve some games one by one, and slowly, with HiGHS."""
    for index in games:
        mixes = _by_linear_program(best.game[index], best.mask[index])
        if mixes is not None:
            best.offer(np.array([index]), mixes[0][None], mixes[1][None])


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
