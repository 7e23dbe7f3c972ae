"""Fitting a league on a pitch log, alone and leaning on the built-in one."""

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.levels import level
from sequencer.errors import BadInput
from sequencer.estimates import coefficients, fit, steps, umpires, unsure
from sequencer.estimates.arrays import expit
from sequencer.estimates.calibrate import calibrated
from sequencer.estimates.chain import chain
from sequencer.estimates.coefficients import PLAYS, STEPS
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.league import League, LevelShift, load, shift_between
from sequencer.estimates.surface import Rows, Surface
from sequencer.estimates.takes import TAKE_BEFORE, taken
from tests.estimates.simulated import pitches

BUILT_IN = coefficients.read()
LOG = pitches(6000, seed=21)


@pytest.fixture(scope="module")
def alone() -> coefficients.Coefficients:
    return fit.fit_league(LOG, name="simulated")


def test_a_league_fitted_alone_is_near_the_one_it_was_drawn_from(
    alone: coefficients.Coefficients,
) -> None:
    found, truth = League.of(alone, LevelShift()), load("pro")
    held_out = data_of(pitches(4000, seed=22))
    ours, best = unsure.losses(held_out, found), unsure.losses(held_out, truth)
    for step in STEPS:
        assert ours[step] < best[step] * 1.06 + 0.002, step


def test_a_fit_says_what_it_is_of(alone: coefficients.Coefficients) -> None:
    assert alone.data["name"] == "simulated"
    assert alone.data["pitches"] == 6000
    assert alone.data["rows"]["swing"] > alone.data["rows"]["miss"] > alone.data["rows"]["foul"]
    np.testing.assert_allclose(alone.mix.family.sum(0), 1.0)
    np.testing.assert_allclose(alone.plays.share.sum(), 1.0)


def test_a_fitted_called_edge_is_scikit_learns_on_the_same_design() -> None:
    from sklearn.linear_model import LogisticRegression

    from sequencer.estimates.surface import design

    data = data_of(LOG)
    which, outcome = steps.used("foul", data)
    rows, y = data.rows.take(which), outcome[which]
    start = Surface.zero(steps.BUMPS["foul"])
    precision = steps.precision("foul", start, leaning=False)
    free = precision < 1e6
    ours = fit.fit_step("foul", rows, y, start, precision, np.zeros((4, 3))).vector()
    near = Rows(rows.family, np.clip(rows.u, -2.2, 2.2), np.clip(rows.v, -2.2, 2.2),
                rows.balls, rows.strikes, rows.same, rows.left, rows.season)  # fmt: skip
    scaled = design(near, start.side)[:, free] / np.sqrt(precision[free])
    theirs = LogisticRegression(C=1.0, fit_intercept=False, tol=1e-9, max_iter=5000).fit(scaled, y)
    np.testing.assert_allclose(
        scaled @ (ours[free] * np.sqrt(precision[free])), scaled @ theirs.coef_[0], atol=0.01
    )


def test_takes_are_told_apart_from_choosing_what_to_swing_at() -> None:
    take = np.array([[0.5, 0.15, 0.05], [0.3, 0.1, 0.02], [0.3, 0.1, 0.0], [0.8, 0.15, 0.0]])
    data = data_of(pitches(12_000, take_share=take, seed=31))
    which, swung = steps.used("swing", data)
    ready = load("pro").fitted.steps["swing"]
    found = taken(data.rows.take(which), swung[which], ready, TAKE_BEFORE)
    np.testing.assert_allclose(found, take, atol=0.06)
    alone = fit.fit_league(pitches(12_000, take_share=take, seed=31)).take_share
    np.testing.assert_allclose(alone, take, atol=0.12)
    assert np.corrcoef(alone.ravel(), take.ravel())[0, 1] > 0.97


def test_a_short_log_hardly_moves_the_built_in_league_and_a_long_one_does() -> None:
    def moved(n: int) -> float:
        log = pitches(6000, seed=5).head(n).copy()
        log.loc[log["result"] == "foul", "result"] = "swinging strike"
        found = fit.fit_league(log, prior=BUILT_IN)
        steps = [x.steps("fast", 0.3, 0.2, 1, 1, 1).miss for x in (_pro(found), load("pro"))]
        return float(steps[0] - steps[1])

    few, many = moved(120), moved(6000)
    # Every foul became a miss, which is 1.7 in log odds.
    assert 0.0 < few < 1.0
    assert many > 1.2


def _pro(found: coefficients.Coefficients) -> League:
    return League.of(found, shift_between(found, "pro"))


def test_a_log_without_rows_of_a_step_leaves_it_as_built_in() -> None:
    log = pitches(400, seed=6)
    log = log[log["result"].isin(["ball", "called strike"])]
    found = fit.fit_league(log, prior=BUILT_IN)
    for step in ("miss", "foul", "in_play"):
        np.testing.assert_array_equal(
            found.steps[step].vector(), BUILT_IN.steps[step].vector(), err_msg=step
        )
    assert found.data["rows"]["miss"] == 0


def test_a_levels_own_log_leaves_the_league_where_the_level_put_it() -> None:
    log = pitches(8000, level="11-12", seed=9)
    found = fit.fit_league(log, prior=BUILT_IN, level="11-12")
    ours, before = League.of(found, shift_between(found, "11-12"), "11-12"), load("11-12")
    for place in [(0.0, 0.0), (0.9, -0.6), (-1.1, 0.2)]:
        after, was = (x.steps("fast", *place, 1, 1, 1) for x in (ours, before))
        assert abs(expit(after.miss) - expit(was.miss)) < 0.07
        assert abs(expit(after.called) - expit(was.called)) < 0.16
        assert abs(after.in_play - was.in_play) < 0.05


def test_alone_at_a_level_is_that_level_as_it_is() -> None:
    found = fit.fit_league(pitches(5000, level="15-16", seed=3), level="15-16")
    shift = shift_between(found, "15-16")
    assert shift.miss == shift.called_edge_in == 0.0
    assert shift.patience == 0.25
    assert shift_between(found, "17-18").miss != 0.0


def test_calibrating_brings_any_fit_through_the_gate(alone: coefficients.Coefficients) -> None:
    played = chain(League.of(calibrated(alone), LevelShift()))
    assert played.strikeouts == pytest.approx(0.2234, abs=0.02)
    assert played.walks == pytest.approx(0.0806, abs=0.02)
    assert played.value[3, 0] == pytest.approx(0.203, abs=0.01)
    assert played.value[0, 2] == pytest.approx(-0.102, abs=0.01)


def test_games_that_kept_only_takes_say_nothing_of_swings() -> None:
    taken = LOG[LOG["result"].isin(["ball", "called strike"])].assign(game="takes only")
    both = data_of(pd.concat([LOG.head(500), taken], ignore_index=True))
    assert steps.used("swing", both)[0].sum() == 500
    assert steps.used("called", both)[0].sum() > len(taken)


def test_takes_of_unknown_result_say_nothing_of_hit_batters() -> None:
    log = LOG.head(500).assign(swing=None)
    taken = log["result"].isin(["ball", "called strike", "hit by pitch"])
    some = log.index[taken][::2]
    unsaid = log.copy()
    unsaid.loc[some, ["result", "swing"]] = "unknown", False
    known, fewer = data_of(log), data_of(unsaid)
    assert fewer.took.sum() == known.took.sum()
    assert steps.used("swing", fewer)[0].sum() == steps.used("swing", known)[0].sum()
    assert steps.used("hit_by_pitch", known)[0].sum() == taken.sum()
    assert steps.used("hit_by_pitch", fewer)[0].sum() == taken.sum() - len(some)


def test_pitch_outs_bunts_and_pitches_without_a_place_are_left_out() -> None:
    log = LOG.head(100).assign(intent="", bunt=False)
    log.loc[:9, "intent"] = "intentional ball"
    log.loc[10:14, "bunt"] = True
    log.loc[15:17, "side_in"] = np.nan
    data = data_of(log)
    assert len(data.rows) == 82 and data.left_out == 18


def test_cells_are_places_when_there_are_no_inches() -> None:
    log = LOG.head(50).drop(columns=["side_in", "height_in"]).assign(cell="down-away")
    data = data_of(log)
    np.testing.assert_allclose(data.rows.u, 2 / 3)
    # A row is a third of the zone as named: a ball's radius nearer than the edge it touches.
    usual = level("pro").zone
    within = usual.half_height_in / usual.centre_half_height_in
    np.testing.assert_allclose(data.rows.v, -2 / 3 * within)


def test_contact_value_goes_before_what_became_of_the_ball() -> None:
    log = LOG[LOG["result"] == "in play"].head(5)
    assert np.isfinite(data_of(log).runs).all()
    valued = data_of(log.assign(contact_value=0.33 + 1.15 * 0.2))
    np.testing.assert_allclose(valued.runs, 0.2)


@pytest.mark.parametrize("column", ["pitch", "result", "balls", "strikes", "bats"])
def test_a_log_without_a_needed_column_is_refused_by_name(column: str) -> None:
    with pytest.raises(BadInput, match=f"no column {column}"):
        data_of(LOG.head(20).drop(columns=[column]))


def test_a_log_without_any_place_is_refused() -> None:
    with pytest.raises(BadInput, match="No pitch of this log has a place"):
        data_of(LOG.head(20).drop(columns=["side_in", "height_in"]))


def test_one_outcome_only_is_refused_alone_and_leaves_the_league_when_leaning() -> None:
    log = LOG.head(400).assign(result="called strike", play="")
    with pytest.raises(BadInput, match="came out the same way on all 400 pitches"):
        fit.fit_league(log)
    found = fit.fit_league(log, prior=BUILT_IN)
    assert np.isfinite(found.steps["called"].vector()).all()


def test_too_few_pitches_are_refused_alone_with_the_number_needed() -> None:
    with pytest.raises(BadInput, match="at least 30 are needed"):
        fit.fit_league(LOG.head(40))


@pytest.mark.parametrize(("column", "value"), [("pitch", "fastball"), ("balls", 0), ("throws", "")])
def test_constant_columns_leave_finite_coefficients(column: str, value: str | int) -> None:
    log = LOG.head(1500).copy()
    log[column] = value
    found = fit.fit_league(log, prior=BUILT_IN)
    for step in STEPS:
        assert np.isfinite(found.steps[step].vector()).all()


def test_plays_are_counted_with_the_published_shares_behind_them() -> None:
    log = LOG.copy()
    put = log["result"] == "in play"
    log.loc[put, "play"] = "home run"
    share = fit.fit_league(log).plays.share
    assert share[PLAYS.index("home run")] > 0.2
    assert share[PLAYS.index("single")] > 0.05


def test_absurd_places_and_speeds_leave_finite_coefficients() -> None:
    log = LOG.head(1500).assign(speed_mph=900.0)
    log.loc[:3, "side_in"] = 4000.0
    log.loc[4:6, "height_in"] = -9999.0
    log.loc[7:9, "side_in"] = np.inf
    found = fit.fit_league(log, prior=BUILT_IN)
    assert found.data["leaning"]["left_out"] == 3
    for step in STEPS:
        assert np.isfinite(found.steps[step].vector()).all()


def test_separated_swings_leave_finite_coefficients() -> None:
    log = LOG.head(3000).copy()
    inside = (log["side_in"].abs() < 8) & log["height_in"].between(20, 40)
    log.loc[inside, "result"] = np.where(np.arange(inside.sum()) % 3, "in play", "foul")
    log.loc[~inside, "result"] = "ball"
    log["play"] = np.where(log["result"] == "in play", "single", "")
    found = fit.fit_league(log, prior=BUILT_IN)
    ready = _pro(found).steps("fast", np.array([0.0, 2.5]), np.zeros(2), 1, 1, 0.5).swing_ready
    assert np.isfinite(ready).all() and ready[0] > ready[1] + 4.0


def test_dates_tell_seasons_and_without_them_how_the_log_was_kept() -> None:
    log = LOG.head(60).assign(date=["2024-05-01"] * 30 + ["not a date"] * 30)
    assert set(data_of(log).rows.season[:30]) == {2024}
    undated = log.drop(columns="date").assign(throws=["R"] * 20 + [""] * 40)
    undated["top_in"], undated["bottom_in"] = 42.0, 18.0
    undated.loc[40:, "top_in"] = 40.5
    kept = data_of(undated).rows.season
    assert [len(set(kept[part])) for part in (slice(20), slice(20, 40), slice(40, None))] == [1] * 3
    assert len(set(kept)) == 3 and kept.max() < umpires.FIRST_YEAR


def test_a_logged_zone_counts_for_the_part_of_it_that_is_played() -> None:
    log = LOG.head(20).assign(height_in=30.0, top_in=50.0, bottom_in=20.0)
    usual = data_of(log.drop(columns=["top_in", "bottom_in"])).rows.v
    own = data_of(log).rows.v
    assert np.all(own < usual) and np.all(own > usual - 0.4)
