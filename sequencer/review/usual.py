"""How often each pitch would usually come: by game and by situation, each adding its own.

What a pattern holds, it holds as a day's mix and a situation's mix that meet without favouring one
another (log odds add). Compared with shuffling only among pitches alike in everything held, no
information is lost to cells of five pitches: over ten games such cells cost a sixth of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Final, NamedTuple, Self

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lu_factor, lu_solve

Codes = NDArray[np.int64]
Floats = NDArray[np.float64]

#: Rounds of fitting at most, and how near in pitches the margins are met (chosen precision).
ROUNDS: Final = 200
NEAR: Final = 1e-6
#: Put on the diagonal, in pitches, so that a level that never varies does no harm.
_RIDGE: Final = 1e-8


class Factored(NamedTuple):
    """A matrix as its triangular factors and the order of its rows, for several right sides."""

    factors: Floats
    order: Codes


@dataclass(frozen=True, eq=False)
class Usual:
    """Shares of labels, fitted so that each level of each factor has its own count of each label.

    Pitches alike in all factors are a cell.

    Attributes
    ----------
    cell : ndarray, shape (pitches,)
    size : ndarray, shape (cells,)
        Pitches of each.
    shares : ndarray, shape (cells, labels)
    levels : ndarray, shape (cells, factors)
        The level of each factor, numbered through over all of them.
    """

    cell: Codes
    size: Floats
    shares: Floats
    levels: Codes

    @classmethod
    def of(cls, factors: Sequence[Codes], labels: Codes, count: int) -> Self:
        """Fit shares by scaling to each factor's counts in turn (Deming and Stephan 1940).

        Parameters
        ----------
        factors : sequence of ndarray, each of shape (pitches,)
            Codes from 0 of what is held; none of them is no more than the overall mix.
        labels : ndarray, shape (pitches,)
            Codes from 0.
        count : int
            Number of labels.
        """
        columns = np.stack([*factors, np.zeros_like(labels)][: max(len(factors), 1)], axis=1)
        found, cell = np.unique(columns, axis=0, return_inverse=True)
        cell = cell.reshape(-1).astype(np.int64)
        ahead = np.concatenate(([0], np.cumsum(found.max(axis=0) + 1)[:-1]))
        size = np.bincount(cell).astype(float)
        seen = _table(cell, labels, (len(size), count))
        return cls(cell, size, _scaled(seen, size, found), found + ahead)

    @property
    def rates(self) -> Floats:
        """(pitches, labels): how often each label would usually come on each pitch."""
        picked: Floats = self.shares[self.cell]
        return picked

    @cached_property
    def spread(self) -> Floats:
        """(cells, labels - 1, labels - 1): covariance of what one pitch turns out to be.

        The last label is what the others leave.
        """
        few = self.shares[:, :-1]
        return np.asarray(few[:, :, None] * (np.eye(few.shape[1]) - few[:, None, :]), dtype=float)

    @cached_property
    def _information(self) -> Factored:
        """What the fitted levels rest on, (levels * (labels - 1), the same), ready to be solved."""
        levels, few = int(self.levels.max()) + 1, self.spread.shape[1]
        whole = np.zeros((levels * few, levels * few))
        blocks = whole.reshape(levels, few, levels, few)
        weighed = self.spread * self.size[:, None, None]
        # a cell has one level of each factor, so that only pairs of these meet in it
        for one, other in product(self.levels.T, repeat=2):
            pair = one * levels + other
            for k, m in np.ndindex(few, few):
                found = np.bincount(pair, weights=weighed[:, k, m], minlength=levels * levels)
                blocks[:, k, :, m] += found.reshape(levels, levels)
        whole[np.diag_indices_from(whole)] += _RIDGE
        return Factored(*lu_factor(whole, overwrite_a=True, check_finite=False))

    def told_apart(self, classes: Codes, directions: Floats) -> tuple[Floats, Floats]:
        """Return how counts of labels by class vary by chance, and what each pitch adds.

        The efficient score: what the levels themselves were fitted from is taken out (Cox and
        Hinkley 1974, Theoretical Statistics, 9.3).

        Parameters
        ----------
        classes : ndarray, shape (pitches,)
            Codes from 0.
        directions : ndarray, shape (contrasts, classes, labels)
            What a pitch of a class and label adds to a contrast.

        Returns
        -------
        covariance : ndarray, shape (contrasts, contrasts)
        adds : ndarray, shape (contrasts, pitches, labels - 1)
            What a label adds over the last one.
        """
        over = directions[..., :-1] - directions[..., -1:]
        number, kinds, few = over.shape
        met = _table(classes, self.cell, (kinds, len(self.size)))
        moved = np.einsum("am,mkl->akl", met, self.spread)
        raw = np.einsum("cak,akl,dal->cd", over, moved, over, optimize=True)
        score = self._score(met, over)
        fitted = lu_solve(self._information, score.T, check_finite=False).T
        covariance = raw - score @ fitted.T
        of_level = fitted.reshape(number, -1, few)
        of_cell = of_level[:, self.levels].sum(axis=2)
        return covariance, over[:, classes] - of_cell[:, self.cell]

    def _score(self, met: Floats, over: Floats) -> Floats:
        """Return how contrasts lean on each level, (contrasts, levels * (labels - 1))."""
        kinds, few, levels = len(met), over.shape[2], int(self.levels.max()) + 1
        meets = np.zeros((kinds, levels, few, few))
        kind, cell = np.nonzero(met)
        weighed = met[kind, cell][:, None, None] * self.spread[cell]
        for column in self.levels.T:
            place = kind * levels + column[cell]
            for k, m in np.ndindex(few, few):
                found = np.bincount(place, weights=weighed[:, k, m], minlength=kinds * levels)
                meets[:, :, k, m] += found.reshape(kinds, levels)
        whole = np.einsum("afkl,cal->cfk", meets, over, optimize=True)
        return np.asarray(whole.reshape(len(over), -1), dtype=float)


def _table(rows: Codes, columns: Codes, shape: tuple[int, int]) -> Floats:
    counts = np.bincount(rows * shape[1] + columns, minlength=shape[0] * shape[1])
    return counts.reshape(shape).astype(float)


def _scaled(seen: Floats, size: Floats, levels: Codes) -> Floats:
    """Return shares (cells, labels) whose sums over each level are those seen."""
    factors = [(column, _of_levels(seen, column)) for column in levels.T]
    fitted = size[:, None] * seen.sum(axis=0) / seen.sum()
    for _ in range(ROUNDS):
        for column, wanted in factors:
            there = _of_levels(fitted, column)
            fitted *= np.divide(wanted, there, out=np.zeros_like(there), where=there > 0)[column]
        off = fitted.sum(axis=1)
        fitted *= (size / off)[:, None]
        if np.abs(off - size).max() < NEAR:
            break
    return np.asarray(fitted / size[:, None], dtype=float)


def _of_levels(values: Floats, column: Codes) -> Floats:
    """Add up (cells, labels) by level."""
    levels = int(column.max()) + 1
    sums = [np.bincount(column, weights=one, minlength=levels) for one in values.T]
    return np.stack(sums, axis=1)
