"""A log is held against the plan for the usual hitter of each side."""

import pandas as pd

from sequencer.reports.usual_plans import usual_plans
from sequencer.review.review import review
from tests.review.simulate import log


def a_log() -> pd.DataFrame:
    frame = log(300, seed=3).assign(level="15-16", pitching="us", throws="R")
    return frame.assign(called=frame["pitch"])


def test_every_pitch_asked_about_has_shares_that_sum_to_one() -> None:
    frame = a_log()
    plans, _ = usual_plans(frame)
    row = frame.iloc[0]
    mix = plans(str(row["pitcher"]), str(row["hitter"]), 0, 0, None)
    assert mix
    assert abs(sum(mix.values()) - 1) < 1e-6


def test_someone_who_is_not_in_the_log_has_no_plan() -> None:
    plans, _ = usual_plans(a_log())
    assert plans("Nobody", "Nobody", 0, 0, None) is None


def test_a_pitcher_with_few_pitches_is_held_against_nothing() -> None:
    plans, stakes = usual_plans(a_log().head(12))
    row = a_log().iloc[0]
    assert plans(str(row["pitcher"]), str(row["hitter"]), 0, 0, None) is None
    assert not stakes


def test_a_review_held_against_the_usual_plan_says_of_its_patterns_whether_they_are_right() -> None:
    frame = a_log()
    plans, stakes = usual_plans(frame)
    (one,) = review(frame, plans=plans, stakes=stakes).pitchers
    judged = [finding for finding in one.findings if finding.right is not None]
    assert judged


def test_a_pitch_to_a_hitter_of_unknown_side_is_held_against_nothing() -> None:
    frame = a_log().assign(target="middle")
    known = frame.index % 2 == 0
    (every,) = (called.hitter for _, called in usual_plans(frame)[1].values())
    (half,) = (
        called.hitter
        for _, called in usual_plans(frame.assign(bats=frame["bats"].where(known, "")))[1].values()
    )
    assert len(half) == round(len(every) / 2)
    _, none = usual_plans(frame.assign(bats=""))
    assert not none
