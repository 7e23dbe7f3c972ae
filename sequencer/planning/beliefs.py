"""What a hitter can expect, and how everything follows it.

A belief is the probability he gives a fast pitch; it is continuous. What a call comes to hangs on
it through surprise alone, minus the log of the probability he gave the pitch, and smoothly: it is
worked out at a few nodes of surprise and read between them.
"""

from typing import Final

import numpy as np

from sequencer.planning.arrays import Floats

#: The ends are open because surprise has no bound (assumption).
LOWEST, HIGHEST = 0.02, 0.98
#: Where every game begins, and what a habit's belief is shared between. Played alone these let a
#: hitter be held to .00005 to .0003 runs a plate appearance less than he can get (measured).
BELIEFS: Final = (0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98)
#: Beliefs a best reply is looked for among.
STEP: Final = 0.005
LATTICE: Final = tuple(
    round(STEP * n, 4) for n in range(round(LOWEST / STEP), round(HIGHEST / STEP) + 1)
)
#: Nodes of surprise. Eight are within 1e-7 runs of working out each belief by itself, two standard
#: deviations of what surprise is worth above its mean included (measured; seven are within 1e-6).
NODES: Final = 7
#: What the two sides of a belief are called, in the order of every array.
FAST, SOFT = 0, 1


def _nodes() -> Floats:
    """Return Chebyshev nodes of minus the log of a probability, (nodes,)."""
    low, high = -np.log(HIGHEST), -np.log(LOWEST)
    angles = (2.0 * np.arange(NODES) + 1.0) * np.pi / (2.0 * NODES)
    return np.asarray((low + high) / 2.0 + (high - low) / 2.0 * np.cos(angles), dtype=np.float64)


#: Minus the log of a probability, nats.
SURPRISES: Final = _nodes()


def nats(beliefs: Floats, side: int) -> Floats:
    """Return the surprise at a fast (or soft) pitch of him who expects so many fast ones."""
    return np.asarray(-np.log(beliefs if side == FAST else 1.0 - beliefs), dtype=np.float64)


def weights(beliefs: Floats, side: int) -> Floats:
    """Return how much of each node of `SURPRISES` makes a belief, (beliefs, nodes).

    Barycentric interpolation (Berrut and Trefethen 2004); each row sums to one.
    """
    apart = SURPRISES[:, None] - SURPRISES + np.eye(NODES)
    scale = 1.0 / apart.prod(axis=1)
    away = nats(beliefs, side)[:, None] - SURPRISES
    at = np.abs(away) < 1e-13
    terms = scale / np.where(at, 1.0, away)
    terms = np.where(at.any(axis=1, keepdims=True), at, terms)
    return np.asarray(terms / terms.sum(axis=1, keepdims=True), dtype=np.float64)
