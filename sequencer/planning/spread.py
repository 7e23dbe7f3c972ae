"""Among mixes that are as good as the best, find the most spread one.

An exact solution is a corner: it puts a family on as few spots as it can, and that is a habit a
reader finds. The most spread mix has the least sum of squared shares, which is the chance that two
pitches drawn from it are the same call; being unique, it does not hang on how ties were broken.
"""

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning import every_look
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.at_bat import AtBatSolution
from sequencer.planning.factored import FactoredGame
from sequencer.planning.least_squares import least_squares
from sequencer.planning.matrix_game import GameSolution, checked_games, worst_case
from sequencer.planning.open_at_bat import OpenAtBat
from sequencer.planning.open_games import (
    Members,
    OpenGames,
    OpenSolution,
    joined_games,
    joined_solutions,
)
from sequencer.planning.side_by_side import side_by_side
from sequencer.planning.stages import COUNTS_BACKWARD, Stages

WITHIN = 5e-4
"""Runs a pitch given up for spread: what a fixed grid of beliefs is off by (measured)."""
HOT = 8
"""Looks held at the limit at first, the worst for the solution (measured: plans mix 2 to 8)."""
MORE = 2
"""Looks added where they break the limit (assumption)."""
GAMES = 300
"""States spread together (measured: more do not fit a core's cache)."""
NEAR = 0.02
"""Share of what may be given up by which a look may break the limit (a chosen precision)."""
SEARCHES = 4
"""Line searches at most before a mix is left as it was solved (assumption)."""
SWEEPS = 8
"""How often looks are added before the mix is drawn back inside the limit (measured)."""
LEAST = 0.02
"""Share of pitches that a call must be worth making to be taken up for spread (assumption)."""


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


def spread_open(game: FactoredGame, solved: OpenAtBat, within: float = WITHIN) -> Floats:
    """Spread the mixes of every state of at-bats solved against every look.

    As `spread_at_bats`, but that a call is taken up only if it could be made more than `LEAST` of
    the time. States are solved by now and hang on each other no more, so that all are spread
    together, those with as many calls to spread over at once.
    """
    hitters, lasts, calls, _ = game.sizes
    by_count = []
    for balls, strikes in solved.by_count:
        terms = game.whole_terms(solved.values, balls, strikes)
        by_count.append(game.open_games(terms, 3 * balls + strikes))
    games, solution = joined_games(by_count), joined_solutions([*solved.by_count.values()])
    over = games.met_by(solution) - solution.value[:, None]
    useful = games.allowed & (LEAST * over <= within)
    order = np.argsort(useful.sum(axis=1), kind="stable")
    mixes = np.empty(useful.shape)

    def fill(some: Ints) -> None:
        mixes[some] = _spread_games(games.of(some), solution.of(some), useful[some], within)

    side_by_side(fill, [order[n : n + GAMES] for n in range(0, order.size, GAMES)])
    spread = np.empty((hitters, 4, 3, lasts, calls))
    for (balls, strikes), here in zip(solved.by_count, np.split(mixes, 12), strict=True):
        spread[:, balls, strikes] = here.reshape(hitters, lasts, calls)
    return spread


def _spread_games(games: OpenGames, solution: OpenSolution, useful: Bools, within: float) -> Floats:
    """(games, calls): the most spread mixes that no look gets more than the limit from."""
    safe = solution.calls
    runs, numbers = games.best(safe)
    limit = np.maximum(solution.value + within, runs.max(axis=1))
    members = Members.of(useful | (safe > 0.0))
    first = np.argsort(-runs, axis=1)[:, :MORE]
    worst = np.take_along_axis(numbers, first, axis=1)
    numbers = np.concatenate([solution.numbers, worst], axis=1)
    columns = members.take(games.columns(numbers))
    wide, live, work = safe.copy(), np.arange(len(safe)), games
    for _ in range(SWEEPS):
        shares, prices = least_squares(columns - limit[live, None, None], members.on)
        wide[live] = members.spread_out(shares)
        runs, worst = work.best(wide[live])
        broken = runs.max(axis=1) > limit[live] + NEAR * within
        if not broken.any():
            break
        first = np.argsort(-runs, axis=1)[:, :MORE]
        middle, _ = every_look.between(numbers, prices)
        more = np.concatenate([np.take_along_axis(worst, first, axis=1), middle], axis=1)[broken]
        live, work, members = live[broken], work.of(broken), members.of_games(broken)
        kept = np.argsort(-prices[broken], axis=1)[:, : int((prices > 0.0).sum(axis=1).max())]
        numbers = np.take_along_axis(numbers[broken], kept, axis=1)
        columns = np.take_along_axis(columns[broken], kept[:, None, :], axis=2)
        numbers = np.concatenate([numbers, more], axis=1)
        columns = np.concatenate([columns, members.take(work.columns(more))], axis=2)
    return _back_inside(games, limit, safe, wide, NEAR * within)


def _back_inside(
    games: OpenGames, limit: Floats, safe: Floats, wide: Floats, slack: float
) -> Floats:
    """Go from the safe mixes toward the wide ones as far as the limit lets: line searches.

    The worst look changes on the way, so that one search may not be enough.
    """
    mix = wide
    for _ in range(SEARCHES):
        runs, numbers = games.best(mix)
        over = runs.max(axis=1) > limit + slack
        if not over.any():
            break
        columns = games.columns(numbers)
        near, far = (np.matmul(one[:, None, :], columns)[:, 0] for one in (safe, mix))
        beyond = far > limit[:, None]
        share = np.where(beyond, (limit[:, None] - near) / np.where(beyond, far - near, 1.0), 1.0)
        part = np.clip(share.min(axis=1), 0.0, 1.0)[:, None]
        mix = np.where(over[:, None], safe + part * (mix - safe), mix)
    better = (mix**2).sum(axis=1) < (safe**2).sum(axis=1)
    inside = games.best(mix)[0].max(axis=1) <= limit + slack
    return np.where((better & inside)[:, None], mix, safe)


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
