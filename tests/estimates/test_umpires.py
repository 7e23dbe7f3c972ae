"""The called zone of a side, a year and a season, told apart from what they share."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.estimates import coefficients, steps, umpires
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.league import load
from sequencer.estimates.surface import Rows
from sequencer.estimates.umpires import Umpires, fit_called


def _rows(n: int, seasons: tuple[int, ...], edge: dict[int, float]) -> tuple[Rows, Floats]:
    """Takes of seasons whose away edge lies elsewhere for left-handed hitters."""
    rng = np.random.default_rng(7)
    season, left = rng.choice(seasons, n), rng.integers(0, 2, n).astype(float)
    u, v = rng.uniform(-1.8, 1.8, n), rng.uniform(-1.8, 1.8, n)
    off = np.array([edge[int(year)] for year in season]) * left
    inside = np.minimum(np.minimum(1.0 + off - u, 1.0 + u), 1.0 - np.abs(v))
    called = (rng.random(n) < expit(10.0 * inside)).astype(float)
    one = np.ones(n, dtype=np.intp)
    return Rows(0 * one, u, v, one, one, np.full(n, 0.5), left, season), called


def _fitted(rows: Rows, called: Floats) -> tuple[Floats, Umpires]:
    start = steps.begun("called")
    surface, found = fit_called(
        rows, called, start, steps.precision("called", start, leaning=False)
    )
    return np.asarray(
        surface.at("fast", np.array(1.15), np.array(0.0), np.array(0.5), np.array(0.0))
    ), found


def test_a_seasons_wider_edge_is_that_seasons_and_not_the_leagues() -> None:
    rows, called = _rows(9000, (2011, 2018), {2011: 0.25, 2018: 0.0})
    place, found = _fitted(rows, called)

    def at(left: float, season: int) -> float:
        return float(found.told(place, np.array(1.15), np.array(0.0), left, season))

    assert found.latest == 2018
    assert at(1.0, 2011) > at(0.0, 2011) + 1.0
    assert abs(at(1.0, 2018) - at(0.0, 2018)) < 0.6
    # A season not met is between them, nearer the season nearer in time.
    assert at(1.0, 2018) < at(1.0, 2014) < at(1.0, 2011)


def test_parts_of_a_log_without_dates_are_told_apart_and_only_half_trusted_again() -> None:
    rows, called = _rows(9000, (1, 3), {1: 0.3, 3: 0.0})
    place, found = _fitted(rows, called)

    def at(season: int) -> float:
        return float(found.told(place, np.array(1.15), np.array(0.0), 1.0, season))

    assert found.latest == 0 and not found.year.any()
    assert at(1) > at(4) > at(3)
    form = umpires.features(np.array([1.15]), np.array([0.0]))
    assert found.doubt(form, 1.0, 4) > found.doubt(form, 1.0, 1) > 1.0


def test_a_season_not_met_is_told_less_surely() -> None:
    found = coefficients.read().umpires
    u, v = np.array([0.0, 0.9, 1.3, 2.0]), np.zeros(4)
    form = umpires.features(u, v)
    met, near, far = (found.doubt(form, 0.5, year) for year in (2012, 2024, 2040))
    np.testing.assert_allclose(met, 1.0)
    assert np.all(near > 1.0) and np.all(far >= near)
    np.testing.assert_allclose(found.doubt(form, 0.5, 0), near)


def test_a_log_without_dates_or_of_one_season_has_no_departures() -> None:
    rows, called = _rows(3000, (2018,), {2018: 0.0})
    _, one = _fitted(rows, called)
    np.testing.assert_allclose(one.seasons[2018], 0.0, atol=1e-3)
    undated = replace(rows, season=0 * rows.season)
    place, none = _fitted(undated, called)
    assert none.latest == 0 and not none.seasons
    either = none.told(place, np.array(1.15), np.array(0.0))
    assert float(either) == pytest.approx(float(place))


@given(st.floats(-9, 9), st.floats(-9, 9), st.sampled_from([0, 1, 1950, 2012, 2023, 9999]))
def test_every_season_calls_a_number_everywhere(u: float, v: float, season: int) -> None:
    steps = load("pro").steps("fast", u, v, 1, 1, 0.5, left=1.0, season=season)
    assert np.isfinite(steps.called)


def test_thinning_keeps_short_seasons_whole_and_long_ones_evenly() -> None:
    season = np.repeat([2012, 2019], [3 * umpires.ENOUGH, 50])
    kept = umpires.thinned(season)
    assert (season[kept] == 2019).sum() == 50
    assert (season[kept] == 2012).sum() == umpires.ENOUGH
    assert np.ptp(np.diff(kept[season[kept] == 2012])) == 0
