"""Losses, calibration and reliability against outside libraries; logs scored as they should be."""

from dataclasses import fields, replace

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.calibration import calibration_curve
from sklearn.metrics import log_loss
from statsmodels.stats.proportion import proportion_confint

from sequencer.errors import BadInput
from sequencer.estimates import rivals, scoring
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.coefficients import STEPS
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.league import load
from sequencer.estimates.read_skill import read_next
from sequencer.estimates.scored import Scored, score_log
from sequencer.reports.score_text import read_verdict, score_text, verdict
from tests.estimates.simulated import season

RNG = np.random.default_rng(5)
SAID = expit(RNG.normal(0.3, 1.4, 3000))
CAME = (RNG.random(3000) < expit(0.7 * logit(SAID) - 0.2)).astype(float)
GROUPS = np.arange(3000) // 25


def games_of(at_bats: int, *, seed: int, a_game: int = 40) -> pd.DataFrame:
    frame = season(at_bats, level="17-18", seed=seed)
    at_bat = frame["at_bat"] - 1
    return frame.assign(
        game=[f"g{n}" for n in at_bat // a_game], at_bat=at_bat % a_game + 1
    ).sort_values(["game", "at_bat", "pitch_no"])


LOG = games_of(700, seed=3)


@pytest.fixture(scope="module")
def scored() -> Scored:
    return score_log(LOG, load("17-18"))


def test_the_loss_is_scikit_learns_log_loss() -> None:
    assert scoring.losses(CAME, SAID).mean() == pytest.approx(log_loss(CAME, SAID), rel=1e-12)


def test_the_calibration_line_is_statsmodels_logit_on_the_same_rows() -> None:
    model = sm.Logit(CAME, sm.add_constant(logit(SAID)))
    theirs = model.fit(disp=0, cov_type="cluster", cov_kwds={"groups": GROUPS})
    ours = scoring.calibration(CAME, SAID, GROUPS)
    assert ours is not None
    assert [ours.intercept, ours.slope] == pytest.approx(theirs.params, abs=1e-6)
    assert [ours.intercept_se, ours.slope_se] == pytest.approx(theirs.bse, rel=2e-3)


def test_without_groups_errors_are_robust_ones_by_row() -> None:
    theirs = sm.Logit(CAME, sm.add_constant(logit(SAID))).fit(disp=0, cov_type="HC0")
    ours = scoring.calibration(CAME, SAID)
    assert ours is not None
    assert [ours.intercept_se, ours.slope_se] == pytest.approx(theirs.bse, rel=1e-3)


def test_the_line_of_runs_is_ordinary_least_squares() -> None:
    runs = 0.1 + 0.5 * SAID + RNG.normal(0, 0.4, len(SAID))
    theirs = sm.OLS(runs, sm.add_constant(SAID)).fit(
        cov_type="cluster", cov_kwds={"groups": GROUPS}
    )
    ours = scoring.calibration(runs, SAID, GROUPS, runs=True)
    assert ours is not None
    assert [ours.intercept, ours.slope] == pytest.approx(theirs.params, abs=1e-9)
    assert [ours.intercept_se, ours.slope_se] == pytest.approx(theirs.bse, rel=2e-3)


def test_bins_are_scikit_learns_calibration_curve() -> None:
    came, said = calibration_curve(CAME, SAID, n_bins=10, strategy="quantile")
    ours = scoring.reliability(CAME, SAID, 10)
    assert [b.came for b in ours] == pytest.approx(came, abs=0.004)
    assert [b.said for b in ours] == pytest.approx(said, abs=0.004)
    assert sum(b.pitches for b in ours) == len(CAME)


def test_the_interval_of_a_share_is_statsmodels_wilson() -> None:
    for k, n in [(0, 20), (3, 40), (20, 20)]:
        assert scoring.wilson(k / n, n) == pytest.approx(
            proportion_confint(k, n, method="wilson"), abs=1e-9
        )


def test_the_mean_error_and_its_interval_agree_with_each_other_and_the_textbook() -> None:
    mean, error = scoring.mean_error(CAME - SAID, np.arange(3000))
    assert mean == pytest.approx((CAME - SAID).mean())
    assert error == pytest.approx((CAME - SAID).std(ddof=1) / np.sqrt(3000), rel=1e-3)
    _, by_group = scoring.mean_error(CAME - SAID, GROUPS)
    low_high = scoring.interval(CAME - SAID, GROUPS)
    assert low_high is not None
    assert low_high[1] - low_high[0] == pytest.approx(2 * 1.96 * by_group, rel=0.1)


@given(st.floats(0.3, 3.0), st.floats(-1.0, 1.0))
@settings(max_examples=25, deadline=None)
def test_what_is_said_twice_as_loudly_has_half_the_slope(scale: float, shift: float) -> None:
    plain = scoring.calibration(CAME[:800], SAID[:800])
    moved = scoring.calibration(CAME[:800], expit(scale * logit(SAID[:800]) + shift))
    assert plain is not None and moved is not None
    assert moved.slope == pytest.approx(plain.slope / scale, rel=1e-4)
    assert moved.intercept == pytest.approx(plain.intercept - shift * moved.slope, abs=1e-3)


@pytest.mark.parametrize(
    ("came", "said"),
    [
        (np.ones(50), np.linspace(0.1, 0.9, 50)),
        (np.arange(50) % 2.0, np.full(50, 0.4)),
        ((np.arange(50) > 24).astype(float), np.linspace(0.1, 0.9, 50)),
        (np.array([0.0, 1.0]), np.array([0.3, 0.6])),
        (np.zeros(0), np.zeros(0)),
    ],
)
def test_where_no_line_can_be_had_there_is_none(came: Floats, said: Floats) -> None:
    assert scoring.calibration(came, said) is None


def test_extremes_said_and_missed_stay_finite() -> None:
    assert np.isfinite(scoring.losses(np.array([1.0, 0.0]), np.array([0.0, 1.0]))).all()
    assert scoring.reliability(np.zeros(0), np.zeros(0)) == []
    assert scoring.interval(np.ones(9), np.zeros(9, dtype=np.intp)) is None


def test_errors_are_by_game_where_there_are_eight_and_else_by_at_bat() -> None:
    at_bat = np.arange(48) // 4
    few = np.array([f"g{i // 24}" for i in range(48)])
    many = np.array([f"g{i // 6}" for i in range(48)])
    groups, by = scoring.groups_of(few, at_bat % 3)
    assert (by, len(np.unique(groups))) == ("at-bat", 6)
    groups, by = scoring.groups_of(many, at_bat)
    assert (by, len(np.unique(groups))) == ("game", 8)


def test_trees_see_all_that_our_steps_see() -> None:
    rows = data_of(LOG.head(50)).rows
    seen = rivals.features(rows)
    for column in (getattr(rows, field.name) for field in fields(rows) if field.name != "family"):
        assert any(np.array_equal(seen[:, i], column) for i in range(seen.shape[1]))
    assert np.array_equal(seen[:, :3].argmax(1)[rows.family < 3], rows.family[rows.family < 3])


def test_trees_find_what_is_there_and_are_not_grown_on_too_little() -> None:
    x = RNG.normal(size=(2000, 2))
    chance = np.where(x[:, 0] > 0, expit(np.array(1.5)), expit(np.array(-1.5)))
    y = (RNG.random(2000) < chance).astype(float)
    told = rivals.grown(x[:1500], y[:1500], x[1500:])
    assert told is not None
    best = scoring.losses(y[1500:], chance[1500:]).mean()
    assert scoring.losses(y[1500:], told).mean() < 1.1 * best
    assert rivals.grown(x[:40], y[:40], x) is None
    assert rivals.grown(x[:100], np.zeros(100), x) is None
    chances = rivals.grown_kinds(x[:300], np.zeros(300, dtype=np.intp) + (x[:300, 0] > 0), x, 4)
    assert chances.sum(axis=1) == pytest.approx(np.ones(2000))
    assert chances.min() > 0


def test_the_league_that_threw_a_log_is_well_calibrated_on_it_and_beats_trees(
    scored: Scored,
) -> None:
    assert [step.step for step in scored.steps] == list(STEPS)
    for step in scored.steps:
        assert step.cannot == "" and step.loss and step.base and step.line
        if step.step != "in_play":
            assert abs(step.line.slope - 1) < 3 * step.line.slope_se + 0.02
        assert step.trees and step.ratio == pytest.approx(step.loss / step.trees)
        assert step.loss < 1.02 * step.trees
        assert step.interval and step.interval[0] < step.loss < step.interval[1]
    swing = scored.steps[STEPS.index("swing")]
    assert swing.skill == pytest.approx(1 - (swing.loss or 0) / (swing.base or 1))
    assert "well calibrated" in verdict(swing)
    assert scored.trees_from == "other games" and scored.errors_by == "game"


def test_what_says_too_much_is_called_overconfident_with_what_its_80_percent_comes_to(
    scored: Scored,
) -> None:
    swing = scored.steps[STEPS.index("swing")]
    line = scoring.Line(0.7, 0.03, 0.0, 0.05)
    # expit(.7 logit(.8)) = .725
    assert verdict(replace(swing, line=line)) == "overconfident: its 80 % comes true 73 %"
    cautious = scoring.Line(1.4, 0.05, 0.0, 0.05)
    # expit(1.4 logit(.8)) = .874
    assert verdict(replace(swing, line=cautious)) == "too cautious: its 80 % comes true 87 %"
    wide = scoring.Line(0.6, 0.4, 0.0, 0.3)
    assert verdict(replace(swing, line=wide)).startswith("too few to judge")
    off = replace(swing, off=(0.06, 0.01), happened=0.5, line=scoring.Line(1.0, 0.03, 0.3, 0.05))
    assert verdict(off) == "comes more often than said: 50 % against 44 %"


def test_one_game_is_not_compared_with_trees_and_says_so(scored: Scored) -> None:
    one = score_log(LOG[LOG["game"] == "g1"], load("17-18"))
    assert one.trees_from == ""
    assert all(step.trees is None and step.ratio is None for step in one.steps)
    page = score_text(one, "g1.csv", "The built-in league", "17-18", bins=True)
    assert "one game has no others" in " ".join(page.split())
    assert "nan" not in page and "None" not in page
    assert max(len(line) for line in page.splitlines()) <= 80


def test_trees_and_the_base_rate_know_the_training_log_only() -> None:
    train, test = games_of(400, seed=8), LOG.head(500)
    found = score_log(test, load("17-18"), train)
    assert found.trees_from == "training log"
    data = data_of(train, "17-18")
    share = data.swung.mean()
    swing = found.steps[STEPS.index("swing")]
    y = data_of(test, "17-18").swung.astype(float)
    assert swing.base == pytest.approx(scoring.losses(y, np.full(len(y), share)).mean())


def test_a_step_with_one_outcome_is_not_judged_and_a_log_of_them_not_scored() -> None:
    takes = LOG[LOG["result"].isin(["ball", "called strike"])]
    found = score_log(takes, load("17-18"))
    by_step = {step.step: step for step in found.steps}
    assert by_step["called"].cannot == ""
    assert by_step["miss"].loss is None and "no swings" in by_step["miss"].cannot
    with pytest.raises(BadInput, match="Nothing of this log can be scored"):
        score_log(LOG[LOG["result"] == "called strike"], load("17-18"))
    with pytest.raises(BadInput, match="Nothing of this log can be scored"):
        score_log(LOG.head(4), load("17-18"))


def thrown(pitch: list[str], strikes: list[int], pitcher: str = "Ames") -> pd.DataFrame:
    n = len(pitch)
    return pd.DataFrame(
        {
            "game": [f"g{i // 50}" for i in range(n)],
            "at_bat": [i % 50 // 3 + 1 for i in range(n)],
            "balls": 0,
            "strikes": strikes,
            "pitcher": pitcher,
            "pitch": pitch,
            "bats": "R",
        }
    )


def test_a_habit_is_read_and_a_plain_mix_is_not() -> None:
    strikes = RNG.integers(0, 3, 600)
    habit = ["curveball" if s == 2 else "fastball" for s in strikes]
    plain = list(RNG.choice(["curveball", "fastball"], 600, p=[0.4, 0.6]))
    both = pd.concat([thrown(habit, list(strikes), "Ames"), thrown(plain, list(strikes), "Boyd")])
    everyone, pitchers = read_next(both)
    by_name = {read.pitcher: read for read in pitchers}
    assert by_name["Ames"].guess_rate > 0.9 > 0.75 > by_name["Ames"].constant_guess_rate
    assert read_verdict(by_name["Ames"]).startswith("read:")
    assert read_verdict(by_name["Boyd"]).startswith("not read")
    assert everyone is not None and everyone.pitches == 1200
    assert everyone.gain == pytest.approx(np.mean([read.gain for read in pitchers]))
    ames = by_name["Ames"]
    assert ames.gain == pytest.approx(ames.constant_nats - ames.nats)


def test_one_pitch_or_none_is_no_error() -> None:
    everyone, pitchers = read_next(thrown(["fastball"], [0]))
    assert everyone is not None and everyone.pitches == 1 and len(pitchers) == 1
    assert read_verdict(everyone) == "too few pitches to judge"
    assert read_next(thrown(["unknown"] * 3, [0] * 3)) == (None, ())
