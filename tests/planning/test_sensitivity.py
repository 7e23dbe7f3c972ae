"""What turns when an assumption moves: the right calls are marked, and only where they turn."""

from dataclasses import replace

import numpy as np
import pytest

from sequencer.baseball.count import COUNTS, Count
from sequencer.planning.calls import Call
from sequencer.planning.context import free_game
from sequencer.planning.plan import Plan, plan
from sequencer.planning.sensitivity import Given, leads, moved
from sequencer.planning.solved import solve
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

FAST, AWAY, SOFT = Call("fastball", "middle"), Call("fastball", "away"), Call("changeup", "middle")


def test_another_family_that_leads_is_a_turn() -> None:
    turn = leads((FAST, AWAY, SOFT), np.array([0.4, 0.2, 0.4]), np.array([0.3, 0.1, 0.6]))
    assert turn == (0, 2)


def test_another_target_that_leads_by_a_tenth_is_a_turn() -> None:
    turn = leads((FAST, AWAY, SOFT), np.array([0.5, 0.3, 0.2]), np.array([0.3, 0.5, 0.2]))
    assert turn == (0, 1)


def test_what_moves_by_less_than_a_card_can_show_is_none() -> None:
    calls = (FAST, AWAY, SOFT)
    assert leads(calls, np.array([0.41, 0.39, 0.2]), np.array([0.39, 0.41, 0.2])) is None
    assert leads(calls, np.array([0.9, 0.0, 0.1]), np.array([0.6, 0.1, 0.3])) is None
    assert leads(calls, np.array([0.3, 0.2, 0.5]), np.array([0.3, 0.21, 0.49])) is None


@pytest.fixture(scope="module")
def made() -> Plan:
    slow = a_hitter(name="slow", fast=-2.0, timing_late=2.0, contact=-1.5)
    return plan([a_hitter(), slow], a_pitcher(), a_league())


@pytest.fixture(scope="module")
def marked(made: Plan) -> Plan:
    return made.with_sensitivity()


def test_a_mix_of_pitches_hangs_on_what_surprise_is_worth_and_a_slow_bat_does_not(
    marked: Plan,
) -> None:
    average, slow = marked.hitters
    assert any("surprise" in turn.when for turn in average.turns)
    assert {c.pitch for turn in slow.turns for c in (turn.call, turn.instead)} <= {"fastball"}
    assert len(slow.turns) < len(average.turns)


def test_marks_and_turns_tell_of_the_same_calls(marked: Plan) -> None:
    for one in marked.hitters:
        for count in COUNTS:
            told = {c for t in one.turns if t.count == count for c in (t.call, t.instead)}
            assert one.counts[count].coin_flips == frozenset(told)


def test_a_turn_is_what_solving_again_shows(made: Plan, marked: Plan) -> None:
    turn = next(t for t in marked.hitters[0].turns if t.when == "surprise worth less")
    ways = dict(moved(made.given))
    other = ways[turn.when]
    calls = made.solved.tables.calls
    again = solve(free_game(other.hitters, other.pitcher, other.league, other.around, calls))
    here = (0, turn.count.balls, turn.count.strikes, 0)
    now, then = (solved.mix[here] for solved in (made.solved, again))
    assert leads(calls, now, then) == (calls.index(turn.call), calls.index(turn.instead))


def test_nothing_else_of_the_plan_changes(made: Plan, marked: Plan) -> None:
    assert [one.value for one in marked.hitters] == [one.value for one in made.hitters]
    assert made.hitters[0].counts[Count(0, 0)].coin_flips is None
    assert marked.solved is made.solved


def test_each_thing_is_moved_by_itself_within_its_doubt(made: Plan) -> None:
    given = made.given
    ways = dict(moved(given))
    assert len(ways) == 9
    more, less = (ways[f"surprise worth {way}"].league for way in ("more", "less"))
    sd = given.league.surprise_miss_sd
    assert more.surprise_miss - less.surprise_miss == pytest.approx(4.0 * sd)
    wild, sure = (ways[f"him {way}"].pitcher.arsenal[0] for way in ("wilder", "surer"))
    base = given.pitcher.arsenal[0]
    assert wild.spread - sure.spread == pytest.approx(2.0 * base.spread_sd)
    off = ways["the last pitch counting for nothing"]
    assert off.around.assumed.same_side_other_speed == 0.0
    assert replace(off.around, assumed=given.around.assumed) == given.around
    pro: Given = replace(given, league=a_league("pro"))
    assert dict(moved(pro))["balls in play worth more"].around.assumed.in_play == 0.01


def test_json_says_which_calls_are_a_coin_flip_once_that_was_looked_at(
    made: Plan, marked: Plan
) -> None:
    before = made.as_json()["hitters"][0]
    assert {call["coin_flip"] for call in before["counts"]["0-0"]["calls"]} == {None}
    assert before["turns"] == []
    after = marked.as_json()["hitters"][0]
    flips = {
        (count, f"{call['pitch']} {call['target']}")
        for count, one in after["counts"].items()
        for call in one["calls"]
        if call["coin_flip"]
    }
    assert flips
    assert {turn["count"] for turn in after["turns"]} >= {count for count, _ in flips}
