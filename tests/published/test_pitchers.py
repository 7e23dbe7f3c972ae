"""A pitcher's estimates against textbooks, other programs and published figures."""

from dataclasses import replace
from math import log

import numpy as np
import pytest
from scipy import stats
from sklearn.datasets import load_iris
from sklearn.discriminant_analysis import LinearDiscriminantAnalysis

from sequencer.baseball.levels import level
from sequencer.baseball.zone import targets
from sequencer.estimates.arrays import expit
from sequencer.estimates.command import average
from sequencer.estimates.fisher import fisher, held_out_right
from sequencer.estimates.league import load
from sequencer.estimates.misses import PRIOR_THROWS, Throws, spread_of
from sequencer.estimates.pitcher import PitchBelief
from sequencer.estimates.shrinkage import prior_weight
from sequencer.estimates.strikes import (
    PITCHER_SD,
    TYPE_SD,
    Counted,
    believe_counts,
    offsets,
)
from sequencer.planning.calls import Call
from sequencer.planning.throws import plane, weights

RNG = np.random.default_rng(0)


def test_fishers_rule_misses_three_of_his_hundred_and_fifty_irises() -> None:
    # Fisher (1936); by resubstitution three are misclassified in every textbook since.
    x, kind = load_iris(return_X_y=True)
    assert int((fisher(x, kind).says(x) != kind).sum()) == 3


@pytest.mark.parametrize("ridge", [0.0, 0.3, 0.9])
def test_fishers_rule_is_the_librarys(ridge: float) -> None:
    x, kind = load_iris(return_X_y=True)
    kept = np.concatenate([np.arange(0, 50), np.arange(50, 80), np.arange(100, 145)])
    x, kind = x[kept], kind[kept]
    theirs = LinearDiscriminantAnalysis(solver="lsqr", shrinkage=ridge or None).fit(x, kind)
    ours = fisher(x, kind, ridge=ridge, even=False)
    np.testing.assert_array_equal(ours.says(x), theirs.predict(x))
    scores = x @ ours.weights.T + ours.constants
    np.testing.assert_allclose(
        scores - scores[:, :1],
        theirs.decision_function(x) - theirs.decision_function(x)[:, :1],
        rtol=1e-6,
        atol=1e-6,
    )


def test_irises_held_out_are_named_as_well_as_textbooks_say() -> None:
    # Leave-one-out error of the linear rule on the irises: 3 of 150 (Lachenbruch's method).
    x, kind = load_iris(return_X_y=True)
    right = held_out_right(x, kind, folds=50, ridge=0.0)
    assert 145 <= int(right.sum()) <= 148


def _seen(n: int) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    return RNG.multivariate_normal([3.0, -2.0], [[60.0, 20.0], [20.0, 90.0]], size=n)


@pytest.mark.parametrize("n", [1, 15, 60])
def test_throws_seen_exactly_give_the_textbooks_posterior(n: int) -> None:
    # Gelman et al., Bayesian Data Analysis, 3rd edition, 3.6: normal-inverse-Wishart updating.
    x, prior, k0, v0 = _seen(n), np.diag([100.0, 120.0]), 11.0, 25.0
    found = spread_of(Throws.measured(x), prior, lost=0.0, lost_weight=np.inf)
    mean = x.mean(axis=0)
    scatter = (x - mean).T @ (x - mean)
    psi = v0 * prior + scatter + k0 * n / (k0 + n) * np.outer(mean, mean)
    # v0 throws weigh as an inverse Wishart of v0 + 3 degrees, whose mean is the prior's covariance.
    wishart = stats.invwishart(df=v0 + 3 + n, scale=psi)
    np.testing.assert_allclose(found.cov, wishart.mean(), rtol=1e-6)
    np.testing.assert_allclose(found.mean, n * mean / (k0 + n), rtol=1e-6)
    np.testing.assert_allclose(found.mean_cov, wishart.mean() / (k0 + n), rtol=1e-6)
    assert found.freedom == pytest.approx(v0 + n)


def _pitch(cov: "np.ndarray[tuple[int, int], np.dtype[np.float64]]", n: float) -> PitchBelief:
    usual = average("pro").arsenal[0]
    return PitchBelief(
        "fastball", "fast", usual.bias, cov, cov / (n + 11), 25.0 + n, 0.0, 0, 0, 0.6, (0.5, 0.7)
    )


@pytest.mark.parametrize("n", [0, 15, 300])
@pytest.mark.parametrize("cov", [np.eye(2) * 81.0, np.array([[64.0, 30.0], [30.0, 144.0]])])
def test_intervals_hold_draws_of_the_posterior(
    n: int, cov: "np.ndarray[tuple[int, int], np.dtype[np.float64]]"
) -> None:
    pitch = _pitch(cov, n)
    drawn = stats.invwishart(df=pitch.freedom + 3, scale=cov * pitch.freedom).rvs(
        size=4000, random_state=np.random.default_rng(n)
    )
    spread = np.sqrt(np.trace(drawn, axis1=1, axis2=2) / 2.0)
    low, high = pitch.spread_interval
    assert np.mean((spread > low) & (spread < high)) == pytest.approx(0.90, abs=0.02)
    assert np.std(spread) == pytest.approx(pitch.spread_sd, rel=0.12)
    normal = np.random.default_rng(1).normal(size=(4000, 2))
    biases = np.einsum("nij,nj->ni", np.linalg.cholesky(drawn / (n + 11)), normal)
    inside = np.mean([pitch.bias_may_be(bias) for bias in biases])
    assert inside == pytest.approx(0.90, abs=0.02)


def test_the_ellipse_of_a_bias_is_the_t_distributions() -> None:
    pitch = _pitch(np.array([[64.0, 30.0], [30.0, 144.0]]), 40)
    degrees = pitch.freedom + 2.0
    marginal = stats.multivariate_t(
        shape=pitch.bias_cov * pitch.freedom / degrees, df=degrees, seed=3
    )
    inside = [pitch.bias_may_be(bias) for bias in marginal.rvs(size=6000)]
    assert np.mean(inside) == pytest.approx(0.90, abs=0.012)


def test_a_strike_share_alone_is_nearly_the_beta_of_its_weight() -> None:
    # A normal in log odds of this variance weighs about 1 / (p (1 - p) variance) pitches.
    (none,) = believe_counts([{}], "pro", ("fastball",))
    (found,) = believe_counts([{"": Counted(210, 300)}], "pro", ("fastball",))
    variance = ((none.overall.interval[1] - none.overall.interval[0]) / 3.29) ** 2
    p = none.overall.mean
    weight = p * (1.0 - p) / variance - 1.0
    beta = stats.beta(weight * p + 210, weight * (1.0 - p) + 90)
    np.testing.assert_allclose(found.overall.interval, beta.ppf([0.05, 0.95]), atol=0.012)
    assert found.overall.mean == pytest.approx(float(beta.mean()), abs=0.008)
    assert found.chance_overall(0.66) == pytest.approx(float(beta.sf(0.66)), abs=0.06)


def _odds(share: float) -> float:
    return log(share / (1.0 - share))


@pytest.mark.parametrize(
    ("first", "every"),
    # Professionals: FanGraphs library, about 2014, and 447,569 strikes of 717,053 pitches in 2009;
    # high school: a scorer's 65,800 pitches of 15 springs (hsbaseballweb).
    [(0.59, 0.624), (0.567, 0.611)],
)
def test_first_pitches_are_fewer_strikes_by_as_much_as_published(
    first: float, every: float
) -> None:
    assert offsets()["first pitch"] == pytest.approx(_odds(first) - _odds(every), abs=0.06)


def test_three_balls_and_no_strike_are_strikes_most_often_of_all_but_full() -> None:
    # Published only roughly (strikes on 3-0 80 per cent, all seasons alike): the order holds.
    order = sorted(offsets(), key=lambda group: offsets()[group])
    assert order == ["pitcher's", "first pitch", "even", "hitter's", "full"]


def test_pitchers_strike_shares_differ_as_their_walks_do() -> None:
    # Carleton (2012-13): walks of 170 batters faced, reliability .70; at 3.8 pitches each a weight
    # of 277 pitches.
    walks = prior_weight(170, 0.70) * 3.8
    assert walks == pytest.approx(277, abs=1)
    strikes = 1.0 / (0.637 * 0.363 * PITCHER_SD**2)
    assert 0.5 < strikes / walks < 2.0


def test_the_levels_spread_weighs_what_professionals_strikes_say() -> None:
    # Strikes of a call fall as the spread grows: by so much do spreads differ, were strikes to
    # differ by nothing else; an inverse Wishart of this weight differs as much.
    league, usual = load("pro"), average("pro").arsenal[0]
    u, v = plane().u[:, None, None], plane().v[:, None, None]
    steps = league.steps("fast", u, v, np.arange(4.0)[:, None], np.arange(3.0), 1.0)
    swing, called = expit(steps.swing), expit(steps.called)
    strike = swing + (1.0 - swing) * called
    odds = []
    for factor in (0.95, 1.05):
        wider = replace(usual, cov=usual.cov * factor**2)
        calls = tuple(Call("fastball", target) for target in targets("quarter"))
        chance = weights(calls, wider, level("pro").zone, "R").mean(axis=0)
        odds.append(_odds(float((chance[:, None, None] * strike).sum(axis=0).mean())))
    slope = (odds[1] - odds[0]) / log(1.05 / 0.95)
    assert slope == pytest.approx(-2.1, abs=0.3)
    differ = float(np.hypot(PITCHER_SD, TYPE_SD)) / abs(slope)
    ours = _pitch(np.eye(2) * 72.0, 0)
    assert ours.freedom == PRIOR_THROWS
    assert ours.spread_sd / ours.spread == pytest.approx(differ, rel=0.25)


@pytest.mark.parametrize(
    ("mean_miss", "median", "rms", "within_twelve"),
    # Of a round Gaussian: mean = s sqrt(pi/2), median 1.17741 s, rms = s sqrt 2, Rayleigh's law.
    [(9.6, 9.019, 10.832, 0.7069), (11, 10.334, 12.412, 0.6073), (15, 14.092, 16.926, 0.3951)],
)
def test_misses_convert_as_a_round_gaussians(
    mean_miss: float, median: float, rms: float, within_twelve: float
) -> None:
    sigma = mean_miss / np.sqrt(np.pi / 2.0)
    pitch = _pitch(np.eye(2) * sigma**2, 0)
    assert pitch.mean_miss == pytest.approx(mean_miss, abs=1e-9)
    rayleigh = stats.rayleigh(scale=pitch.spread)
    assert float(rayleigh.median()) == pytest.approx(median, abs=0.002)
    assert pitch.spread * np.sqrt(2.0) == pytest.approx(rms, abs=0.002)
    assert float(rayleigh.cdf(12.0)) == pytest.approx(within_twelve, abs=2e-4)
