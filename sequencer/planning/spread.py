"""Among mixes that are as good as the best, find the most spread one.

An exact solution is a corner: it puts a family on as few spots as it can, and that is a habit a
reader finds. The most spread mix has the least sum of squared shares, which is the chance that two
pitches drawn from it are the same call; being unique, it does not hang on how ties were broken.
"""

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.at_bat import AtBatSolution
from sequencer.planning.least_squares import least_squares
from sequencer.planning.matrix_game import GameSolution, checked_games, worst_case
from sequencer.planning.stages import COUNTS_BACKWARD, Stages

WITHIN = 5e-4
"""Runs given up for spread: a quarter of what a fit is in doubt by (.0022, measured)."""
HOT = 8
"""Looks held at the limit at first, the worst for the solution (measured: plans mix 2 to 8)."""
MORE = 4
"""Looks added where they break the limit (assumption)."""
SWEEPS = 4
"""How often looks are added before the mix is drawn back inside the limit (measured)."""


def spread_ties(
    payoffs: ArrayLike,
    solution: GameSolution,
    within: float = WITHIN,
    allowed: ArrayLike | None = None,
) -> Floats:
    """Find a more spread mix of calls whose worst case stays near the best.

    Parameters
    ----------
    payoffs, allowed
        As given to ``solve_games``.
    solution
        Its solution.
    within
        Runs that the worst case may lie above the value.

    Returns
    -------
    array
        (games, calls) mixes. Measured, not hoped: no look gets more than ``within`` above the value
        (or than it gets from the solution's own mix, should that be more), and no mix is less
        spread than the solution's.

    Raises
    ------
    BadGame
        As ``solve_games``.
    """
    game, mask = checked_games(payoffs, allowed)
    game = game - solution.value[:, None, None]  # an offset in common must cost no digits
    limit = np.maximum(max(within, 0.0), worst_case(game, solution.calls))
    return _drawn_back(game, limit, solution.calls, _cutting_planes(game, mask, limit, solution))


def spread_at_bats(tables: Stages, solution: AtBatSolution, within: float = WITHIN) -> Floats:
    """Spread the mixes of every state of solved at-bats, each by itself.

    Parameters
    ----------
    tables, solution
        The at-bats and what ``solve_tables`` made of them.
    within
        Runs that a pitch may cost by the exact values of the next ones. What all the pitches of an
        at-bat come to, ``evaluate_tables`` measures: about five times as much.

    Returns
    -------
    array
        (hitters, 4, 3, lasts, calls) mixes.
    """
    hitters, lasts, calls, looks = tables.sizes
    values = tables.blank_values()
    values[:, :4, :3] = solution.value
    allowed = np.repeat(tables.allowed, lasts, axis=0)
    spread = np.empty_like(solution.mix)
    for balls, strikes in COUNTS_BACKWARD:
        where = np.s_[:, balls, strikes]
        game = tables.stage(values, balls, strikes).reshape(-1, calls, looks)
        stage = GameSolution(
            value=solution.value[where].ravel(),
            calls=solution.mix[where].reshape(-1, calls),
            looks=solution.looks[where].reshape(-1, looks),
            gap=solution.gap[where].ravel(),
        )
        spread[where] = spread_ties(game, stage, within, allowed).reshape(hitters, lasts, calls)
    return spread


def _cutting_planes(game: Floats, mask: Bools, limit: Floats, solution: GameSolution) -> Floats:
    """(games, calls): the most spread mix, holding only looks that turned out to matter."""
    games = np.arange(game.shape[0])
    found = solution.calls.copy()
    hot = _hottest(game, solution.calls, HOT)
    for _ in range(SWEEPS):
        held = np.take_along_axis(game[games], hot[:, None, :], axis=2)
        found[games] = least_squares(held - limit[games, None, None], mask[games])[0]
        broken = worst_case(game[games], found[games]) > limit[games] * (1.0 + 1e-6)
        games, hot = games[broken], hot[broken]
        if games.size == 0:
            break
        hot = np.concatenate([hot, _hottest(game[games], found[games], MORE)], axis=1)
    return found


def _hottest(game: Floats, mix: Floats, count: int) -> Ints:
    """(games, count): the looks that get most from the mixes."""
    runs = np.matmul(mix[:, None, :], game)[:, 0]
    hottest: Ints = np.argsort(-runs, axis=1, kind="stable")[:, :count]
    return hottest


def _drawn_back(game: Floats, limit: Floats, safe: Floats, wide: Floats) -> Floats:
    """Go from the safe mixes toward the wide ones as far as the limit lets: a line search."""
    near, far = (np.matmul(mix[:, None, :], game)[:, 0] for mix in (safe, wide))
    over = far > limit[:, None]
    shares = np.where(over, (limit[:, None] - near) / np.where(over, far - near, 1.0), 1.0)
    share = np.clip(shares.min(axis=1), 0.0, 1.0)[:, None]
    mix = safe + share * (wide - safe)
    better = (mix**2).sum(axis=1) < (safe**2).sum(axis=1)
    ok = better & (worst_case(game, mix) <= limit + 1e-12)
    drawn: Floats = np.where(ok[:, None], mix, safe)
    return drawn
