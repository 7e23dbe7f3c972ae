"""Bias and spread from places seen only so well."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates.misses import Spread, Throws, spread_of
from sequencer.estimates.pitcher import LOST_WIDER
from tests.estimates.coverage import WAYS, Truth, of_the_prior, seen, shares

PRIOR = np.eye(2) * 144.0


def _found(throws: Throws, lost: float = 0.0) -> Spread:
    return spread_of(throws, PRIOR, lost=lost, lost_weight=np.inf)


def test_of_no_throws_the_prior_is_left() -> None:
    none = _found(Throws.none())
    np.testing.assert_allclose(none.cov, PRIOR)
    np.testing.assert_allclose(none.mean, 0.0)
    assert none.freedom == 25.0


def test_many_throws_are_their_own_bias_and_spread() -> None:
    rng = np.random.default_rng(0)
    truth = np.array([[49.0, 15.0], [15.0, 100.0]])
    many = _found(Throws.measured(rng.multivariate_normal([2.0, -3.0], truth, size=4000)))
    np.testing.assert_allclose(many.cov, truth, atol=6.0)
    np.testing.assert_allclose(many.mean, [2.0, -3.0], atol=0.5)
    assert many.freedom == pytest.approx(4025.0)


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    n=st.integers(1, 40),
    sd=st.sampled_from([0.0, 0.1, 4.0, 15.0]),
    error=st.sampled_from([0.0, 4.0, 25.0, 900.0]),
)
def test_no_variance_is_negative_and_seeing_badly_never_makes_sure(
    seed: int, n: int, sd: float, error: float
) -> None:
    throws = Throws.measured(np.random.default_rng(seed).normal(size=(n, 2)) * sd, error)
    found = spread_of(throws, PRIOR)
    assert np.linalg.eigvalsh(found.cov)[0] > 0.0
    assert np.linalg.eigvalsh(found.mean_cov)[0] > 0.0
    assert 25.0 <= found.freedom <= 25.0 + n + 1e-9
    assert 0.0 < found.lost < 1.0


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10**6), n=st.integers(1, 60), way=st.sampled_from(sorted(WAYS)))
def test_every_way_of_seeing_gives_numbers_that_can_be(seed: int, n: int, way: str) -> None:
    rng = np.random.default_rng(seed)
    truth = of_the_prior(rng, "11-12")
    found = spread_of(seen(rng, "11-12", truth, n, *WAYS[way]), PRIOR)
    for value in (found.mean, found.mean_cov, found.cov):
        assert np.isfinite(value).all()
    assert np.linalg.eigvalsh(found.cov)[0] > 0.0


def test_throws_at_one_place_seen_badly_leave_the_prior_nearly_alone() -> None:
    found = _found(Throws.measured(np.zeros((40, 2)), 400.0))
    assert np.sqrt(found.cov[0, 0]) > 5.0
    assert found.freedom < 25.0 + 40.0 * 0.5


def test_seeing_with_error_tells_as_much_as_its_share_of_the_variance() -> None:
    # With variances of 100 thrown and 100 seen, a throw tells half of a bias and a quarter of a
    # spread; exact in the limit of many throws.
    rng = np.random.default_rng(1)
    x = rng.normal(size=(6000, 2)) * np.sqrt(200.0)
    found = spread_of(Throws.measured(x, 100.0), np.eye(2) * 100.0, lost=0.0, lost_weight=np.inf)
    assert (found.freedom - 25.0) / 6000 == pytest.approx(0.25, abs=0.03)
    assert found.cov[0, 0] / found.mean_cov[0, 0] / 6000 == pytest.approx(0.5, abs=0.03)


def test_a_wild_pitcher_charted_by_cells_looks_as_wild_as_he_is() -> None:
    rng = np.random.default_rng(2)
    truth = Truth(np.array([0.0, -4.0]), np.diag([15.0, 15.0]) ** 2, 0.0)
    found = spread_of(seen(rng, "11-12", truth, 400, "measured", True), PRIOR)
    assert np.sqrt(found.cov[0, 0]) == pytest.approx(15.0, abs=1.6)
    assert found.mean[1] == pytest.approx(-4.0, abs=2.0)


def test_a_bench_that_only_says_above_still_tells_that_it_went_up() -> None:
    low, high = np.array([[-np.inf, 12.0]]), np.array([[np.inf, np.inf]])
    found = _found(Throws(np.repeat(low, 20, 0), np.repeat(high, 20, 0), np.full((20, 2), 4.0)))
    assert found.mean[1] > 5.0
    assert found.mean[0] == pytest.approx(0.0, abs=1e-6)


def test_lost_throws_are_counted_apart_from_the_spread() -> None:
    rng = np.random.default_rng(3)
    wide = np.where(rng.random(2000) < 0.10, LOST_WIDER, 1.0)
    found = spread_of(Throws.measured(wide[:, None] * rng.normal(size=(2000, 2)) * 9.0), PRIOR)
    assert found.lost == pytest.approx(0.10, abs=0.03)
    assert np.sqrt(np.diag(found.cov)) == pytest.approx([9.0, 9.0], abs=0.4)


def test_where_the_prior_is_centred_is_where_no_throws_leave_it() -> None:
    centre = np.array([4.0, -2.0])
    none = spread_of(Throws.none(), PRIOR, prior_mean=centre)
    np.testing.assert_allclose(none.mean, centre)
    one = spread_of(Throws.measured(np.array([[4.0, -2.0]])), PRIOR, prior_mean=centre)
    np.testing.assert_allclose(one.mean, centre)


def test_places_far_from_any_he_could_throw_do_no_harm() -> None:
    low = np.array([[500.0, 500.0], [-np.inf, -900.0]])
    high = np.array([[506.0, 507.0], [-700.0, -880.0]])
    found = spread_of(Throws(low, high, np.ones((2, 2))), PRIOR)
    assert np.isfinite(found.cov).all() and np.isfinite(found.mean_cov).all()


@pytest.mark.parametrize(
    ("at", "way", "n"),
    [
        ("11-12", "measured", 15),
        ("11-12", "cell, dugout", 60),
        ("17-18", "cell, dugout", 15),
        ("17-18", "inches, dugout", 60),
        ("17-18", "measured", 300),
    ],
)
def test_ninety_of_a_hundred_pitchers_are_inside_their_intervals(at: str, way: str, n: int) -> None:
    """Pitchers drawn from the level's prior; `python -m tests.estimates.coverage` has them all."""
    bias, spread, off = shares(at, n, way, pitchers=80, seed=n + 1)
    # Ninety in a hundred, three standard errors of eighty pitchers.
    assert bias >= 0.80 and spread >= 0.80
    assert abs(off) < 0.06
