"""Prior weights against published reliabilities, and spreads against Gaussian misses."""

import numpy as np
import pytest
from scipy.optimize import minimize
from sklearn.linear_model import LogisticRegression
from statsmodels.genmod import families
from statsmodels.genmod.generalized_linear_model import GLM

from sequencer.estimates.command import average
from sequencer.estimates.hitter import posterior
from sequencer.estimates.hitter_data import Seen, seen
from sequencer.estimates.hitter_prior import implied_weight
from sequencer.estimates.league import load
from sequencer.estimates.pitcher import PitchBelief
from sequencer.estimates.shrinkage import prior_weight, shrunk
from sequencer.estimates.traits import INDEX, TRAITS, prior_sd
from tests.estimates.simulated import season
from tests.estimates.test_hitter_prior import one_step


@pytest.mark.parametrize(
    ("plate_appearances", "weight"),
    # Carleton (2007) by way of Seidman (FanGraphs 2009): swing share 50, contact share 100, at a
    # split-half reliability of .70. Carleton (2012-13): strikeouts 60, walks 120.
    [(50, 21), (100, 43), (60, 26), (120, 51)],
)
def test_a_reliability_of_seventy_gives_the_published_prior_weight(
    plate_appearances: int, weight: int
) -> None:
    assert round(prior_weight(plate_appearances, 0.70)) == weight


def _what_hitters_see() -> Seen:
    return seen(season(500, seed=1).assign(seen_from="measured"), "R", load("pro"))


@pytest.mark.parametrize(
    ("step", "published", "counted"),
    # In pitches seen and in swings, at 3.8 pitches a plate appearance: Carleton as above, 21 and 43
    # plate appearances. Counted over 990 seasons of 600 pitches, Retrosheet 2016, 2019, 2020
    # (obtained free of charge from and copyrighted by Retrosheet, www.retrosheet.org).
    [("swing", 80, 106), ("miss", 75, 47)],
)
def test_spreads_of_traits_weigh_what_reliabilities_say_within_a_factor_of_two(
    step: str, published: float, counted: float
) -> None:
    take = load("pro").take_share
    _, weight = implied_weight(_what_hitters_see(), step, take, prior_sd())
    assert published / 2 < weight < 2 * published
    assert counted / 1.5 < weight < 1.5 * counted


@pytest.mark.parametrize(("misses", "swings"), [(3, 20), (30, 100), (115, 500)])
def test_one_trait_shrinks_as_a_share_does_with_its_prior_weight(misses: int, swings: int) -> None:
    # A share of n observations shrinks by n / (n + n0) to the mean, n0 = p(1-p)/var: the ratio that
    # reliabilities are published in. In log odds a spread s makes var = (p(1-p) s)^2.
    league, sd = 0.25, 0.20
    load_of = np.zeros((swings, len(TRAITS)))
    load_of[:, INDEX["contact"]] = -1.0
    outcome = (np.arange(swings) < misses).astype(float)
    base = np.full(swings, np.log(league / (1 - league)))
    spreads = np.full(len(TRAITS), 1e-6)
    spreads[INDEX["contact"]] = sd
    zero = np.zeros(len(TRAITS))
    mean, cov = posterior(one_step(outcome, base, load_of), zero, spreads, np.zeros((4, 3)))
    x = -mean[INDEX["contact"]]
    n0 = 1.0 / (league * (1 - league) * sd**2)
    found = 1.0 / (1.0 + np.exp(-x - base[0]))
    assert found == pytest.approx(shrunk(misses / swings, swings, league, n0), abs=0.004)
    left = np.sqrt(cov[INDEX["contact"], INDEX["contact"]]) / sd
    assert left == pytest.approx(np.sqrt(n0 / (n0 + swings)), abs=0.03)


def test_the_mode_and_covariance_are_those_of_a_penalised_logistic_fit() -> None:
    # scikit-learn and statsmodels on the same rows: a ridge of one on traits in prior spreads. The
    # first has no offset, so the league's log odds are left out for it.
    data, sd, zero = _what_hitters_see(), prior_sd(), np.zeros(len(TRAITS))
    miss = data.part("miss")
    scaled = miss.load * sd
    plain = one_step(miss.outcome, np.zeros(len(miss.outcome)), miss.load)
    mean, cov = posterior(plain, zero, sd, np.zeros((4, 3)))
    fit = LogisticRegression(C=1.0, fit_intercept=False, tol=1e-10, max_iter=5000)
    fit.fit(scaled, miss.outcome)
    np.testing.assert_allclose(mean / sd, fit.coef_[0], atol=1e-4)
    p = fit.predict_proba(scaled)[:, 1]
    information = (scaled * (p * (1 - p))[:, None]).T @ scaled + np.eye(len(sd))
    np.testing.assert_allclose(cov / np.outer(sd, sd), np.linalg.inv(information), atol=1e-4)

    mean, cov = posterior(one_step(miss.outcome, miss.base, miss.load), zero, sd, np.zeros((4, 3)))
    model = GLM(miss.outcome, scaled, family=families.Binomial(), offset=miss.base)
    ridge = minimize(
        lambda b: 0.5 * b @ b - model.loglike(b, scale=1.0),
        zero,
        jac=lambda b: b - model.score(b, scale=1.0),
        tol=1e-7,
    )
    np.testing.assert_allclose(mean / sd, ridge.x, atol=1e-4)
    known = np.eye(len(sd)) - model.hessian(ridge.x, scale=1.0)
    np.testing.assert_allclose(cov / np.outer(sd, sd), np.linalg.inv(known), atol=1e-4)


@pytest.mark.parametrize(
    ("mean_miss", "sigma", "within_six"),
    # Of a round Gaussian, exact: mean = sigma sqrt(pi/2), P(miss < R) = 1 - exp(-R^2 / 2 sigma^2).
    [(9.6, 7.660, 0.2642), (13.0, 10.372, 0.1541), (18.0, 14.362, 0.0836)],
)
def test_spread_and_mean_miss_are_a_round_gaussians(
    mean_miss: float, sigma: float, within_six: float
) -> None:
    usual = average("pro").arsenal[0]
    cov = np.eye(2) * sigma**2
    pitch = PitchBelief(
        "fastball", "fast", usual.bias, cov, usual.bias_cov, 25.0, 0.0, 0, 0, 0.6, (0.5, 0.7)
    )
    assert pitch.mean_miss == pytest.approx(mean_miss, abs=0.01)
    drawn = np.random.default_rng(0).multivariate_normal(pitch.bias, pitch.cov, 200_000)
    miss = np.hypot(*drawn.T)
    assert miss.mean() == pytest.approx(mean_miss, abs=0.05)
    assert np.mean(miss < 6) == pytest.approx(within_six, abs=0.004)


def test_professional_command_is_within_the_published_misses() -> None:
    # Sarris (FanGraphs 2015): average glove movement 13 inches, best 9 on 3-0 counts; AP (2010):
    # 9.6 inches for one of the best.
    assert 9.0 < average("pro").arsenal[0].mean_miss < 13.0
