"""What could have been found, and how many more pitches a habit of 25 points needs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.review.coded import encode
from sequencer.review.enough import TALKED_OF, needed, pitches_needed
from sequencer.review.findings import look_for
from sequencer.review.patterns import PATTERNS, bases, first_pitch
from sequencer.review.statistics import smallest_found
from tests.review import simulate


@pytest.mark.parametrize(
    ("pitches", "points"), [(70, 48), (150, 33), (300, 23), (600, 16), (1000, 13)]
)
def test_the_pitches_that_find_so_many_points_are_those_of_the_table(
    pitches: int, points: int
) -> None:
    # 80 % power at .05/12, base 25 %, condition on 20 % of pitches, computed: to a point
    assert pitches_needed(points + 1.0) <= pitches <= pitches_needed(points - 1.0)


@settings(deadline=None)
@given(st.integers(40, 5000), st.floats(0.05, 0.9))
def test_pitches_needed_is_the_other_way_of_what_they_find(pitches: int, share: float) -> None:
    points = smallest_found(pitches, share)
    if points < 74.9:
        assert pitches_needed(points, share) == pytest.approx(pitches, rel=1e-6)


@settings(deadline=None)
@given(st.floats(5.0, 70.0), st.floats(0.05, 0.9))
def test_a_smaller_habit_needs_more_pitches(points: float, share: float) -> None:
    assert pitches_needed(points, share) > pitches_needed(points + 1.0, share)


def test_a_question_that_found_nothing_says_what_it_could_have_found_and_what_it_needs() -> None:
    log = encode(simulate.log(150, seed=4))
    findings, could = look_for(log, seed=0, name="Ames", patterns=(bases.PATTERN,))
    (one,) = needed(findings, log, could)
    assert one.points == could["bases"]
    assert one.more > 0
    assert one.says.startswith(f"Could have found {one.points:.0f} points or more; 25 needs about")
    assert f"about {one.more} more pitches " in one.says


def test_enough_pitches_need_no_more() -> None:
    log = encode(simulate.log(1500, seed=4))
    findings, could = look_for(log, seed=0, name="Ames", patterns=(bases.PATTERN,))
    (one,) = needed(findings, log, could)
    assert one.points <= TALKED_OF
    assert (one.more, one.says) == (0, f"Could have found {one.points:.0f} points or more.")


def test_more_first_pitches_are_called_first_pitches() -> None:
    log = encode(simulate.log(60, seed=2, per_game=30))
    findings, could = look_for(log, seed=0, name="Ames", patterns=(first_pitch.PATTERN,))
    (one,) = needed(findings, log, could)
    assert one.pitches in ("first pitches", "pitches after the first pitch")


def test_of_a_game_that_is_over_no_more_pitches_are_asked_for() -> None:
    log = encode(simulate.log(200, seed=2, per_game=50))
    patterns = [each for each in PATTERNS if each.id == "day to day"]
    findings, could = look_for(log, seed=0, name="Ames", patterns=patterns)
    for one in needed(findings, log, could):
        assert "needs" not in one.says


def test_habits_that_were_found_need_nothing() -> None:
    habit = simulate.plant(
        lambda now, _p: (now["balls"], now["strikes"]) == (0, 0), "pitch", "fastball", 0.48
    )
    log = encode(simulate.log(400, seed=1, habit=habit))
    findings, could = look_for(log, seed=0, name="Ames", patterns=(first_pitch.PATTERN,))
    assert all(each.flagged for each in findings)
    assert needed(findings, log, could) == ()
