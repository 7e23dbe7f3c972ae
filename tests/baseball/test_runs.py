import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.advancing import advances, outs_in_play
from sequencer.baseball.count import COUNTS, Count
from sequencer.baseball.event_runs import ENVIRONMENTS
from sequencer.baseball.runs import (
    BASE_STATES,
    COUNT_TRANSITIONS,
    END_VALUES,
    EVENT_NAMES,
    EXPECTANCY,
    STANDARD,
    RunTable,
    base_index,
    build_expectancy,
    count_values,
    count_values_at,
    event_source,
    event_value,
    expectancy,
    out_in_play_value,
    play_value,
    scaled,
    tally,
    value_of,
)
from sequencer.baseball.situation import EMPTY, ENDS, Bases, check_play, play_out
from sequencer.errors import BadInput, IllegalEntry

LOADED: Bases = ("a", "b", "c")
TABLES = st.sampled_from(list(EXPECTANCY.values()))


def bases_of(state: str) -> Bases:
    first, second, third = (
        name if mark != "-" else "" for mark, name in zip(state, "abc", strict=True)
    )
    return first, second, third


@pytest.mark.parametrize("row", range(8))
def test_the_rows_of_a_table_are_the_base_states(row: int) -> None:
    assert base_index(bases_of(BASE_STATES[row])) == row


@given(TABLES, st.floats(2, 12))
def test_expectancy_falls_with_outs_and_rises_with_scoring(table: RunTable, runs: float) -> None:
    here, more = scaled(table, runs), scaled(table, runs * 1.1)
    for state in range(8):
        row = here.values[state]
        assert row[0] > row[1] > row[2] > 0
        assert all(a < b for a, b in zip(row, more.values[state], strict=True))
        assert all(row[outs] >= here.values[0][outs] for outs in range(3))
    assert here.runs_per_game == pytest.approx(runs)


@given(TABLES)
def test_a_table_moved_to_its_own_environment_is_itself(table: RunTable) -> None:
    moved = scaled(table, table.runs_per_game)
    for row, same in zip(table.values, moved.values, strict=True):
        assert same == pytest.approx(row)


def test_a_runner_farther_on_is_worth_more_in_every_environment() -> None:
    for runs in ENVIRONMENTS:
        table = scaled(STANDARD, runs)
        for outs in range(3):
            first, second, third = (
                expectancy(table, bases_of(state), outs) for state in ("1--", "-2-", "--3")
            )
            assert first < second < third


def test_nothing_is_expected_once_three_are_out() -> None:
    assert expectancy(STANDARD, LOADED, 3) == 0
    with pytest.raises(BadInput):
        expectancy(STANDARD, LOADED, 4)
    with pytest.raises(BadInput):
        scaled(STANDARD, 0)


def test_a_club_builds_its_own_table_and_leans_on_another_where_games_are_few() -> None:
    counts, runs = tally([(EMPTY, 0, 1.0), (EMPTY, 0, 0.0), (LOADED, 2, 3.0)])
    assert counts[0][0] == 2
    assert runs[7][2] == 3
    with pytest.raises(BadInput, match="never met"):
        build_expectancy(counts, runs)
    own = build_expectancy(counts, runs, prior=STANDARD, prior_weight=2)
    assert own.values[0][0] == pytest.approx((1 + 2 * STANDARD.values[0][0]) / 4)
    assert own.values[3][1] == pytest.approx(STANDARD.values[3][1])
    with pytest.raises(BadInput, match="8 base states"):
        build_expectancy(counts[:7], runs[:7])
    with pytest.raises(BadInput, match="8 base states"):
        build_expectancy([[-1.0] * 3] * 8, runs)


@pytest.mark.parametrize("event", EVENT_NAMES)
def test_an_event_keeps_its_sign_grows_with_scoring_and_has_a_source(event: str) -> None:
    values = [event_value(event, runs) for runs in ENVIRONMENTS]
    assert all(value != 0 and (value > 0) == (values[0] > 0) for value in values)
    sizes = [abs(value) for value in values]
    assert sizes == sorted(sizes)
    assert event_source(event)


def test_between_and_beyond_the_columns_an_event_is_read_in_a_line() -> None:
    middle = (event_value("single", 4) + event_value("single", 5)) / 2
    assert event_value("single", 4.5) == pytest.approx(middle)
    assert event_value("single", 14) == event_value("single", 10)
    assert event_value("single", 0.5) == event_value("single", 1)
    with pytest.raises(BadInput):
        event_value("single", 0)
    with pytest.raises(BadInput):
        event_value("bloop", 5)


def test_every_end_of_a_plate_appearance_has_a_value_in_every_environment() -> None:
    ends = {to for row in COUNT_TRANSITIONS.values() for to in row if not to[0].isdigit()}
    assert ends <= set(END_VALUES)
    assert ends <= set(EVENT_NAMES)
    assert set(ENDS) <= set(EVENT_NAMES)


@pytest.mark.parametrize("runs", ENVIRONMENTS)
def test_a_count_is_worth_more_with_a_ball_and_less_with_a_strike(runs: float) -> None:
    values = count_values_at(runs)
    for count in COUNTS:
        if count.balls < 3:
            assert values[Count(count.balls + 1, count.strikes)] > values[count]
        if count.strikes < 2:
            assert values[Count(count.balls, count.strikes + 1)] < values[count]


def test_a_count_that_leads_nowhere_or_to_nothing_known_is_refused() -> None:
    with pytest.raises(BadInput, match="leads nowhere"):
        count_values({"0-0": {"0-0": 1.0}}, END_VALUES)
    with pytest.raises(BadInput, match="no run value"):
        count_values({str(count): {"rain": 1.0} for count in COUNTS}, END_VALUES)


@pytest.mark.parametrize("play", ENDS)
@pytest.mark.parametrize("state", BASE_STATES)
@pytest.mark.parametrize("outs", [0, 1, 2])
def test_ways_of_a_play_sum_to_one_and_each_can_be_played(play: str, state: str, outs: int) -> None:
    bases = bases_of(state)
    try:
        check_play(play, bases, outs)
    except IllegalEntry:
        return
    ways = advances(play, bases, outs)
    assert sum(way.share for way in ways) == pytest.approx(1)
    for way in ways:
        assert way.share > 0
        assert play_out(bases, outs, way.moves, "hitter").outs >= outs


@pytest.mark.parametrize("state", BASE_STATES)
@pytest.mark.parametrize("outs", [0, 1, 2])
def test_plays_are_ordered_as_everyone_knows(state: str, outs: int) -> None:
    bases = bases_of(state)
    better = ["home run", "triple", "double", "single", "walk", "strikeout"]
    values = [play_value(play, bases, outs) for play in better]
    assert values == sorted(values, reverse=True)
    assert out_in_play_value(bases, outs) < play_value("single", bases, outs)
    assert sum(outs_in_play(bases, outs).values()) == pytest.approx(1)


def test_with_two_out_every_out_costs_what_was_expected() -> None:
    for state in BASE_STATES:
        bases = bases_of(state)
        lost = -expectancy(STANDARD, bases, 2)
        assert play_value("strikeout", bases, 2) == pytest.approx(lost)
        assert out_in_play_value(bases, 2) == pytest.approx(lost)


def test_the_value_of_going_nowhere_is_nothing() -> None:
    assert value_of(LOADED, 1, LOADED, 1, 0) == 0
    assert value_of(LOADED, 2, EMPTY, 3, 0) == -expectancy(STANDARD, LOADED, 2)
