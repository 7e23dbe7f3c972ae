"""Boosted trees as a mind: they learn only from the past and read what counting cannot."""

from itertools import pairwise

import numpy as np
import pytest

from sequencer.estimates import boosted
from sequencer.estimates.next_pitch import Seen, forward


def log(size: int, seed: int = 0) -> Seen:
    """Return pitches that follow a count's strikes, with the runs of the lead against them."""
    rng = np.random.default_rng(seed)
    count, lead = rng.integers(0, 12, size), rng.integers(-5, 6, size)
    label = np.where(rng.random(size) < 0.85, ((count % 3 == 2) ^ (lead > 0)).astype(int), 2)
    columns = {"count": count, "lead": lead, "outs": np.full(size, -1)}
    return Seen(label.astype(np.int64), 3, columns, np.zeros(size, dtype=np.int64))


def test_blocks_lengthen_and_leave_no_pitch_out() -> None:
    found = [*boosted.blocks(2000)]
    assert found[0][0] == boosted.FIRST
    assert found[-1][1] == 2000
    assert all(one[1] == two[0] for one, two in pairwise(found))
    assert [*boosted.blocks(boosted.FIRST)] == []


def test_trees_read_a_habit_no_counting_mind_has_a_column_for() -> None:
    seen = log(700)
    found = forward(seen, outsiders={"trees": boosted.mind})
    late = slice(450, None)
    trees = found.nats(found.minds["trees"])[late].mean()
    assert trees < found.nats(forward(seen).reader)[late].mean() - 0.1
    assert found.weights[-1, -1] > 0.5


def test_trees_never_see_the_pitch_they_name_or_a_later_one() -> None:
    seen = log(420)
    label = seen.label.copy()
    label[400:] = 1 - np.minimum(label[400:], 1)
    changed = Seen(label, 3, seen.columns, seen.group)
    # outsiders get columns known before each pitch, so those are held
    assert boosted.mind(seen)[:401] == pytest.approx(boosted.mind(changed)[:401])


@pytest.mark.parametrize("size", [0, 1, 2, 330])
def test_a_short_log_or_one_pitch_only_grows_no_trees_and_does_no_harm(size: int) -> None:
    seen = log(max(size, 1)).only(np.arange(size))
    one = Seen(np.zeros(size, dtype=np.int64), 3, seen.columns, seen.group)
    chances = boosted.mind(one)
    assert chances.shape == (size, 3)
    assert (chances > 0).all()
    assert chances.sum(axis=1) == pytest.approx(np.ones(size))


def test_a_kind_first_thrown_late_keeps_a_chance() -> None:
    seen = log(420)
    label = np.where(np.arange(420) < 410, np.minimum(seen.label, 1), 2)
    chances = boosted.mind(Seen(label, 3, seen.columns, seen.group))
    assert chances.min() > 0
    assert chances.sum(axis=1) == pytest.approx(np.ones(420))
