"""How often each pitch would usually come: by game and by situation, each adding its own.

What a pattern holds, it holds as a day's mix and a situation's mix that meet without favouring one
another (log odds add). Compared with shuffling only among pitches alike in everything held, no
information is lost to cells of five pitches: over ten games such cells cost a sixth of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple, Self

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.int64]
Floats = NDArray[np.float64]

#: Rounds of fitting at most, and how near in pitches the margins are met (chosen precision).
ROUNDS: Final = 200
NEAR: Final = 1e-6
#: Put on the diagonal, in pitches, so that a level that never varies does no harm.
_RIDGE: Final = 1e-8


class _Held(NamedTuple):
    """What the fitted levels rest on, those of the first factor taken out of the others'.

    `first` (levels, labels, labels) inverses, `leads` (levels * labels, others * labels) from the
    others to the first, `others` their inverse.
    """

    first: Floats
    leads: Floats
    others: Floats


@dataclass(frozen=True, eq=False)
class Apart:
    """How counts of labels by class vary by chance.

    Attributes
    ----------
    covariance : ndarray, shape (contrasts, contrasts)
    classes, cell : ndarray, shape (pitches,)
    over : ndarray, shape (contrasts, classes, labels - 1)
        What a label adds over the last one.
    usual : ndarray, shape (contrasts, cells, labels - 1)
        What of it only tells of the levels.
    shares : ndarray, shape (cells, labels)
    """

    covariance: Floats
    classes: Codes
    cell: Codes
    over: Floats
    usual: Floats
    shares: Floats

    @property
    def variance(self) -> Floats:
        """(contrasts,)."""
        return np.maximum(np.diagonal(self.covariance), 0.0)

    def adds(self, kept: Codes) -> Floats:
        """Return what each pitch adds to some contrasts, (kept, pitches, labels - 1)."""
        return np.asarray(self.over[kept][:, self.classes] - self.usual[kept][:, self.cell])

    def skewness(self, kept: Codes) -> Floats:
        """Return the third cumulant of some contrasts, (kept,)."""
        met = _table(self.classes, self.cell, (self.over.shape[1], len(self.shares)))
        kind, cell = np.nonzero(met)
        adds, rates = self.over[kept][:, kind] - self.usual[kept][:, cell], self.shares[cell]
        usually = (adds * rates[:, :-1]).sum(axis=2)
        third = -(usually * usually * usually * rates[:, -1])
        for label in range(adds.shape[2]):
            more = adds[..., label] - usually
            third += more * more * more * rates[:, label]
        return np.asarray(third @ met[kind, cell], dtype=float)


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
        kinds = [int(column.max()) + 1 for column in factors]
        together = np.zeros_like(labels)
        for column, kind in zip(factors, kinds, strict=True):
            together = together * kind + column
        cell, found = numbered(together)
        levels = np.stack(np.unravel_index(found, kinds or [1]), axis=1)
        size = np.bincount(cell).astype(float)
        seen = _table(cell, labels, (len(size), count))
        ahead = np.cumsum([0, *kinds])[: levels.shape[1]]
        return cls(cell, size, _scaled(seen, size, levels), levels + ahead)

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
    def _starts(self) -> Codes:
        """Cells at which a level of the first factor begins: they are in its order."""
        return np.flatnonzero(np.diff(self.levels[:, 0], prepend=-1))

    @cached_property
    def _others(self) -> Floats:
        """(levels of the other factors, cells)."""
        first = int(self.levels[:, 0].max()) + 1
        design = np.zeros((int(self.levels.max()) + 1 - first, len(self.size)))
        for column in self.levels[:, 1:].T:
            design[column - first, np.arange(len(self.size))] = 1.0
        return design

    def _by_level(self, values: Floats) -> tuple[Floats, Floats]:
        """Add up (cells, ...) by the levels of the first factor and of the others."""
        flat = values.reshape(len(values), -1)
        others = (self._others @ flat).reshape(len(self._others), *values.shape[1:])
        return np.add.reduceat(values, self._starts, axis=0), others

    @cached_property
    def _information(self) -> _Held:
        few = self.spread.shape[1]
        weighed = self.spread * self.size[:, None, None]
        first = np.add.reduceat(weighed, self._starts, axis=0)
        inverse = np.asarray(np.linalg.inv(first + _RIDGE * np.eye(few)), dtype=float)
        size = len(self._others) * few
        if not size:
            return _Held(inverse, np.zeros((len(first) * few, 0)), np.zeros((0, 0)))
        number, before = len(self._others), len(first)
        meets, shared = np.zeros((before, number, few, few)), np.zeros((number, number, few, few))
        for one in self.levels[:, 1:].T:
            np.add.at(meets, (self.levels[:, 0], one - before), weighed)
            for other in self.levels[:, 1:].T:
                np.add.at(shared, (one - before, other - before), weighed)
        flat = meets.transpose(0, 2, 1, 3).reshape(before, few, size)
        leads = np.matmul(inverse, flat).reshape(-1, size)
        left = shared.transpose(0, 2, 1, 3).reshape(size, size)
        left -= flat.reshape(-1, size).T @ leads
        left[np.diag_indices_from(left)] += _RIDGE
        return _Held(inverse, leads, np.asarray(np.linalg.inv(left), dtype=float))

    def most(self, classes: Codes, directions: Floats) -> Floats:
        """Return the most that contrasts can vary, (contrasts,), were nothing fitted."""
        over = directions[..., :-1] - directions[..., -1:]
        met = _table(classes, self.cell, (over.shape[1], len(self.size)))
        moved = (met @ self.spread.reshape(len(met.T), -1)).reshape(
            len(met), *self.spread.shape[1:]
        )
        return np.asarray((np.matmul(over[:, :, None], moved)[:, :, 0] * over).sum(axis=(1, 2)))

    def told_apart(self, classes: Codes, directions: Floats) -> Apart:
        """Return how counts of labels by class vary by chance.

        The efficient score: what the levels themselves were fitted from is taken out (Cox and
        Hinkley 1974, Theoretical Statistics, 9.3).

        Parameters
        ----------
        classes : ndarray, shape (pitches,)
            Codes from 0.
        directions : ndarray, shape (contrasts, classes, labels)
            What a pitch of a class and label adds to a contrast.
        """
        over = directions[..., :-1] - directions[..., -1:]
        number, kinds, few = over.shape
        met = _table(classes, self.cell, (kinds, len(self.size)))
        by_class = over.transpose(1, 0, 2)
        moved = (met @ self.spread.reshape(len(met.T), -1)).reshape(kinds, few, few)
        turned = np.matmul(by_class, moved).transpose(1, 0, 2).reshape(number, -1)
        raw = turned @ over.reshape(number, -1).T
        lean = np.matmul(
            (met.T @ by_class.reshape(kinds, -1)).reshape(-1, number, few), self.spread
        )
        of_cell, covered = self._taken_out(lean)
        return Apart(raw - covered, classes, self.cell, over, of_cell, self.shares)

    def _taken_out(self, lean: Floats) -> tuple[Floats, Floats]:
        """Return what of contrasts tells of the levels: by cell, and of their covariance.

        Parameters
        ----------
        lean : ndarray, shape (cells, contrasts, labels - 1)
        """
        held, (cells, number, few) = self._information, lean.shape
        first, others = self._by_level(lean)
        mine = first.transpose(0, 2, 1)
        alone = np.matmul(held.first, mine).reshape(-1, number)
        known = mine.reshape(-1, number)
        rest = others.transpose(0, 2, 1).reshape(len(others) * few, number)
        covered = np.zeros((number, number))
        of_cell = np.zeros((cells, few, number))
        if held.others.size:
            shared = held.others @ (rest - held.leads.T @ known)
            alone = alone - held.leads @ shared
            covered += rest.T @ shared
            by_other = self._others.T @ shared.reshape(len(self._others), -1)
            of_cell += by_other.reshape(cells, few, number)
        of_cell += alone.reshape(-1, few, number)[self.levels[:, 0]]
        return of_cell.transpose(2, 0, 1), covered + known.T @ alone


def numbered(codes: Codes) -> tuple[Codes, Codes]:
    """Return each code's place among those there are, and these in order.

    Parameters
    ----------
    codes : ndarray, shape (pitches,)
        Whole numbers from 0.
    """
    if int(codes.max(initial=0)) > 8 * len(codes) + 1000:
        found, place = np.unique(codes, return_inverse=True)
        return place.astype(np.int64), found
    there = np.bincount(codes) > 0
    return (np.cumsum(there) - 1)[codes], np.flatnonzero(there)


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
