"""Prior weights and shares of small samples."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sequencer.errors import BadInput
from sequencer.estimates.shrinkage import Share, prior_weight, shrunk


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
