"""Zero-sum matrix games, many at once, each with a certificate of how exact its solution is.

Calls minimise runs and looks maximise them (von Neumann 1928); inside, the side with fewer choices
is the rows and minimises. Solvers of falling speed: growing sets of rows, the whole game by batched
simplex, the same with care, and linear programming game by game for what none of them could prove.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from sequencer.errors import BadInput
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.best_so_far import BestSoFar, in_play, unproven, width_in_play, width_played
from sequencer.planning.growing import solve_by_growing_sets
from sequencer.planning.members import spread_out, stand_ins
from sequencer.planning.simplex import solve_tableaux, solve_with_care

NARROW = 16
"""Games with at most so many calls or looks are solved whole (measured: sets of rows save at most a
quarter of the time where few are mixed, and cost three times as much where many are)."""
MOST = 1e100
"""Payoffs beyond this are taken for mistakes: their range could not be told (assumption)."""
CHUNK = 200_000
"""Cells of whole games in one run: more do not fit a core's cache (measured: a sixth slower)."""


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
    game = _checked(payoffs)
    return solve_checked(game, _checked_mask(allowed, game.shape))


def solve_checked(
    game: Floats, mask: Bools, start: tuple[Floats, Floats] | None = None
) -> GameSolution:
    """Solve games known to be sound; ``start`` gives mixes that may be near the solution.

    Calls that are not allowed are solved as copies of one that is.
    """
    calls = None
    if not mask.all():
        calls = stand_ins(mask)
        game = np.take_along_axis(game, calls[:, :, None], axis=1)
        start = None if start is None else (np.where(mask, start[0], 0.0), start[1])
    many = game.shape[1] > game.shape[2]
    solved = _solve_turned(game, start) if many else _solve(BestSoFar(game), start)
    if calls is None:
        return solved
    return replace(solved, calls=spread_out(solved.calls, calls, mask.shape[1]))


def _solve_turned(game: Floats, start: tuple[Floats, Floats] | None) -> GameSolution:
    """Solve games with the sides exchanged, since few rows are quicker."""
    turned = np.negative(game.transpose(0, 2, 1), order="C")
    solved = _solve(BestSoFar(turned, ours=True), None if start is None else start[::-1])
    return GameSolution(-solved.value, solved.looks, solved.calls, solved.gap)


def _solve(best: BestSoFar, start: tuple[Floats, Floats] | None) -> GameSolution:
    left = np.arange(best.game.shape[0])
    if start is not None or best.game.shape[1] > NARROW:
        left = solve_by_growing_sets(best, start)
    left = unproven(best, left, np.zeros(left.size))
    for solve in (_whole, _whole_with_care, _by_linear_programs):
        if left.size == 0:
            break
        solve(best, left)
        left = unproven(best, left, width_played(best, left))
        left = unproven(best, left, width_in_play(best, left))  # wider, and dearer to find
    return GameSolution(best.value, best.rows, best.columns, best.gap)


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
    with np.errstate(all="ignore"):
        sound = np.vdot(game, game) < MOST**2  # a sum of squares is one quick look at them all
    if not sound and not (np.abs(game) < MOST).all():
        bad = np.argwhere(~(np.abs(game) < MOST))[0]
        where = ", ".join(str(n) for n in bad)
        raise BadGame(
            f"The payoff at game, call, look {where} is {game[tuple(bad)]}: give a finite "
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


def _whole(best: BestSoFar, games: Ints) -> None:
    """Solve some games with all their rows and columns, in runs that fit a cache."""
    for part in _runs(best, games):
        inner = best.inner(part)
        best.offer(part, inner, *solve_tableaux(inner))


def _whole_with_care(best: BestSoFar, games: Ints) -> None:
    """Solve some games that have mad payoffs, or rows and columns too near alike for one run."""
    for part in _runs(best, games):
        game, rows, columns = in_play(best, part)
        x, y = solve_with_care(game)
        x, y = spread_out(x, rows, rows.shape[1]), spread_out(y, columns, columns.shape[1])
        best.offer(part, best.inner(part), x, y)


def _runs(best: BestSoFar, games: Ints) -> list[Ints]:
    cells = games.size * best.game.shape[1] * best.game.shape[2]
    return np.array_split(games, min(games.size, 1 + cells // CHUNK))


def _by_linear_programs(best: BestSoFar, games: Ints) -> None:
    """Solve some games one by one, and slowly, with HiGHS."""
    for one in np.split(games, games.size):
        inner = best.inner(one)
        mixes = _by_linear_program(inner[0])
        if mixes is not None:
            best.offer(one, inner, mixes[0][None], mixes[1][None])


def _by_linear_program(game: Floats) -> tuple[Floats, Floats] | None:
    """Mixes of one game (rows, columns) by HiGHS, or None when it gives up."""
    from scipy.optimize import linprog  # 0.3 s to import, and hardly ever needed

    scaled = (game - game.min()) / (np.ptp(game) or 1.0)
    rows, columns = scaled.shape
    result = linprog(
        np.append(np.zeros(rows), 1.0),
        A_ub=np.hstack([scaled.T, -np.ones((columns, 1))]),
        b_ub=np.zeros(columns),
        A_eq=np.append(np.ones(rows), 0.0)[None, :],
        b_eq=[1.0],
        bounds=[(0.0, None)] * rows + [(None, None)],
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if result.x is None:
        return None
    mix, prices = np.maximum(result.x[:-1], 0.0), np.maximum(-result.ineqlin.marginals, 0.0)
    return mix / mix.sum(), prices / prices.sum()
