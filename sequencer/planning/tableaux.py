"""Simplex tableaux of many matrix games, held by the inverses of their bases, pivoted together."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints

SLACKS = 0.5
"""What a slack's cost counts beside a column's when the cheapest is sought (measured: a twelfth
fewer pivots on random games)."""


@dataclass
class Tableaux:
    """One linear program a game: the largest sum of u with ``cells @ u <= 1``, ``u >= 0``.

    A pivot needs one row and one column of the tableau, so only the inverse of the basis is kept
    and these are worked out from it (revised simplex: Dantzig and Orchard-Hays 1954).

    Attributes
    ----------
    cells
        (games, rows, columns): scaled payoffs from 1 to 2. The variables are the columns, each of
        which adds one to the sum, and after them the slacks of the rows.
    inverse
        (games, rows + 1, rows + 1): the inverse of the basis with, in the last column, what its
        variables come to; in the last row the prices of the rows.
    basis
        (games, rows): the variable that each row of the inverse stands for.
    """

    cells: Floats
    inverse: Floats
    basis: Ints

    @classmethod
    def of_games(cls, payoffs: Floats) -> Self:
        """Set up (games, rows, columns), where rows minimise, with no column in use."""
        games, rows, columns = payoffs.shape
        low, high = range_of(payoffs)
        times = -1.0 / np.where(high > low, high - low, 1.0)  # to the columns a cell is a cost
        cells = payoffs * times[:, None, None]
        cells += (1.0 - high * times)[:, None, None]
        inverse = np.zeros((games, rows + 1, rows + 1))
        inverse[:, :rows, :rows] = np.eye(rows)
        inverse[:, :rows, rows] = 1.0
        basis = np.tile(np.arange(columns, columns + rows), (games, 1))
        return cls(cells, inverse, basis)

    @property
    def rows(self) -> int:
        """Number of rows of a game."""
        rows: int = self.cells.shape[1]
        return rows

    @property
    def columns(self) -> int:
        """Number of columns of a game."""
        columns: int = self.cells.shape[2]
        return columns

    @property
    def amounts(self) -> Floats:
        """(games, rows): what the variables of the basis come to."""
        return self.inverse[:, :-1, -1]

    @property
    def prices(self) -> Floats:
        """(games, rows): what a row's limit is worth."""
        return self.inverse[:, -1, :-1]

    def costs(self) -> Floats:
        """(games, columns + rows): what a variable takes at these prices.

        Below one it lifts the sum, as one is what a column adds. A slack adds nothing, and is told
        one more than half of what it takes.
        """
        costs = np.empty((self.basis.shape[0], self.columns + self.rows))
        np.matmul(self.prices[:, None], self.cells, out=costs[:, None, : self.columns])
        np.multiply(self.prices, SLACKS, out=costs[:, self.columns :])
        costs[:, self.columns :] += 1.0
        return costs

    def rates(self, variable: Ints) -> Floats:
        """(games, rows + 1): what a unit of a variable takes from those of the basis; its cost."""
        is_slack = variable >= self.columns
        cells = self.cells[np.arange(variable.size), :, np.where(is_slack, 0, variable)]
        cells[is_slack] = np.eye(self.rows)[variable[is_slack] - self.columns]
        rates: Floats = np.matmul(self.inverse[:, :, :-1], cells[:, :, None])[:, :, 0]
        rates[:, -1] -= ~is_slack
        return rates

    def pivot(self, live: Bools, row: Ints, variable: Ints, rates: Floats) -> None:
        """Give the place of a row in the basis to a variable, in every live game."""
        games = np.arange(row.size)
        times = np.where(live, 1.0 / rates[games, row], 0.0)
        change = rates * times[:, None]
        change[games, row] = np.where(live, 1.0 - times, 0.0)
        self.inverse -= np.einsum("gi,gj->gij", change, self.inverse[games, row])
        self.basis[games, row] = np.where(live, variable, self.basis[games, row])

    def some(self, games: Bools) -> Self:
        """Copy some of the games."""
        return type(self)(self.cells[games], self.inverse[games], self.basis[games])

    def put(self, games: Ints, others: Self) -> None:
        """Take over where others, copies of these games, stand."""
        self.inverse[games], self.basis[games] = others.inverse, others.basis

    def mixes(self) -> tuple[Floats, Floats]:
        """Mixes of rows and columns: the prices, and what the columns in use come to."""
        amounts = np.zeros((self.basis.shape[0], self.columns + self.rows))
        np.put_along_axis(amounts, self.basis, self.amounts, axis=1)
        return _as_mix(self.prices), _as_mix(amounts[:, : self.columns])


class WholeTableaux(Tableaux):
    """Tableaux kept whole: slower, but where rows and columns are nearly alike, more exact.

    ``inverse`` is then the inverse times (cells, limits), (games, rows + 1, columns + rows + 1),
    with the costs of the variables in the last row.
    """

    @classmethod
    def of_games(cls, payoffs: Floats) -> Self:
        """Set up (games, rows, columns), where rows minimise, with no column in use."""
        plain = Tableaux.of_games(payoffs)
        games, rows, columns = payoffs.shape
        whole = np.zeros((games, rows + 1, columns + rows + 1))
        whole[:, :-1, :columns] = plain.cells
        whole[:, :-1, columns:-1] = np.eye(rows)
        whole[:, :-1, -1] = 1.0
        whole[:, -1, :columns] = -1.0
        return cls(plain.cells, whole, plain.basis)

    @property
    def prices(self) -> Floats:
        """(games, rows): what a row's limit is worth."""
        return self.inverse[:, -1, self.columns : -1]

    def costs(self) -> Floats:
        """(games, columns + rows): likewise."""
        costs: Floats = self.inverse[:, -1, :-1] + 1.0
        return costs

    def rates(self, variable: Ints) -> Floats:
        """(games, rows + 1): likewise."""
        rates: Floats = self.inverse[np.arange(variable.size), :, variable]
        return rates

    def bring_in(self, basis: Ints) -> None:
        """Pivot fresh tableaux to a basis, the largest pivots first.

        A long run of pivots, some of them small, loses digits; the way back here loses few.
        """
        games, size = np.arange(basis.shape[0]), self.columns + self.rows
        wanted: Bools = np.zeros((games.size, size), dtype=bool)
        np.put_along_axis(wanted, basis, True, axis=1)
        leaves = ~wanted[:, self.columns :]
        wanted[:, self.columns :] = False
        for _ in range(self.rows):
            sizes = np.abs(self.inverse[:, :-1, :-1]) * (leaves[:, :, None] & wanted[:, None, :])
            row, variable = np.divmod(sizes.reshape(games.size, -1).argmax(axis=1), size)
            live = sizes[games, row, variable] > 0.0
            if not live.any():
                break
            self.pivot(live, row, variable, self.rates(variable))
            leaves[games, row] = wanted[games, variable] = False


def range_of(payoffs: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest payoff of every game, each (games,)."""
    flat = payoffs.reshape(payoffs.shape[0], payoffs.shape[1] * payoffs.shape[2])
    return flat.min(axis=1), flat.max(axis=1)  # one long axis is quicker


def _as_mix(weights: Floats) -> Floats:
    weights = np.maximum(weights, 0.0)
    mix: Floats = weights / weights.sum(axis=1, keepdims=True)
    return mix
