"""Prior weights against published reliabilities, and spreads against Gaussian misses."""

import numpy as np
import pytest

from sequencer.estimates.command import average
from sequencer.estimates.pitcher import PitchBelief
from sequencer.estimates.shrinkage import prior_weight
from sequencer.estimates.traits import INDEX, prior_sd


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


def _log_odds_sd(share: float, n0: float) -> float:
    """Spread of talent, in log odds, that makes a share of n0 observations half reliable."""
    variance = share * (1 - share) / n0
    return float(np.sqrt(variance) / (share * (1 - share)))


@pytest.mark.parametrize(
    ("trait", "share", "n0"),
    # Shares: FanGraphs library, about 2014. Weights in pitches: as above at 3.8 pitches a plate
    # appearance; contact per swing about 75; chase has no counted figure, twice the swing's, on the
    # half of pitches that are balls.
    [("contact", 0.80, 75), ("chase", 0.30, 75), ("aggressive", 0.46, 80)],
)
def test_prior_spreads_agree_with_reliabilities_within_a_factor_of_two(
    trait: str, share: float, n0: float
) -> None:
    ratio = prior_sd()[INDEX[trait]] / _log_odds_sd(share, n0)
    # A take moves swings by about half of what it moves itself.
    half = 0.5 if trait == "aggressive" else 1.0
    assert 0.5 < half * ratio < 2.0


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
