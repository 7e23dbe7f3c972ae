"""The committed league against published figures of professional hitters, umpires and counts."""

import numpy as np
import pytest

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.calibrate import COUNTED
from sequencer.estimates.chain import Chain, chain, grid
from sequencer.estimates.league import load

# Run value of a count relative to 0-0: mean linear weights of plate appearances through it,
# Retrosheet 2016, 2019 and 2020 (standard errors up to .0026). The information used here was
# obtained free of charge from and is copyrighted by Retrosheet.
COUNT_VALUES = np.array(
    [[0.0, -0.043, -0.102], [0.037, -0.015, -0.079], [0.097, 0.035, -0.039], [0.203, 0.138, 0.053]]
)
STRIKEOUTS, WALKS = 0.2234, 0.0806  # the same seasons, shares of plate appearances

# Swing rate by balls (rows) and strikes: Brooks and Pavlidis (2012), Baseball Prospectus 17941.
SWING = np.array(
    [[25.22, 45.51, 49.49], [40.09, 52.31, 57.80], [40.03, 58.52, 65.60], [6.95, 54.49, 73.81]]
)
SWING_IN_ZONE = np.array(
    [[37.39, 71.12, 85.30], [57.49, 76.29, 88.01], [56.49, 80.41, 90.16], [9.72, 73.85, 92.57]]
)


@pytest.fixture(scope="module")
def played() -> Chain:
    return chain(load("pro"))


def _swing_and_place() -> tuple[Floats, Floats, Floats, Floats]:
    """Return weight, swing, miss (families, points, 4, 3) and whether each point is in the zone."""
    league = load("pro")
    u, v = grid()
    weight, swing, miss = [], [], []
    for i, family in enumerate(FAMILIES):
        density = np.array(
            [[league.location_mix(b, s, u, v)[i] for s in range(3)] for b in range(4)]
        )
        steps = league.steps(
            family, u[:, None, None], v[:, None, None], np.arange(4)[:, None], np.arange(3), 0.5
        )
        weight.append(np.moveaxis(density, -1, 0))
        swing.append(expit(steps.swing))
        miss.append(expit(steps.miss))
    inside = ((np.abs(u) <= 1) & (np.abs(v) <= 1)).astype(float)[None, :, None, None]
    return np.array(weight), np.array(swing), np.array(miss), inside


def test_count_values_are_within_a_hundredth_of_the_counted_ones(played: Chain) -> None:
    np.testing.assert_allclose(played.value, COUNT_VALUES, atol=0.01)


def test_strikeouts_and_walks_are_within_two_points(played: Chain) -> None:
    assert played.strikeouts == pytest.approx(STRIKEOUTS, abs=0.02)
    assert played.walks == pytest.approx(WALKS, abs=0.02)


def test_count_values_rise_with_balls_and_fall_with_strikes(played: Chain) -> None:
    assert np.all(np.diff(played.value, axis=0) > 0)
    assert np.all(np.diff(played.value, axis=1) < 0)


def test_a_plate_appearance_starts_about_average(played: Chain) -> None:
    assert abs(played.start) < 0.01


def test_rates_by_count_are_as_counted(played: Chain) -> None:
    for name in ("swing", "miss", "in_play", "called"):
        got, counted = getattr(played.rates, name), getattr(COUNTED, name)
        np.testing.assert_allclose(got, counted, atol=0.01)


def test_swings_by_count_follow_the_published_pattern(played: Chain) -> None:
    # Counted in other seasons than ours: hitters of 2016-20 swing a little more.
    np.testing.assert_allclose(played.rates.swing * 100, SWING, atol=6.0)
    assert np.corrcoef(played.rates.swing.ravel(), SWING.ravel())[0, 1] > 0.98


def test_swings_in_the_zone_follow_the_published_pattern() -> None:
    weight, swing, _, inside = _swing_and_place()
    in_zone = (weight * inside * swing).sum((0, 1)) / (weight * inside).sum((0, 1))
    np.testing.assert_allclose(in_zone * 100, SWING_IN_ZONE, atol=9.0)
    assert np.corrcoef(in_zone.ravel(), SWING_IN_ZONE.ravel())[0, 1] > 0.98


def test_discipline_is_near_the_published_averages() -> None:
    # FanGraphs library, about 2014: swing at balls 30 %, at strikes 65 %, contact on balls 66 %,
    # on strikes 87 %, in the zone 45 %. Hitters of 2016-20 miss more.
    weight, swing, miss, inside = _swing_and_place()
    weight = weight * np.array(COUNT_WEIGHT)
    out = 1.0 - inside

    def mean(values: Floats, of: Floats) -> float:
        return float((values * of).sum() / of.sum())

    assert mean(swing, weight * out) == pytest.approx(0.30, abs=0.05)
    assert mean(swing, weight * inside) == pytest.approx(0.65, abs=0.06)
    assert 1 - mean(miss, weight * swing * out) == pytest.approx(0.62, abs=0.08)
    assert 1 - mean(miss, weight * swing * inside) == pytest.approx(0.84, abs=0.06)
    assert mean(inside + 0 * swing, weight) == pytest.approx(0.45, abs=0.06)


#: Pitches by count, the same seasons.
COUNT_WEIGHT = [
    [0.2557, 0.1277, 0.0652],
    [0.1002, 0.1022, 0.0954],
    [0.0343, 0.0535, 0.0827],
    [0.0105, 0.0222, 0.0503],
]


def _zone_area(balls: int, strikes: int) -> float:
    """Return square feet in which a taken pitch is likelier a strike than a ball."""
    u, v = np.meshgrid(np.arange(-2, 2, 0.02), np.arange(-2, 2, 0.02))
    called = load("pro").steps("fast", u, v, balls, strikes, 0.5, season=2012).called > 0
    # One unit is 9.95 inches across and 12 up.
    return float(called.sum()) * 0.02**2 * 9.952 * 12.0 / 144.0


def test_the_called_zone_is_as_large_as_published_by_count() -> None:
    # Walsh (2010), The Compassionate Umpire: 3.52 square feet at 3-0, 2.42 at 0-2; Carruth (2012):
    # 3.73 and 2.39 on right-handed hitters, 3.40 to 3.49 at 0-0.
    assert _zone_area(3, 0) == pytest.approx(3.6, abs=0.35)
    assert _zone_area(0, 0) == pytest.approx(3.3, abs=0.35)
    assert _zone_area(0, 2) == pytest.approx(2.4, abs=0.35)
    assert _zone_area(0, 2) / _zone_area(3, 0) == pytest.approx(0.66, abs=0.08)


def test_a_coin_flip_at_no_and_two_is_a_strike_at_three_and_none() -> None:
    # Carruth (2012): a 50/50 pitch on 0-2 is a strike about 85 % of the time on 3-0.
    league, u, v = load("pro"), np.linspace(0.5, 1.5, 400), np.zeros(400)
    late, early = (
        league.steps("fast", u, v, *count, 0.5, season=2012).called for count in ((0, 2), (3, 0))
    )
    at = int(np.argmin(np.abs(late)))
    assert expit(early)[at] == pytest.approx(0.85, abs=0.07)


def test_an_inch_inside_the_edge_and_outside_it_are_called_as_published() -> None:
    # FanGraphs (2021): 42 % of taken pitches within half an inch outside are strikes; 2.7 inches
    # inside, almost 90 %. Read on the sides, in an even count.
    league = load("pro")
    inch = 1 / 9.952
    inside = [1 - 2.7 * inch, -(1 - 2.7 * inch)]
    just_out = [1 + 0.25 * inch, -(1 + 0.25 * inch)]
    assert np.mean(expit(league.steps("fast", inside, 0.0, 1, 1, 0.5).called)) > 0.85
    assert 0.3 < np.mean(expit(league.steps("fast", just_out, 0.0, 1, 1, 0.5).called)) < 0.8


def test_values_in_play_fall_with_strikes_as_measured(played: Chain) -> None:
    # Open tracking data: from about +.09 runs with no strikes to +.015 with two.
    runs = played.rates.in_play_runs
    assert np.all(runs[:3, 0] > runs[:3, 2])
    assert 0.03 < float((runs[:3, 0] - runs[:3, 2]).mean()) < 0.09
