"""Context-tree weighting against the worked example of its paper."""

import numpy as np
import pytest

from sequencer.estimates.context_tree import counted, weigh
from sequencer.estimates.visits import Contexts

# Willems, Shtarkov and Tjalkens 1995, IEEE Transactions on Information Theory 41, 653-664: the
# weighted context tree of depth 3 for the source 0110100 after the past ...010 has 95/32768 in its
# root, and its counts alone (four noughts, three ones) 5/2048.
PAST, SOURCE = (0, 1, 0), (0, 1, 1, 0, 1, 0, 0)
WEIGHTED, COUNTED = 95 / 32768, 5 / 2048


def test_the_papers_sequence_has_the_papers_weighted_probability() -> None:
    whole = np.array([*PAST, *SOURCE], dtype=np.int64)
    label = whole[3:]
    columns = {f"{back} ago": whole[3 - back : len(whole) - back] for back in (1, 2, 3)}
    contexts = Contexts(columns, label, 2)
    visits = [contexts.visits(tuple(columns)[:depth]) for depth in range(4)]
    nodes = [counted(each, label, 2) for each in visits]
    at = np.arange(len(label))
    assert nodes[0][at, label].prod() == pytest.approx(COUNTED, rel=1e-12)
    assert weigh(nodes, visits, label)[at, label].prod() == pytest.approx(WEIGHTED, rel=1e-12)
