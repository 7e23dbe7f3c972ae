import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.count import (
    CARD_ROWS,
    COUNT_GROUPS,
    COUNTS,
    HITTERS_COUNTS,
    START,
    STARTS,
    Count,
    after,
    card_row,
    group,
    legal,
    parse,
)
from sequencer.baseball.pitches import RESULTS
from sequencer.errors import BadInput


def test_there_are_twelve_counts_each_in_one_card_row_and_one_group() -> None:
    assert len(set(COUNTS)) == 12
    for table in (CARD_ROWS, COUNT_GROUPS):
        listed = [count for counts in table.values() for count in counts]
        assert sorted(listed) == sorted(COUNTS)


def test_card_rows_and_groups_are_named_as_coaches_name_them() -> None:
    assert card_row(Count(2, 1)) == "behind"
    assert card_row(Count(3, 1)) == "need a strike"
    assert card_row(Count(1, 1)) == "ahead or even"
    assert group(Count(1, 1)) == "even"
    assert group(Count(3, 2)) == "full"
    assert Count(3, 1) in HITTERS_COUNTS


@pytest.mark.parametrize(
    ("count", "result", "bunt", "expected"),
    [
        ((0, 0), "ball", False, ((1, 0), "")),
        ((3, 2), "ball", False, ((3, 2), "walk")),
        ((3, 1), "automatic ball", False, ((3, 1), "walk")),
        ((0, 1), "called strike", False, ((0, 2), "")),
        ((1, 2), "swinging strike", False, ((1, 2), "strikeout")),
        ((1, 2), "automatic strike", False, ((1, 2), "strikeout")),
        ((1, 1), "foul", False, ((1, 2), "")),
        ((1, 2), "foul", False, ((1, 2), "")),
        ((1, 2), "foul", True, ((1, 2), "strikeout")),
        ((1, 1), "foul", True, ((1, 2), "")),
        ((1, 1), "foul tip", False, ((1, 2), "")),
        ((1, 2), "foul tip", False, ((1, 2), "strikeout")),
        ((2, 0), "in play", False, ((2, 0), "in play")),
        ((2, 0), "hit by pitch", False, ((2, 0), "hit by pitch")),
        ((2, 0), "catcher's interference", False, ((2, 0), "catcher's interference")),
        ((2, 2), "unknown", False, ((2, 2), "")),
    ],
)
def test_a_result_does_to_the_count_what_the_rules_say(
    count: tuple[int, int], result: str, bunt: bool, expected: tuple[tuple[int, int], str]
) -> None:
    assert after(Count(*count), result, bunt=bunt) == expected


def test_a_pitch_that_hits_a_swinging_hitter_is_a_strike() -> None:
    assert after(Count(0, 0), "hit by pitch", swung=True) == (Count(0, 1), "")
    assert after(Count(0, 2), "hit by pitch", swung=True).end == "strikeout"


@given(st.sampled_from(COUNTS), st.sampled_from(RESULTS), st.booleans(), st.booleans())
def test_a_pitch_adds_at_most_one_to_one_side_of_the_count(
    count: Count, result: str, bunt: bool, swung: bool
) -> None:
    step = after(count, result, bunt=bunt, swung=swung)
    assert step.count.legal
    balls = step.count.balls - count.balls
    strikes = step.count.strikes - count.strikes
    assert (balls, strikes) in {(0, 0), (1, 0), (0, 1)}
    assert not step.end or (balls, strikes) == (0, 0)


def test_an_at_bat_may_begin_even_or_at_one_and_one() -> None:
    assert START in STARTS
    assert Count(1, 1) in STARTS


@given(st.sampled_from(COUNTS))
def test_a_count_reads_back_as_it_is_written(count: Count) -> None:
    assert parse(str(count)) == count
    assert parse(f" {count.balls} - {count.strikes} ") == count


@pytest.mark.parametrize("text", ["", "2", "2-", "-1", "a-b", "2-1-1", "4-0", "0-3", "²-1", "1-²"])
def test_what_is_not_a_count_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse(text)
    assert str(caught.value).endswith((".", "2-1."))


def test_an_impossible_count_or_result_is_refused() -> None:
    with pytest.raises(BadInput, match="no count 4-1"):
        legal(4, 1)
    with pytest.raises(BadInput, match="'bal' is not the result"):
        after(START, "bal")
    with pytest.raises(BadInput):
        after(Count(0, 3), "ball")
