import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitch_limit_tables import (
    LIMITS,
    PITCH_SMART,
    WASHINGTON_STATE,
    YOUTH_REGULATION,
    RestRow,
)
from sequencer.baseball.pitch_limits import (
    DECIDES,
    eligible_on,
    limits,
    may_pitch,
    recorded,
    rest_days,
    warnings,
)
from sequencer.errors import BadInput

ROWS = [row for table in LIMITS.values() for row in table.rows]
MONDAY = dt.date(2026, 5, 4)


@pytest.mark.parametrize("name", LIMITS)
def test_a_table_has_a_version_a_date_and_rising_rows(name: str) -> None:
    table = LIMITS[name]
    assert table.version
    assert table.source
    assert table.as_of
    ages = [age for row in table.rows for age in (row.youngest, row.oldest)]
    assert ages == sorted(ages)
    for row in table.rows:
        marks = (*row.thresholds, row.maximum)
        assert list(marks) == sorted(marks)
        assert row.source
        assert table.row(row.youngest) is table.row(row.oldest) is row


@given(st.sampled_from(ROWS), st.integers(0, 130))
def test_more_pitches_never_ask_for_less_rest(row: RestRow, pitches: int) -> None:
    assert 0 <= rest_days(pitches, row) <= rest_days(pitches + 1, row)


@given(st.sampled_from(ROWS), st.integers(0, 120), st.integers(0, 12))
def test_what_is_recorded_never_exceeds_what_was_thrown(
    row: RestRow, before: int, in_batter: int
) -> None:
    counted = recorded(before, before + in_batter, row, finish_batter=True)
    assert before <= counted <= before + in_batter
    assert recorded(before, before + in_batter, row, finish_batter=False) == before + in_batter


def test_pitches_that_run_backwards_are_refused() -> None:
    with pytest.raises(BadInput):
        recorded(30, 20, ROWS[0], finish_batter=True)
    with pytest.raises(BadInput):
        rest_days(-1, ROWS[0])


def test_an_age_or_table_that_is_not_there_is_refused() -> None:
    with pytest.raises(BadInput, match="no row for age 40"):
        PITCH_SMART.row(40)
    with pytest.raises(BadInput, match="youth regulation"):
        limits("mine")
    assert limits("Pitch Smart") is PITCH_SMART


def test_warnings_come_before_a_threshold_and_leave_the_decision_to_others() -> None:
    row = YOUTH_REGULATION.row(12)
    assert warnings(25, row) == ()
    assert "asks for 2 days" in warnings(33, row)[0]
    assert "asks for 2 days" in warnings(35, row)[0]
    assert warnings(36, row) == ()
    assert "3 pitches to the day's limit of 85" in warnings(82, row)[0]
    assert "the day's limit is 85" in warnings(90, row)[0]
    assert "may finish this batter" in warnings(85, row, finish_batter=True)[0]
    assert all(DECIDES in line for pitches in (18, 33, 82, 90) for line in warnings(pitches, row))


def test_rest_days_and_three_days_in_a_row_keep_him_out() -> None:
    row = YOUTH_REGULATION.row(12)
    thursday = MONDAY + dt.timedelta(days=3)
    assert eligible_on(MONDAY, 60, row) == MONDAY + dt.timedelta(days=4)
    assert "ready on 2026-05-08" in may_pitch(thursday, [(MONDAY, 60)], row, YOUTH_REGULATION)
    tuesday, wednesday = MONDAY + dt.timedelta(days=1), MONDAY + dt.timedelta(days=2)
    assert may_pitch(wednesday, [(MONDAY, 30)], row, YOUTH_REGULATION) == ""
    short = [(MONDAY, 10), (tuesday, 12)]
    assert "in a row" in may_pitch(wednesday, short, row, YOUTH_REGULATION)
    assert may_pitch(thursday, short, row, YOUTH_REGULATION) == ""
    assert may_pitch(tuesday, [(MONDAY, 20)], row, YOUTH_REGULATION) == ""
    assert "40 pitches" in may_pitch(tuesday, [(MONDAY, 20)] * 2, row, YOUTH_REGULATION)
    assert may_pitch(MONDAY, [], row, YOUTH_REGULATION) == ""
    assert may_pitch(MONDAY, [(MONDAY, 80)], row, YOUTH_REGULATION) == ""


def test_a_high_school_table_is_one_states_own() -> None:
    row = WASHINGTON_STATE.row(17)
    assert [rest_days(pitches, row) for pitches in (30, 31, 51, 76)] == [0, 1, 2, 3]
