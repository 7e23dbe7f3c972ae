"""Penalised logistic and linear fits by Newton's method, in chunks, toward a given centre.

The penalty is a Gaussian prior: `penalty` is its precision and `centre` its mean, so that a thin
log stays near the league it is fitted from.
"""

from collections.abc import Callable
from dataclasses import dataclass

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
    steps: int = 30,
    tolerance: float = 1e-6,
) -> Fit:
    """Fit P(outcome) = ceiling * expit(x b + offset) by Fisher scoring.

    Parameters
    ----------
    design : callable
        Slice of rows -> matrix (rows, k).
    outcome : array (n,)
        Nought or one.
    penalty, centre : array (k,)
        Precision and mean of the Gaussian prior of each coefficient.
    ceiling : array (n,), optional
        The most that the probability can be; one when not given.
    offset : array (n,), optional
        Log odds known beforehand; nought when not given.

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
            ceiling=top[start], offset=known[start], steps=steps, tolerance=1e-3,
        ).coefficients  # fmt: skip
    objective, gradient, curvature = _scored(design, outcome, top, known, penalty, centre, b)
    for _ in range(steps):
        move = np.linalg.solve(curvature, gradient)
        size, found = 1.0, None
        while size > 1e-4:
            found = _scored(design, outcome, top, known, penalty, centre, b + size * move)
            if found[0] <= objective + 1e-9:
                break
            size *= 0.5
        if found is None or found[0] > objective + 1e-9:
            break
        b = b + size * move
        gained, (objective, gradient, curvature) = objective - found[0], found
        if gained < tolerance * len(outcome):
            break
    loss = objective - 0.5 * float(penalty @ (b - centre) ** 2)
    n = len(outcome)
    return Fit(
        np.asarray(b, float), np.asarray(np.linalg.inv(curvature), float), loss / max(n, 1), n
    )


def _scored(
    design: Design,
    outcome: Floats,
    top: Floats,
    known: Floats,
    penalty: Floats,
    centre: Floats,
    b: Floats,
) -> tuple[float, Floats, Floats]:
    """Return penalised loss, minus its gradient, and the expected curvature."""
    away = b - centre
    loss, gradient = 0.5 * float(penalty @ away**2), -penalty * away
    curvature = np.diag(penalty)
    for start in range(0, len(outcome), CHUNK):
        part = slice(start, min(start + CHUNK, len(outcome)))
        x, y, most = design(part), outcome[part], top[part]
        ready = expit(x @ b + known[part])
        p = np.clip(most * ready, 1e-12, 1.0 - 1e-12)
        slope = most * ready * (1.0 - ready)
        loss -= float(np.sum(y * np.log(p) + (1.0 - y) * np.log1p(-p)))
        spread = p * (1.0 - p)
        gradient += x.T @ ((y - p) * slope / spread)
        curvature += x.T @ (x * (slope**2 / spread)[:, None])
    return loss, gradient, curvature


def linear(design: Design, outcome: Floats, penalty: Floats, centre: Floats, noise: float) -> Fit:
    """Fit outcome = x b + noise of this standard deviation (same units) under the same prior."""
    curvature, right = np.diag(penalty), penalty * centre
    for start in range(0, len(outcome), CHUNK):
        part = slice(start, min(start + CHUNK, len(outcome)))
        x = design(part)
        curvature += x.T @ x / noise**2
        right = right + x.T @ outcome[part] / noise**2
    b = np.linalg.solve(curvature, right)
    n = len(outcome)
    miss = sum(
        float(np.sum((outcome[s : s + CHUNK] - design(slice(s, min(s + CHUNK, n))) @ b) ** 2))
        for s in range(0, n, CHUNK)
    )
    return Fit(
        np.asarray(b, float), np.asarray(np.linalg.inv(curvature), float), miss / max(n, 1), n
    )
