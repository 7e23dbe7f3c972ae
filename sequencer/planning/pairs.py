"""The pair of calls that a card uses most: one pitch, then the other speed at the same spot."""

from collections.abc import Sequence
from itertools import product

import numpy as np

from sequencer.planning.arrays import Floats
from sequencer.planning.calls import Call
from sequencer.planning.mix import Card
from sequencer.planning.solved import Solved
from sequencer.planning.stages import BALL, FOUL, STRIKE, TWO_STRIKES


def met_by_habit(solved: Solved) -> Floats:
    """Return what every call comes to against every hitter's habit, (hitters, 4, 3, calls, 4).

    Nothing shown by the pitch before; the last axis as of `Tables.terms`.
    """
    tables = solved.tables
    looks = tables.habit[:, :, :, 0, None, :, None]
    met: Floats = np.matmul(tables.terms(), looks)[..., 0]
    return met


def pair_used_most(
    calls: Sequence[Call], met: Floats, hitters: Sequence[int], card: Card
) -> tuple[Call, Call] | None:
    """Return the two calls at one target, of two speeds, that most often follow one another.

    Against the hitters' habits, all together. None when a card never has such a pair.

    Parameters
    ----------
    calls : sequence of Call
    met : array (hitters, 4, 3, calls, 4)
        From `met_by_habit`.
    hitters : sequence of int
        Whom the card is for.
    card : Card
    """
    used = np.flatnonzero(card.mix.any(axis=(0, 1)))
    chances = met[list(hitters)].mean(axis=0)[:, :, used]
    often = _follow(card.mix[:, :, used], chances)
    named = [calls[int(call)] for call in used]
    pairs = {
        (one, other): float(often[i, j])
        for (i, one), (j, other) in product(enumerate(named), repeat=2)
        if one.target == other.target and (one.family == "fast") != (other.family == "fast")
    }
    best = max(pairs, key=lambda pair: pairs[pair], default=None)
    return best if best is not None and pairs[best] > 0.0 else None


def _follow(mix: Floats, chances: Floats) -> Floats:
    """Return how often, an at-bat, each call follows each other, (calls, calls).

    mix: (4, 3, calls); chances: (4, 3, calls, 4).
    """
    calls = mix.shape[-1]
    often, come = np.zeros((calls, calls)), np.zeros((5, 4))
    come[0, 0] = 1.0
    for balls, strikes in sorted(np.ndindex(4, 3), key=sum):
        here, shares = chances[balls, strikes], mix[balls, strikes]
        fouled = shares @ here[:, FOUL] if strikes == TWO_STRIKES else 0.0
        thrown = come[balls, strikes] / (1.0 - fouled) * shares
        struck = here[:, STRIKE] + (0.0 if strikes == TWO_STRIKES else here[:, FOUL])
        come[balls + 1, strikes] += thrown @ here[:, BALL]
        come[balls, strikes + 1] += thrown @ struck
        if balls < 3:
            often += np.outer(thrown * here[:, BALL], mix[balls + 1, strikes])
        if strikes < TWO_STRIKES:
            often += np.outer(thrown * struck, mix[balls, strikes + 1])
        else:
            often += np.outer(thrown * here[:, FOUL], shares)
    return often
