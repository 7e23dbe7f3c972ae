import pytest

from sequencer.baseball.marks import AGAINST, HOW_OFTEN, MARKS, SEEN_IN, TRAITS, shifts
from sequencer.errors import BadInput


@pytest.mark.parametrize("name", MARKS)
def test_a_mark_shifts_known_traits_by_a_sensible_amount_and_says_its_source(name: str) -> None:
    mark = MARKS[name]
    assert mark.name == name
    assert mark.shifts
    assert set(mark.shifts) <= set(TRAITS)
    assert all(0 < abs(shift) <= 2 for shift in mark.shifts.values())
    assert mark.says
    assert mark.source == "Common practice, no source"


def test_every_trait_is_moved_by_some_mark() -> None:
    assert {trait for mark in MARKS.values() for trait in mark.shifts} == set(TRAITS)


def test_a_mark_weighs_by_how_often_and_from_what_it_was_seen() -> None:
    full = shifts("dives")
    assert shifts("dives", how_often="once")["inside"] == pytest.approx(0.5 * full["inside"])
    assert shifts("dives", how_often="always")["inside"] == pytest.approx(1.5 * full["inside"])
    assert shifts("dives", seen_in="stance")["inside"] == pytest.approx(full["inside"] / 3)


def test_late_says_more_against_soft_throwing_and_early_more_against_hard() -> None:
    late = "late on the fastball"
    front = "out front on soft"
    assert shifts(late, against="soft")["fast"] < shifts(late)["fast"] < 0
    assert shifts(late, against="hard")["fast"] > shifts(late)["fast"]
    assert shifts(front, against="hard")["offspeed"] < shifts(front)["offspeed"] < 0
    assert shifts("dives", against="hard") == shifts("dives")


def test_words_that_do_not_go_with_a_mark_are_refused() -> None:
    with pytest.raises(BadInput, match="not a mark"):
        shifts("nervous")
    for words in ({"how_often": "twice"}, {"against": "wet"}, {"seen_in": "dream"}):
        with pytest.raises(BadInput, match="does not go with a mark"):
            shifts("dives", **words)


def test_weights_leave_an_ordinary_sighting_as_it_is() -> None:
    assert HOW_OFTEN["some"] == SEEN_IN["swing"] == AGAINST[""] == AGAINST["average"] == 1
