"""Context-tree weighting: every way of cutting a memory short, at the price of its bits.

Willems, Shtarkov and Tjalkens 1995, IEEE Transactions on Information Theory 41, 653-664. A tree
says for each past how much of it matters: after an 0-2 slider, perhaps the whole of it; at 1-0
nothing but the count. The mixture over all trees is had exactly by one number in each node, the
odds that memory ends there; the prior odds are even at every node, so a tree of n inner and m
outer nodes above the deepest level weighs 2 ** -(n + m).

The paper's nodes count and start from nothing (Krichevsky and Trofimov); any forward chances will
do, since a tree's chance of a sequence is a product over its leaves' pitches.
"""

from collections.abc import Sequence

import numpy as np

from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.visits import Codes, Visits


def weigh(chances: Sequence[Floats], visits: Sequence[Visits], label: Codes) -> Floats:
    """Mix the forward chances of every depth over all trees of contexts.

    Parameters
    ----------
    chances : sequence of ndarray, shape (pitches, labels)
        Of each depth's contexts, the root first; positive, from earlier pitches only.
    visits : sequence of Visits
        The contexts of each depth; each parts those of the depth before.
    label : ndarray, shape (pitches,)
        What came.

    Returns
    -------
    ndarray, shape (pitches, labels)
        Forward chances whose loss is at most that of the best tree plus the log of its weight.
    """
    mixed = chances[-1]
    for own, met in zip(chances[-2::-1], visits[-2::-1], strict=True):
        mixed = either(met.before(gained(own, mixed, label)[:, None]), own, mixed)
    return mixed


def gained(own: Floats, deeper: Floats, label: Codes) -> Floats:
    """Return what each pitch adds to the log odds that memory ends at its node, (pitches,)."""
    at = np.arange(len(label))
    return np.asarray(np.log(own[at, label]) - np.log(deeper[at, label]), dtype=np.float64)


def either(log_odds: Floats, own: Floats, deeper: Floats) -> Floats:
    """Mix a node's own chances with those from deeper down, given log odds that memory ends."""
    ends = expit(log_odds)
    return np.asarray(ends * own + (1.0 - ends) * deeper, dtype=np.float64)


def counted(visits: Visits, label: Codes, labels: int) -> Floats:
    """Return Krichevsky-Trofimov chances: counts so far in the context and half a pitch of each.

    Krichevsky and Trofimov 1981, IEEE Transactions on Information Theory 27, 199-207.
    """
    came = np.zeros((len(label), labels))
    came[np.arange(len(label)), label] = 1.0
    before = visits.before(came) + 0.5
    return np.asarray(before / before.sum(axis=1, keepdims=True), dtype=np.float64)
