"""Pitches put together by what came before them, and sums over earlier pitches of the same kind."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.estimates.arrays import Floats

Codes = NDArray[np.int64]

#: Weights below this are lost in the rounding of what they are added to.
_NOTHING: Final = 1e-17
#: Largest number of contexts that sorts by counting, which is several times as fast.
_FEW: Final = 1 << 16


@dataclass(frozen=True)
class Visits:
    """Pitches ordered by context, each context's own in the order thrown.

    Attributes
    ----------
    code : ndarray, shape (pitches,)
        Number of each pitch's context, from 0.
    order : ndarray, shape (pitches,)
        Pitches of the first context, then of the second, and so on.
    nth : ndarray, shape (pitches,)
        How often its context was met before, for each pitch of `order`.
    """

    code: Codes
    order: Codes
    nth: Codes

    @classmethod
    def of(cls, code: Codes) -> "Visits":
        """Put pitches together by whole numbers from 0, shape (pitches,)."""
        few = len(code) and code.max() < _FEW
        order = np.argsort(code.astype(np.uint16) if few else code, kind="stable")
        ordered = code[order]
        new = np.ones(len(code), dtype=np.bool_)
        new[1:] = ordered[1:] != ordered[:-1]
        at = np.arange(len(code))
        number = np.empty(len(code), dtype=np.int64)
        number[order] = np.cumsum(new) - 1
        return cls(number, order, at - np.maximum.accumulate(np.where(new, at, 0)))

    def split(self, column: Codes) -> "Visits":
        """Part each context by one more column, whose codes are -1 (unknown) or more."""
        if not len(column):
            return self
        return Visits.of(self.code * (int(column.max()) + 2) + column + 1)

    def last(self) -> NDArray[np.intp]:
        """Return the place of the last pitch in each context, (contexts,)."""
        ends = np.append(self.nth[1:] == 0, True)[: len(self.nth)]
        return np.asarray(self.order[ends], dtype=np.intp)

    def before(self, values: Floats, keep: float = 1.0) -> Floats:
        """Sum values over the earlier pitches of each pitch's context.

        Parameters
        ----------
        values : ndarray, shape (pitches, columns)
        keep : float
            Weight of a pitch against the one after it in its context; 1 forgets nothing.

        Returns
        -------
        ndarray, shape (pitches, columns)
        """
        shifted = np.zeros(values.shape)
        shifted[1:] = values[self.order[:-1]]
        shifted[self.nth == 0] = 0.0
        if keep == 1.0:
            shifted = self._running(shifted)
        else:
            self._fade(shifted, keep)
        sums = np.empty_like(shifted)
        sums[self.order] = shifted
        return sums

    def _running(self, shifted: Floats) -> Floats:
        running = np.cumsum(shifted, axis=0)
        start = np.arange(len(running)) - self.nth
        return np.asarray(running - running[start], dtype=np.float64)

    def _fade(self, sums: Floats, keep: float) -> None:
        """Add to each row its context's earlier rows, in steps of twice the reach."""
        reach, longest = 1, int(self.nth.max(initial=0))
        while reach <= longest and keep**reach > _NOTHING:
            weight = np.where(self.nth[reach:] >= reach, keep**reach, 0.0)
            sums[reach:] += weight[:, None] * sums[:-reach]
            reach *= 2


class Contexts:
    """One pitcher's pitches by any of the columns a dugout sees, each grouping made once.

    Parameters
    ----------
    columns : mapping of str to ndarray, shape (pitches,)
        Codes of any kind, -1 for unknown.
    label : ndarray, shape (pitches,)
        What came, from 0 to `labels` - 1.
    labels : int
    """

    def __init__(self, columns: Mapping[str, Codes], label: Codes, labels: int) -> None:
        self.columns = columns
        self.label = label
        self.labels = labels
        self._came = np.zeros((len(label), labels))
        self._came[np.arange(len(label)), label] = 1.0
        self._visits: dict[frozenset[str], Visits] = {
            frozenset(): Visits.of(np.zeros(len(label), dtype=np.int64))
        }
        self._counts: dict[tuple[frozenset[str], float], Floats] = {}

    def visits(self, names: Sequence[str]) -> Visits:
        """Return the pitches put together by some columns; one that is not there parts nothing."""
        known = [name for name in names if name in self.columns]
        key = frozenset(known)
        if key not in self._visits:
            self._visits[key] = self.visits(known[:-1]).split(self.columns[known[-1]])
        return self._visits[key]

    def counts(self, names: Sequence[str], keep: float) -> Floats:
        """Return what came before in each pitch's context, later pitches weighing more."""
        key = frozenset(names), keep
        if key not in self._counts:
            self._counts[key] = self.visits(names).before(self._came, keep)
        return self._counts[key]
