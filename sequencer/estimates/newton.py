"""Penalised logistic and linear fits by Newton's method, in chunks, toward a given centre.

The penalty is a Gaussian prior: `penalty` is its precision and `centre` its mean, so that a thin
log stays near the league it is fitted from.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sequencer.estimates.arrays import Floats, expit

CHUNK = 20_000
#: Rows of the first, rough fit that the full one starts from.
ROUGH = 40_000

Design = Callable[[slice], Floats]


@dataclass(frozen=True, slots=True)
class Fit:
    """Coefficients, their covariance, and the mean loss (nats, or squares) without the penalty."""

    coefficients: Floats
    covariance: Floats
    loss: float
    n: int


def logistic(
    design: Design,
    outcome: Floats,
    penalty: Floats,
    centre: Floats,
    *,
    ceiling: Floats | None = None,
    offset: Floats | None = None,
    weight: Floats | None = None,
    steps: int = 30,
    tolerance: float = 1e-6,
) -> Fit:
    """Fit P(outcome) = ceiling * expit(x b + offset) by Fisher scoring.

    Parameters
    ----------
    design : callable
        Slice of rows -> matrix (rows, k).
    outcome : array (n,)
        Nought or one; the share of ones where a row stands for several.
    penalty, centre : array (k,)
        Precision and mean of the Gaussian prior of each coefficient.
    ceiling : array (n,), optional
        The most that the probability can be; one when not given.
    offset : array (n,), optional
        Log odds known beforehand; nought when not given.
    weight : array (n,), optional
        How many a row stands for; one when not given.

    Returns
    -------
    Fit
    """
    top = np.ones(len(outcome)) if ceiling is None else ceiling
    known = np.zeros(len(outcome)) if offset is None else offset
    b = centre.copy()
    if len(outcome) > 4 * ROUGH:
        every = len(outcome) // ROUGH
        start = slice(None, None, every)
        b = logistic(
            lambda part: design(start)[part], outcome[start], penalty / every, centre,
            ceiling=top[start], offset=known[start],
            weight=None if weight is None else weight[start], steps=steps, tolerance=1e-3,
        ).coefficients  # fmt: skip
    rows = _Rows(design, outcome, top, known, weight)
    objective, gradient, curvature = _scored(rows, penalty, centre, b)
    for _ in range(steps):
        move = np.linalg.solve(curvature, gradient)
        size, found = 1.0, None
        while size > 1e-4:
            found = _scored(rows, penalty, centre, b + size * move)
            if found[0] <= objective + 1e-9:
                break
            size *= 0.5
        if found is None or found[0] > objective + 1e-9:
            break
        b = b + size * move
        gained, (objective, gradient, curvature) = objective - found[0], found
        if gained < tolerance * rows.total:
            break
    loss = objective - 0.5 * float(penalty @ (b - centre) ** 2)
    return _fit(np.asarray(b, float), curvature, loss, rows.total)


class _Rows(NamedTuple):
    """What a logistic fit is of; see `logistic`."""

    design: Design
    outcome: Floats
    top: Floats
    known: Floats
    weight: Floats | None

    @property
    def total(self) -> float:
        return len(self.outcome) if self.weight is None else float(self.weight.sum())


def _fit(b: Floats, curvature: Floats, loss: float, total: float) -> Fit:
    covariance = np.asarray(np.linalg.inv(curvature), float)
    return Fit(b, covariance, loss / max(total, 1), round(total))


def _scored(
    rows: _Rows, penalty: Floats, centre: Floats, b: Floats
) -> tuple[float, Floats, Floats]:
    """Return penalised loss, minus its gradient, and the expected curvature."""
    away = b - centre
    loss, gradient = 0.5 * float(penalty @ away**2), -penalty * away
    curvature = np.diag(penalty)
    for start in range(0, len(rows.outcome), CHUNK):
        part = slice(start, min(start + CHUNK, len(rows.outcome)))
        x, y, most = rows.design(part), rows.outcome[part], rows.top[part]
        ready = expit(x @ b + rows.known[part])
        p = np.clip(most * ready, 1e-12, 1.0 - 1e-12)
        slope = most * ready * (1.0 - ready)
        spread = p * (1.0 - p)
        nats, score = y * np.log(p) + (1.0 - y) * np.log1p(-p), (y - p) * slope / spread
        information = slope**2 / spread
        if rows.weight is not None:
            nats, score, information = (rows.weight[part] * a for a in (nats, score, information))
        loss -= float(np.sum(nats))
        gradient += x.T @ score
        curvature += x.T @ (x * information[:, None])
    return loss, gradient, curvature


def linear(
    design: Design,
    outcome: Floats,
    penalty: Floats,
    centre: Floats,
    noise: float,
    weight: Floats | None = None,
) -> Fit:
    """Fit outcome = x b + noise of this standard deviation (same units) under the same prior.

    `outcome` is a mean where a row stands for several (`weight`, one when not given).
    """
    n = len(outcome)
    total = n if weight is None else float(weight.sum())
    parts = [slice(s, min(s + CHUNK, n)) for s in range(0, n, CHUNK)]
    curvature, right = np.diag(penalty), penalty * centre
    for part in parts:
        x = design(part)
        heavy = x if weight is None else x * weight[part, None]
        curvature += heavy.T @ x / noise**2
        right = right + heavy.T @ outcome[part] / noise**2
    b = np.linalg.solve(curvature, right)
    missed = [(outcome[part] - design(part) @ b) ** 2 for part in parts]
    miss = sum(
        float(np.sum(squares if weight is None else weight[part] * squares))
        for part, squares in zip(parts, missed, strict=True)
    )
    return _fit(np.asarray(b, float), curvature, miss, total)
