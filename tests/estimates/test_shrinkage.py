"""Prior weights, shares and spreads of small samples."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sequencer.errors import BadInput
from sequencer.estimates.shrinkage import Share, prior_weight, shrunk, spread_of


@given(st.floats(1, 60), st.floats(1, 60))
def test_a_shares_interval_and_tail_are_the_beta_distributions(a: float, b: float) -> None:
    share = Share(a, b)
    np.testing.assert_allclose(share.interval(), stats.beta(a, b).ppf([0.05, 0.95]), atol=1e-3)
    assert share.below(0.4) == pytest.approx(float(stats.beta(a, b).cdf(0.4)), abs=1e-3)


@given(st.floats(0, 1), st.floats(1, 1000), st.floats(0, 1), st.floats(1, 500))
def test_shrinking_stays_between_the_sample_and_the_prior(
    mean: float, n: float, prior: float, n0: float
) -> None:
    low, high = sorted([mean, prior])
    assert low - 1e-12 <= shrunk(mean, n, prior, n0) <= high + 1e-12


def test_a_share_counts_the_prior_as_pitches_seen() -> None:
    assert Share.of(2, 9, 0.55, 5.0) == pytest.approx((4.75, 9.25))
    assert Share.of(0, 0, 0.6, 40.0).mean == pytest.approx(0.6)


@pytest.mark.parametrize("reliability", [0.0, 1.0, -0.2, 1.4])
def test_a_reliability_outside_nought_to_one_is_refused(reliability: float) -> None:
    with pytest.raises(BadInput, match="gives no weight"):
        prior_weight(50, reliability)


def test_the_spread_of_many_throws_is_theirs_and_of_none_the_priors() -> None:
    rng = np.random.default_rng(0)
    truth = np.array([[49.0, 15.0], [15.0, 100.0]])
    misses = rng.multivariate_normal([2.0, -3.0], truth, size=4000)
    prior = np.eye(2) * 144.0
    none = spread_of(
        np.empty((0, 2)), np.empty((0, 2)), np.empty(0), prior, mean_weight=11, freedom=25
    )
    np.testing.assert_allclose(none.cov, prior)
    np.testing.assert_allclose(none.mean, 0.0)
    many = spread_of(misses, np.zeros((4000, 2)), np.ones(4000), prior, mean_weight=11, freedom=25)
    np.testing.assert_allclose(many.cov, truth, atol=6.0)
    np.testing.assert_allclose(many.mean, [2.0, -3.0], atol=0.5)
    assert np.trace(many.mean_cov) < np.trace(none.mean_cov) / 100


def test_the_error_of_seeing_is_taken_out_of_the_spread() -> None:
    rng = np.random.default_rng(1)
    misses = rng.normal(size=(3000, 2)) * 8.0
    seen = misses + rng.normal(size=(3000, 2)) * [5.0, 3.0]
    errors = np.tile([25.0, 9.0], (3000, 1))
    found = spread_of(seen, errors, np.ones(3000), np.eye(2) * 64, mean_weight=11, freedom=25)
    np.testing.assert_allclose(np.sqrt(np.diag(found.cov)), 8.0, atol=0.4)


def test_a_spread_never_collapses_when_the_error_is_larger_than_what_was_seen() -> None:
    errors = np.full((40, 2), 400.0)
    found = spread_of(
        np.zeros((40, 2)), errors, np.ones(40), np.eye(2) * 64, mean_weight=11, freedom=25
    )
    assert np.linalg.eigvalsh(found.cov)[0] >= 16.0 - 1e-9
