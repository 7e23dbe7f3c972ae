"""Matrix games by growing sets of rows (row generation: after McMahan, Gordon and Blum 2003).

A game of hundreds of rows and columns is decided by a handful. The columns are all priced by the
simplex anyway, so only rows are held back: solve the game on a few, add the best reply of the whole
game to the columns' mix, and stop when no reply gains.
"""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.best_so_far import BestSoFar
from sequencer.planning.members import spread_out, used
from sequencer.planning.simplex import solve_tableaux
from sequencer.planning.tableaux import range_of

AIM = 1e-11
"""Where sets stop growing, as a share of the range of payoffs in play: what floats can reach."""
ROUNDS = 12
"""How often sets may grow before a game is left to be solved whole (measured: pitching needs 1 to
6; a game that mixes more calls than this is cheaper whole)."""


class _Rows:
    """The working sets of rows of the games still open; a row may be there twice.

    members: (games, set); payoffs: (games, set, columns), less the base.
    """

    def __init__(self, best: BestSoFar, members: Ints) -> None:
        self._best, self.members = best, members
        self.payoffs = best.game[np.arange(len(members))[:, None], members]
        self.payoffs -= best.less[:, None, None]

    def grow(self, games: Ints, going: Bools, row: Ints) -> None:
        """Keep the games that go on, and add a row to each."""
        kept, size, columns = games.size, self.members.shape[1], self.payoffs.shape[2]
        self.members = np.concatenate([self.members[going], row[:, None]], axis=1)
        payoffs = np.empty((kept, size + 1, columns))
        payoffs[:, :size] = self.payoffs if going.all() else self.payoffs[going]
        payoffs[:, size] = self._best.game[games, row]
        payoffs[:, size] -= self._best.less[games, None]
        self.payoffs = payoffs


def solve_by_growing_sets(best: BestSoFar, start: tuple[Floats, Floats] | None = None) -> Ints:
    """Solve the games that growing sets can, and improve the others.

    Parameters
    ----------
    best
        The games, and where to keep their mixes.
    start
        (games, rows) and (games, columns) mixes that may be near the solution, such as those of
        neighbouring games.

    Returns
    -------
    array
        The games left unsolved, in order.
    """
    games, stuck = np.arange(best.game.shape[0]), []
    rows, near = _begin(best, start)
    for turn in range(ROUNDS + 1):
        x, y = solve_tableaux(rows.payoffs, near=near)
        near, weights = used(y)
        of_columns = np.matmul(x[:, None, :], rows.payoffs)[:, 0]
        of_rows = _against(best, games, near, weights)
        high, low = of_columns.max(axis=1), of_rows.min(axis=1)
        best.keep(games, spread_out(x, rows.members, of_rows.shape[1]), high, y, low)
        lowest, highest = range_of(np.take_along_axis(rows.payoffs, near[:, None, :], axis=2))
        slack = AIM * (highest - lowest)
        in_set = np.take_along_axis(of_rows, rows.members, axis=1).min(axis=1)
        done, gains = high - low <= slack, low < in_set - slack / 8.0
        stuck.append(games[~done & ~gains])
        going = ~done & gains
        games, near, reply = games[going], near[going], of_rows.argmin(axis=1)[going]
        if games.size == 0 or turn == ROUNDS:
            break
        rows.grow(games, going, reply)
    return np.sort(np.concatenate([*stuck, games]))


def _begin(best: BestSoFar, start: tuple[Floats, Floats] | None) -> tuple[_Rows, Ints | None]:
    """First rows, and columns near the solution if they are known."""
    first = np.stack([best.safest, best.answer], axis=1)
    if start is None:
        return _Rows(best, first), None
    return _Rows(best, np.concatenate([used(start[0])[0], first], axis=1)), used(start[1])[0]


def _against(best: BestSoFar, games: Ints, members: Ints, weights: Floats) -> Floats:
    """(games, rows): payoff of every row, less the base, against columns with some weights."""
    payoffs = best.game[games[:, None], :, members] - best.less[games, None, None]
    result: Floats = np.matmul(weights[:, None, :], payoffs)[:, 0]
    return result
