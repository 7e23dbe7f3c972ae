"""Fisher's linear discriminant (1936): which of several kinds a measured thing most likely is."""

from dataclasses import dataclass

import numpy as np

from sequencer.estimates.arrays import Bools, Floats, Ints


@dataclass(frozen=True, eq=False)
class Fisher:
    """A fitted rule: kinds (k,), weights (k, d), constants (k,)."""

    kinds: Ints
    weights: Floats
    constants: Floats

    def says(self, x: Floats) -> Ints:
        """Return the kind of each row of (n, d) measurements."""
        named: Ints = self.kinds[np.argmax(x @ self.weights.T + self.constants, axis=1)]
        return named


def fisher(x: Floats, kind: Ints, *, ridge: float = 0.0, even: bool = True) -> Fisher:
    """Fit the rule.

    Parameters
    ----------
    x : array (n, d)
    kind : array (n,) of int
    ridge : float
        0 to 1: how far the pooled covariance is drawn to a round one of the same size.
    even : bool
        Every kind as likely as another before it is measured; else as often as it came.

    Notes
    -----
    The pooled covariance divides by n. A billionth is added to each of its variances: kinds that
    never vary are told apart by any difference, and a column that never varies does no harm.
    """
    kinds, place, times = np.unique(kind, return_inverse=True, return_counts=True)
    means = np.array([x[place == i].mean(axis=0) for i in range(len(kinds))])
    away = x - means[place]
    cov = away.T @ away / len(x)
    cov = (1.0 - ridge) * cov + ridge * np.trace(cov) / x.shape[1] * np.eye(x.shape[1])
    weights = means @ np.linalg.inv(cov + 1e-9 * np.eye(x.shape[1]))
    prior = np.zeros(len(kinds)) if even else np.log(times / len(x))
    return Fisher(kinds, weights, prior - 0.5 * (weights * means).sum(axis=1))


def held_out_right(x: Floats, kind: Ints, *, folds: int, ridge: float) -> Bools:
    """Return whether each row is named rightly by a rule fitted on the other folds.

    Rows of a kind are dealt to the folds in turn, as they come: no chance is in it. Columns are
    brought to one scale by the rows of the fit.
    """
    fold = np.empty(len(kind), dtype=np.intp)
    for one in np.unique(kind):
        rows = np.flatnonzero(kind == one)
        fold[rows] = np.arange(len(rows)) % folds
    right = np.zeros(len(kind), dtype=np.bool_)
    for out in range(folds):
        fit, test = fold != out, fold == out
        if test.any():
            scale = x[fit].std(axis=0)
            scaled = (x - x[fit].mean(axis=0)) / np.where(scale > 1e-9, scale, 1.0)
            right[test] = (
                fisher(scaled[fit], kind[fit], ridge=ridge).says(scaled[test]) == kind[test]
            )
    return right
