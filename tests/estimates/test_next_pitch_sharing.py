"""Minds weighed by their past: what the mixture can lose is bounded, whatever comes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from sequencer.estimates.arrays import Floats
from sequencer.estimates.fixed_share import combine, most_lost, weights

#: What each of three minds gave to what came, as log odds.
odds = st.integers(1, 60).flatmap(
    lambda n: arrays(np.float64, (n, 3), elements=st.floats(-30, 30, width=32))
)


def as_chances(log_odds: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-log_odds)), dtype=np.float64)


def loss(given: Floats, shared: float) -> float:
    return float(-np.log((weights(given, shared) * given).sum(axis=1)).sum())


@given(odds, st.floats(0.001, 0.3))
@settings(max_examples=80, deadline=None)
def test_no_mind_is_better_by_more_than_the_stated_nats(log_odds: Floats, shared: float) -> None:
    given_ = as_chances(log_odds)
    best = -np.log(given_).sum(axis=0).min()
    assert loss(given_, shared) <= best + most_lost(len(given_), 3, 0, shared) + 1e-6


@given(odds, st.floats(0.001, 0.3), st.data())
@settings(max_examples=80, deadline=None)
def test_no_sequence_of_minds_is_better_by_more_than_its_switches_cost(
    log_odds: Floats, shared: float, data: st.DataObject
) -> None:
    given_ = as_chances(log_odds)
    path = np.array(data.draw(st.lists(st.integers(0, 2), min_size=60, max_size=60)))
    path = np.sort(path)[: len(given_)]
    switches = int((np.diff(path) != 0).sum())
    best = -np.log(given_[np.arange(len(path)), path]).sum()
    assert loss(given_, shared) <= best + most_lost(len(path), 3, switches, shared) + 1e-6


def test_the_bound_is_met_when_one_mind_is_right_and_the_others_never() -> None:
    # only the path that stays with the first mind earns anything, so its prior is what is lost
    given_ = np.full((50, 3), 1e-200)
    given_[:, 0] = 0.9
    lost = loss(given_, 0.05) + 50 * np.log(0.9)
    assert lost == pytest.approx(most_lost(50, 3, 0, 0.05))


@given(odds)
@settings(max_examples=40, deadline=None)
def test_weights_are_those_of_a_plain_recursion(log_odds: Floats) -> None:
    given_, now = as_chances(log_odds), np.full(3, 1 / 3)
    found = weights(given_, 0.1)
    for row, expected in zip(given_, found, strict=True):
        assert now == pytest.approx(expected, abs=1e-12)
        now = 0.9 * now * row / (now * row).sum() + 0.1 / 3


@pytest.mark.parametrize("pitches", [999, 1000, 1025])
def test_a_long_series_gone_through_in_pieces_is_the_same(pitches: int) -> None:
    rng = np.random.default_rng(pitches)
    given_ = 10.0 ** -rng.exponential(3.0, (pitches, 3))
    given_[rng.random(pitches) < 0.1] *= 1e-200
    now = np.full(3, 1 / 3)
    for row, found in zip(given_, weights(given_), strict=True):
        assert found == pytest.approx(now, rel=1e-9)
        now = 0.99 * now * row / (now * row).sum() + 0.01 / 3


def test_a_mind_right_only_of_late_is_soon_leant_on() -> None:
    given_ = np.where(np.arange(400)[:, None] < 300, [0.8, 0.2], [0.2, 0.8])
    assert weights(given_)[299, 0] > 0.95
    assert weights(given_)[310, 1] > 0.95


def test_combined_chances_are_the_weighted_mean() -> None:
    chances = np.random.default_rng(0).dirichlet(np.ones(4), size=(30, 5))
    reader, found = combine(chances, np.zeros(30, dtype=np.int64))
    assert reader == pytest.approx((found[:, :, None] * chances).sum(axis=1))
    assert reader.sum(axis=1) == pytest.approx(np.ones(30))
    empty, none = combine(np.zeros((0, 5, 4)), np.zeros(0, dtype=np.int64))
    assert (empty.shape, none.shape) == ((0, 4), (0, 5))
