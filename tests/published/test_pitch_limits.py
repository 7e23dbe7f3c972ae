"""Pitch limits against the published tables. Local rules and licensed care come first."""

import datetime as dt

import pytest

from sequencer.baseball.pitch_limit_tables import (
    PITCH_SMART,
    PITCH_SMART_2018,
    WASHINGTON_STATE,
    YOUTH_REGULATION,
)
from sequencer.baseball.pitch_limits import (
    eligible_on,
    recorded,
    rest_days,
)

MONDAY = dt.date(2026, 5, 4)


# Pitch Smart (MLB and USA Baseball): age, most in a day, most for 0, 1, 2 ... days of rest.
@pytest.mark.parametrize(
    ("age", "most", "marks"),
    [
        (8, 50, (20, 35, 50)),
        (10, 75, (20, 35, 50, 65)),
        (12, 85, (20, 35, 50, 65)),
        (14, 95, (20, 35, 50, 65)),
        (16, 95, (30, 45, 60, 75)),
        (18, 105, (30, 45, 60, 80)),
    ],
)
def test_pitch_smart_rest_is_as_published(age: int, most: int, marks: tuple[int, ...]) -> None:
    row = PITCH_SMART.row(age)
    assert row.maximum == most
    for days, mark in enumerate(marks):
        assert rest_days(mark, row) == days
        if mark < most:
            assert rest_days(mark + 1, row) == days + 1
    assert rest_days(1, row) == 0
    assert rest_days(most, row) == len(marks) - (marks[-1] == most)


def test_both_versions_of_the_oldest_row_are_kept() -> None:
    # Pitch Smart, copy of May 2018: 61-75 pitches for three days at 17-18; later copies 61-80.
    assert rest_days(78, PITCH_SMART_2018.row(17)) == 4
    assert rest_days(78, PITCH_SMART.row(17)) == 3
    assert PITCH_SMART.version != PITCH_SMART_2018.version


def test_innings_of_a_year_are_as_published() -> None:
    # Pitch Smart: 60 innings to 8, 80 at 9-12, 100 at 13-18.
    assert PITCH_SMART.innings_a_year == {(7, 8): 60, (9, 12): 80, (13, 18): 100}


def test_a_rest_day_is_a_calendar_day() -> None:
    # Pitch Smart: 60 pitches at age 12 on Monday ask for three days; he is eligible on Friday.
    friday = MONDAY + dt.timedelta(days=4)
    assert eligible_on(MONDAY, 60, PITCH_SMART.row(12)) == friday


# National youth regulation, league copies: from Monday.
@pytest.mark.parametrize(("pitches", "weekday"), [(21, 2), (35, 2), (36, 3), (51, 4), (66, 5)])
def test_the_youth_regulation_counts_days_from_monday(pitches: int, weekday: int) -> None:
    assert eligible_on(MONDAY, pitches, YOUTH_REGULATION.row(12)).weekday() == weekday


# National youth regulation, league copies: the threshold reached while finishing a batter is what
# is recorded.
@pytest.mark.parametrize(
    ("before", "after", "counted", "days"),
    [(34, 39, 35, 1), (36, 40, 40, 2), (19, 23, 20, 0), (84, 90, 85, 4), (10, 14, 14, 0)],
)
def test_a_batter_may_be_finished_and_the_threshold_is_recorded(
    before: int, after: int, counted: int, days: int
) -> None:
    row = YOUTH_REGULATION.row(12)
    assert YOUTH_REGULATION.finish_batter
    kept = recorded(before, after, row, finish_batter=True)
    assert kept == counted
    assert rest_days(kept, row) == days


def test_catching_and_pitching_have_their_published_limits() -> None:
    # National youth regulation, league copies: 41 pitches bar catching, four innings caught bar
    # pitching, never three days in a row.
    assert YOUTH_REGULATION.may_not_catch_after == 41
    assert YOUTH_REGULATION.may_not_pitch_after_innings_caught == 4
    assert YOUTH_REGULATION.days_in_a_row == 2


# Washington state high-school association, 2017.
@pytest.mark.parametrize(
    ("pitches", "days"), [(1, 0), (30, 0), (31, 1), (50, 1), (51, 2), (75, 2), (76, 3), (105, 3)]
)
def test_a_state_table_is_as_published(pitches: int, days: int) -> None:
    row = WASHINGTON_STATE.row(17)
    assert row.maximum == 105
    assert rest_days(pitches, row) == days
