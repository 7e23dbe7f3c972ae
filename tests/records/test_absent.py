from typing import Any

import pytest

from sequencer.errors import IllegalEntry
from sequencer.records.sentences import event_sentence
from tests.records.games import event, pitch, played

OUT: dict[str, Any] = {"rule_edits": {"absent_hitter_is_out": True}}
PASSED: dict[str, Any] = {"rule_edits": {"absent_hitter_is_out": False}}


def test_the_turn_of_an_absent_hitter_is_an_out_where_the_rules_say_so() -> None:
    state = played(event("absent", who="h2"), pitch("out"), **OUT)
    assert state.outs == 2
    assert state.up is not None and state.up.person == "h3"


def test_his_turn_passes_where_they_do_not() -> None:
    state = played(event("absent", who="h2"), pitch("out"), **PASSED)
    assert state.outs == 1
    assert state.up is not None and state.up.person == "h3"


def test_an_absent_hitter_makes_the_third_out_and_the_next_one_leads_off() -> None:
    state = played(event("absent", who="h3"), pitch("out"), pitch("out"), **OUT)
    assert (state.inning, state.outs) == (2, 0)
    assert state.up is not None and state.up.person == "h4"


def test_the_turn_of_one_who_leads_off_the_next_half_counts_there() -> None:
    outs = [pitch("out") for _ in range(3)]
    state = played(event("absent", who="h4"), *outs, **OUT)
    assert (state.inning, state.outs) == (2, 1)
    assert state.up is not None and state.up.person == "h5"


def test_whoever_is_up_and_absent_has_had_his_turn() -> None:
    state = played(pitch("ball"), event("absent", who="h1"), **OUT)
    assert state.outs == 1
    assert str(state.count) == "0-0"
    assert state.up is not None and state.up.person == "h2"


def test_he_is_not_named_among_those_who_come_next() -> None:
    assert "h2" not in played(event("absent", who="h2"), **PASSED).due


def test_he_is_back_when_he_is_said_to_be_up() -> None:
    state = played(event("absent", who="h2"), pitch("out"), event("at", who="h2"), **PASSED)
    assert state.up is not None and state.up.person == "h2"
    assert "h2" not in state.order.absent


def test_an_order_of_absent_hitters_still_has_somebody_up() -> None:
    away = [event("absent", who=f"h{n}") for n in range(1, 10)]
    assert played(*away, **PASSED).up is not None


def test_nobody_outside_the_order_and_nobody_on_base_is_absent() -> None:
    with pytest.raises(IllegalEntry, match="not in the order"):
        played(event("absent", who="bench"))
    with pytest.raises(IllegalEntry, match="on base"):
        played(pitch("single"), event("absent", who="h1"))


def test_an_absent_hitter_is_told_in_a_sentence() -> None:
    assert event_sentence(event("absent", who="h2"), lambda who: "Birch") == "Birch is absent"
