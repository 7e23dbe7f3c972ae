"""Condensed simplex tableaux of many matrix games, pivoted together."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints


@dataclass
class Tableaux:
    """One tableau a game: constraints (looks) by variables (calls), limits last, costs below.

    Attributes
    ----------
    cells
        (games, looks + 1, calls + 1). A call or look that is not of the game is all noughts, which
        no pivot ever touches.
    labels
        (games, calls + looks): what each column, then each row, stands for now. Below ``calls`` it
        is a call, from there on a look.
    calls
        Number of calls.
    """

    cells: Floats
    labels: Ints
    calls: int

    @classmethod
    def of_games(cls, payoffs: Floats, calls_on: Bools, looks_on: Bools) -> Self:
        """Set up games, each scaled to payoffs from 1 to 2, with no call in use."""
        games, calls, looks = payoffs.shape
        on = calls_on[:, :, None] & looks_on[:, None, :]
        low, spread = scale_of(payoffs, on)
        spread = np.where(spread > 0.0, spread, 1.0)
        inner = (payoffs - low[:, None, None]) / spread[:, None, None] + 1.0
        cells = np.zeros((games, looks + 1, calls + 1))
        cells[:, :looks, :calls] = np.where(on, inner, 0.0).transpose(0, 2, 1)
        cells[:, :looks, calls] = 1.0
        cells[:, looks, :calls] = np.where(calls_on, -1.0, 0.0)
        return cls(cells, np.tile(np.arange(calls + looks), (games, 1)), calls)

    @property
    def of_columns(self) -> Ints:
        """(games, calls): what the columns stand for."""
        return self.labels[:, : self.calls]

    @property
    def of_rows(self) -> Ints:
        """(games, looks): what the rows stand for."""
        return self.labels[:, self.calls :]

    def pivot(self, live: Ints, row: Ints, column: Ints) -> None:
        """Exchange a row and a column of every live game."""
        cells, labels = self.cells, self.labels
        pivots = cells[live, row, column]
        new_row = cells[live, row] / pivots[:, None]
        old_column = cells[live, :, column]
        change = old_column[:, :, None] * new_row[:, None, :]
        if live.size == cells.shape[0]:
            cells -= change
        else:
            cells[live] -= change
        cells[live, row] = new_row
        cells[live, :, column] = -old_column / pivots[:, None]
        cells[live, row, column] = 1.0 / pivots
        into, out = labels[live, self.calls + row], labels[live, column]
        labels[live, column], labels[live, self.calls + row] = into, out

    def bring_in(self, other: Self) -> None:
        """Pivot fresh tableaux to where others stand, the largest pivots first.

        A long run of pivots, some of them small, loses digits; the way back here loses few.
        """
        games, looks = self.of_rows.shape
        calls_in, looks_in = np.zeros((games, self.calls), bool), np.zeros((games, looks), bool)
        game, place = np.nonzero(other.of_rows < self.calls)
        calls_in[game, other.of_rows[game, place]] = True
        game, place = np.nonzero(other.of_columns >= self.calls)
        looks_in[game, other.of_columns[game, place] - self.calls] = True
        for _ in range(min(looks, self.calls)):
            live = np.flatnonzero(calls_in.any(axis=1) & looks_in.any(axis=1))
            if live.size == 0:
                break
            wanted = looks_in[live][:, :, None] & calls_in[live][:, None, :]
            sizes = np.where(wanted, np.abs(self.cells[live, :-1, :-1]), 0.0)
            row, column = np.divmod(sizes.reshape(live.size, -1).argmax(axis=1), self.calls)
            calls_in[live, column] = looks_in[live, row] = False
            sound = sizes[np.arange(live.size), row, column] > 0.0
            self.pivot(live[sound], row[sound], column[sound])

    def mixes(self) -> tuple[Floats, Floats]:
        """Mixes of both sides, from the limits of calls in use and the prices of tight looks."""
        weights = np.concatenate([self.cells[:, -1, :-1], self.cells[:, :-1, -1]], axis=1)
        counts = np.concatenate([self.of_columns >= self.calls, self.of_rows < self.calls], axis=1)
        by_label = np.zeros_like(weights)
        by_label[np.arange(weights.shape[0])[:, None], self.labels] = np.where(counts, weights, 0.0)
        return _as_mix(by_label[:, : self.calls]), _as_mix(by_label[:, self.calls :])


def scale_of(payoffs: Floats, on: Bools | np.bool) -> tuple[Floats, Floats]:
    """Lowest payoff and range of every game over the cells that are on, each (games,)."""
    flat = payoffs.shape[0], payoffs.shape[1] * payoffs.shape[2]  # one long axis is quicker
    low = np.where(on, payoffs, np.inf).reshape(flat).min(axis=1)
    return low, np.where(on, payoffs, -np.inf).reshape(flat).max(axis=1) - low


def _as_mix(weights: Floats) -> Floats:
    weights = np.maximum(weights, 0.0)
    mix: Floats = weights / weights.sum(axis=1, keepdims=True)
    return mix
