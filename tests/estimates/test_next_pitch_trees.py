"""Contexts, fading counts and context trees, each against the plainest way of having the same."""

from collections.abc import Iterator
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates.arrays import Floats
from sequencer.estimates.context_tree import weigh
from sequencer.estimates.minds import MINDS, by_depth
from sequencer.estimates.visits import Codes, Contexts, Visits

#: A pitch: label, and three columns of codes.
pitches = st.lists(
    st.tuples(*(st.integers(low, 2) for low in (0, -1, -1, -1))), min_size=1, max_size=14
)
NAMES = ("first", "second", "third")


def contexts_of(rows: list[tuple[int, ...]]) -> Contexts:
    label, *columns = np.array(rows, dtype=np.int64).T
    return Contexts(dict(zip(NAMES, columns, strict=True)), label, 3)


@given(pitches, st.sampled_from((1.0, 0.9, 0.3)))
@settings(max_examples=60, deadline=None)
def test_sums_before_are_those_of_a_plain_loop(rows: list[tuple[int, ...]], keep: float) -> None:
    contexts = contexts_of(rows)
    counts = contexts.counts(NAMES[:2], keep)
    for i, row in enumerate(rows):
        expected = np.zeros(3)
        for earlier in rows[:i]:
            if earlier[1:3] == row[1:3]:
                expected *= keep
                expected[earlier[0]] += 1.0
        assert counts[i] == pytest.approx(expected)


def test_a_long_context_forgets_at_the_stated_pace() -> None:
    label = np.zeros(4000, dtype=np.int64)
    counts = Contexts({}, label, 1).counts((), 0.99)[:, 0]
    assert counts == pytest.approx((1 - 0.99 ** np.arange(4000)) / 0.01)


def test_contexts_with_many_codes_are_told_apart() -> None:
    code = np.arange(70_000, dtype=np.int64)[::-1].copy() % 65_537
    visits = Visits.of(code)
    again = np.flatnonzero(visits.before(np.ones((70_000, 1)))[:, 0])
    assert again.tolist() == list(range(65_537, 70_000))


def test_a_column_that_is_not_there_parts_nothing() -> None:
    contexts = contexts_of([(0, 1, 1, 1), (1, 1, 1, 1), (0, 2, 1, 1)])
    assert contexts.visits(("first", "none")) is contexts.visits(("first",))


def trees(node: Codes, depth: int, columns: list[Codes]) -> Iterator[tuple[float, list[Codes]]]:
    """Yield every tree below a node: its prior weight, and the pitches of each leaf by depth."""
    if depth == len(columns):
        yield 1.0, [np.append(node, depth)]
        return
    yield 0.5, [np.append(node, depth)]
    parts = [node[columns[depth][node] == code] for code in np.unique(columns[depth][node])]
    for chosen in product(*(tuple(trees(part, depth + 1, columns)) for part in parts)):
        weight = 0.5 * float(np.prod([each[0] for each in chosen]))
        yield weight, [leaf for each in chosen for leaf in each[1]]


def mixture_over_all_trees(contexts: Contexts, nodes: list[Floats]) -> Floats:
    """Return the forward chances of the mixture, each tree followed from its first pitch."""
    label, columns = contexts.label, [contexts.columns[name] for name in NAMES]
    mixed, total = np.zeros_like(nodes[0]), np.zeros(len(label))
    for prior, leaves in trees(np.arange(len(label)), 0, columns):
        chances = np.empty_like(nodes[0])
        for leaf in leaves:
            chances[leaf[:-1]] = nodes[leaf[-1]][leaf[:-1]]
        gave = chances[np.arange(len(label)), label]
        weight = prior * np.concatenate(([1.0], np.cumprod(gave)[:-1]))
        mixed += weight[:, None] * chances
        total += weight
    return mixed / total[:, None]


@given(st.lists(st.tuples(*(st.integers(0, 1) for _ in range(4))), min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_a_context_tree_is_the_mixture_over_all_trees(rows: list[tuple[int, ...]]) -> None:
    contexts = contexts_of(rows)
    nodes = by_depth(NAMES, 0.9, contexts)
    visits = [contexts.visits(NAMES[:depth]) for depth in range(4)]
    expected = mixture_over_all_trees(contexts, nodes)
    assert weigh(nodes, visits, contexts.label) == pytest.approx(expected, rel=1e-9)


def test_a_tree_looks_no_further_than_helps() -> None:
    # the second column is noise: after a while the tree believes the first alone
    rng = np.random.default_rng(3)
    first, noise = rng.integers(0, 2, (2, 2000))
    label = np.where(rng.random(2000) < 0.8, first, 1 - first)
    contexts = Contexts(
        {"first": first, "noise": noise, "more": rng.integers(0, 9, 2000)}, label, 2
    )
    names = ("first", "noise", "more")
    nodes = by_depth(names, 1.0, contexts)
    visits = [contexts.visits(names[:depth]) for depth in range(4)]
    mixed = weigh(nodes, visits, label)[1000:]
    off = [float(np.abs(mixed - each[1000:]).mean()) for each in nodes]
    assert off[1] < 0.01 < min(off[0], off[3])


def test_contexts_of_the_minds_part_one_another() -> None:
    for mind in MINDS:
        assert len(set(mind.contexts)) == len(mind.contexts)
        assert 0.0 < mind.keep <= 1.0
