"""The best mixes found so far in each game of a batch, by what they guarantee, and their proof."""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.tableaux import range_of

GAP = 1e-10
"""Certificate asked for, as a share of the range of payoffs in play (a chosen precision)."""
ROUNDING = 1e-14
"""What rounding may leave of a gap, as a share of a payoff (measured: 50 roundings)."""
PLAYED = 1e-3
"""Least share of a mix that is sure to be in play (assumption)."""


class BestSoFar:
    """Keeps for each side of each game the mix that guarantees it most.

    Games are (games, rows, columns); rows minimise. Bounds are measured from ``base``, what the
    safest single row may give: a payoff of the game, so that a huge offset costs no digits, and in
    play, so that a mad payoff elsewhere costs none.
    """

    def __init__(self, game: Floats, *, ours: bool = False) -> None:
        """Begin with the safest single row, the best reply to it, and the best answer to that.

        A game that is ours alone is itself measured from the base, which saves copies.
        """
        self.game, self._ours = game, ours
        games, worst = np.arange(game.shape[0]), game.max(axis=2)
        self.safest: Ints = worst.argmin(axis=1)
        self.reply: Ints = game[games, self.safest].argmax(axis=1)
        replied = game[games, :, self.reply]
        self.answer: Ints = replied.argmin(axis=1)
        self.base: Floats = worst.min(axis=1)
        self.rows, self.columns = np.zeros(game.shape[:2]), np.zeros(game.shape[::2])
        self.rows[games, self.safest] = self.columns[games, self.reply] = 1.0
        self.high = np.zeros(games.size)  # the most a column gets against ``rows``, less the base
        self.low: Floats = replied.min(axis=1) - self.base  # the least a row gives ``columns``
        self.less = np.zeros(games.size) if ours else self.base  # from here on, to be taken off
        if ours:
            self.game -= self.base[:, None, None]

    @property
    def gap(self) -> Floats:
        """(games,): what best replies to the two mixes differ by."""
        return np.maximum(self.high - self.low, 0.0)

    @property
    def value(self) -> Floats:
        """(games,): midway between what the two mixes guarantee."""
        value: Floats = self.base + (self.low + self.high) / 2.0
        return value

    def inner(self, games: Ints) -> Floats:
        """Return some games, in order, less their base: not to be written to."""
        if not self._ours:
            return self.game[games] - self.base[games, None, None]
        if games.size and games[-1] - games[0] == games.size - 1:  # neighbours need no copy
            return self.game[games[0] : games[-1] + 1]
        return self.game[games]

    def offer(self, games: Ints, inner: Floats, rows: Floats, columns: Floats) -> None:
        """Measure mixes of some games on ``inner`` of them, and keep what is better."""
        high: Floats = np.matmul(rows[:, None, :], inner)[:, 0].max(axis=1)
        low: Floats = np.matmul(inner, columns[:, :, None])[:, :, 0].min(axis=1)
        self.keep(games, rows, high, columns, low)

    def keep(self, games: Ints, rows: Floats, high: Floats, columns: Floats, low: Floats) -> None:
        """Keep mixes of some games, already measured, where they are better."""
        tighter = high < self.high[games]
        self.rows[games[tighter]], self.high[games[tighter]] = rows[tighter], high[tighter]
        tighter = low > self.low[games]
        self.columns[games[tighter]], self.low[games[tighter]] = columns[tighter], low[tighter]


def unproven(best: BestSoFar, games: Ints, width: Floats) -> Ints:
    """Those of some games whose gap is above what is asked for at a width of payoffs."""
    gap, size = best.gap[games], np.abs(best.base[games])
    return games[gap > GAP * width + ROUNDING * np.maximum(width, size)]


def width_played(best: BestSoFar, games: Ints) -> Floats:
    """(games,): range of the payoffs of what is played against the heaviest of the other side.

    What is played less than `PLAYED` is left out: rounding leaves such shares of anything.
    """
    rows, columns = best.rows[games], best.columns[games]
    across = best.game[games, rows.argmax(axis=1)]
    down = best.game[games, :, columns.argmax(axis=1)]
    return np.maximum(_width(across, columns > PLAYED), _width(down, rows > PLAYED))


def _width(payoffs: Floats, on: Bools) -> Floats:
    highest, lowest = np.where(on, payoffs, -np.inf), np.where(on, payoffs, np.inf)
    width: Floats = highest.max(axis=1) - lowest.min(axis=1)
    return width


def width_in_play(best: BestSoFar, games: Ints) -> Floats:
    """(games,): range of the payoffs that no single row or column rules out."""
    low, high = range_of(in_play(best, games)[0])
    return high - low


def in_play(best: BestSoFar, games: Ints) -> tuple[Floats, Ints, Ints]:
    """Cut some games, less their base, to the rows and columns worth playing, given beside them.

    A row that always gives more than the safest row's worst is never mixed, nor a column that never
    gets as much as the safest column's least: a safe one stands in for it. So a mad payoff in one
    of them does not set the scale.
    """
    game = best.inner(games)
    most, least = game.max(axis=2), game.min(axis=2)
    safest = most.argmin(axis=1)[:, None]
    on = least <= np.take_along_axis(most, safest, axis=1)
    rows = np.where(on, np.arange(game.shape[1]), safest)
    game = np.take_along_axis(game, rows[:, :, None], axis=1)
    most, least = game.max(axis=1), game.min(axis=1)
    safest = least.argmax(axis=1)[:, None]
    on = most >= np.take_along_axis(least, safest, axis=1)
    columns = np.where(on, np.arange(game.shape[2]), safest)
    return np.take_along_axis(game, columns[:, None, :], axis=2), rows, columns
