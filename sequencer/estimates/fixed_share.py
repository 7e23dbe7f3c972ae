"""Several minds weighed by their past, never far from the best of them.

Herbster and Warmuth 1998, Machine Learning 32, 151-178 (fixed share): a mind's weight is multiplied
by the chance it gave to what came, and a small part of all weight is shared out again, so that a
mind that was wrong early, or right only of late, can come back.
"""

from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats
from sequencer.estimates.visits import Codes

#: Part of all weight that is shared out again at each pitch. On the first seven tenths of two long
#: series and on their pieces of 150 and 600 pitches .002 to .04 differ by less than .003 nats.
SHARED: Final = 0.01


def weights(given: Floats, shared: float = SHARED) -> Floats:
    """Return each mind's weight before each pitch.

    Parameters
    ----------
    given : ndarray, shape (pitches, minds)
        Chance that each mind gave to what came; positive.
    shared : float
        Above nought.

    Returns
    -------
    ndarray, shape (pitches, minds)
        Rows sum to one; the first is even.
    """
    pitches, minds = given.shape
    length = max(1, round(pitches**0.5))
    pieces = -(-pitches // length)
    # the largest of a row is one, so that nothing vanishes however unlikely what came was
    scaled = np.ones((pieces * length, minds))
    scaled[:pitches] = given / given.max(axis=1, keepdims=True)
    steps = scaled.reshape(pieces, length, minds).swapaxes(0, 1)
    now = _first_weights(steps, shared)
    out = np.empty_like(steps)
    for step, row in enumerate(steps):
        out[step] = now
        now = _shared_again(now * row, shared)[0]
    return np.ascontiguousarray(out.swapaxes(0, 1)).reshape(-1, minds)[:pitches]


def _first_weights(steps: Floats, shared: float) -> Floats:
    """Return the weights each piece of a series begins with, (pieces, minds).

    Weights go linearly from pitch to pitch until they are made to sum to one. So a piece is gone
    through from every mind at once, all pieces side by side, and pieces then follow one another by
    a sum over minds, each counting by its chance of the piece.

    Parameters
    ----------
    steps : ndarray, shape (pitches of a piece, pieces, minds)
    """
    _, pieces, minds = steps.shape
    left = np.tile(np.eye(minds), (pieces, 1, 1))
    logs = np.zeros((pieces, minds))
    for row in steps:
        left, came = _shared_again(left * row[:, None], shared)
        logs += np.log(came)
    chance = np.exp(logs - logs.max(axis=1, keepdims=True))
    first = np.empty((pieces, minds))
    now = np.full(minds, 1.0 / minds)
    for piece in range(pieces):
        first[piece] = now
        reached = now * chance[piece]
        now = (reached / reached.sum()) @ left[piece]
    return first


def _shared_again(earned: Floats, shared: float) -> tuple[Floats, Floats]:
    """Return weights, (..., minds), from what was earned, and the sum of that."""
    came = earned @ np.ones(earned.shape[-1])
    earned *= ((1.0 - shared) / came)[..., None]
    earned += shared / earned.shape[-1]
    return earned, came


def combine(chances: Floats, label: Codes, shared: float = SHARED) -> tuple[Floats, Floats]:
    """Weigh minds by their past.

    Parameters
    ----------
    chances : ndarray, shape (pitches, minds, labels)
    label : ndarray, shape (pitches,)
    shared : float

    Returns
    -------
    reader : ndarray, shape (pitches, labels)
    weights : ndarray, shape (pitches, minds)
        Before each pitch.
    """
    found = weights(chances[np.arange(len(label)), :, label], shared)
    return np.matmul(found[:, None, :], chances)[:, 0, :], found


def most_lost(pitches: int, minds: int, switches: int = 0, shared: float = SHARED) -> float:
    """Return the most nats the mixture can lose to the best mind, or to a sequence of them.

    A path through the minds has prior weight of the first mind, 1/minds, times at each later pitch
    1 - shared + shared/minds for staying and shared/minds for going to a given other mind.

    Parameters
    ----------
    pitches, minds, switches : int
        How many pitches; how many minds; how often the best sequence changes its mind.
    shared : float
    """
    going = shared / minds
    staying = 1.0 - shared + going
    steps = max(pitches - 1, 0)
    cost = np.log(minds) - (steps - switches) * np.log(staying)
    return float(cost - (switches * np.log(going) if switches else 0.0))
