"""The best mixes found so far in each game of a batch, by what they guarantee."""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints


class BestSoFar:
    """Keeps for each side of each game the mix that guarantees it most.

    Bounds are measured from ``base``, what the safest single call may give: a payoff of the game,
    so that a huge offset costs no digits, and in play, so that a mad payoff elsewhere costs none.
    """

    def __init__(self, game: Floats, mask: Bools) -> None:
        """Begin with the safest single call and the best reply to it."""
        self.game, self.mask = game, mask
        games, worst = np.arange(game.shape[0]), np.where(mask, game.max(axis=2), np.inf)
        self.safest: Ints = worst.argmin(axis=1)
        self.reply: Ints = game[games, self.safest].argmax(axis=1)
        self.base: Floats = worst.min(axis=1)
        self.calls, self.looks = np.zeros(game.shape[:2]), np.zeros(game.shape[::2])
        self.calls[games, self.safest] = self.looks[games, self.reply] = 1.0
        self.high = np.zeros(games.size)  # the most a look gets against ``calls``, less the base
        replied = np.where(mask, game[games, :, self.reply], np.inf)
        self.low: Floats = replied.min(axis=1) - self.base  # the least a call gives ``looks``

    def offer(self, games: Ints, calls: Floats, looks: Floats) -> None:
        """Measure mixes of some games on the whole games and keep what is better."""
        low, high = self._bounds(games, calls, looks)
        self.keep(games, calls, high, looks, low)

    def certificate(self) -> tuple[Floats, Floats]:
        """Value of every game, midway between the bounds, and their gap, measured anew."""
        low, high = self._bounds(np.arange(self.base.size), self.calls, self.looks)
        return self.base + (low + high) / 2.0, np.maximum(high - low, 0.0)

    def _bounds(self, games: Ints, calls: Floats, looks: Floats) -> tuple[Floats, Floats]:
        """Find the least runs of any call against looks, and the most of any look against calls."""
        inner = self.game[games] - self.base[games, None, None]
        of_calls = np.matmul(inner, looks[:, :, None])[:, :, 0]
        of_looks = np.matmul(calls[:, None, :], inner)[:, 0]
        low: Floats = np.where(self.mask[games], of_calls, np.inf).min(axis=1)
        high: Floats = of_looks.max(axis=1)
        return low, high

    def keep(self, games: Ints, calls: Floats, high: Floats, looks: Floats, low: Floats) -> None:
        """Keep mixes of some games, already measured, where they are better."""
        tighter = high < self.high[games]
        self.calls[games[tighter]], self.high[games[tighter]] = calls[tighter], high[tighter]
        tighter = low > self.low[games]
        self.looks[games[tighter]], self.low[games[tighter]] = looks[tighter], low[tighter]
