"""What a call the coach prefers costs: exact where it is known, fair where it surprises."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.count import COUNTS, Count
from sequencer.errors import BadInput
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.calls import CoachRules, Wanted
from sequencer.planning.coach import COUNT_WORDS, read_rule
from sequencer.planning.plan import Plan, plan
from sequencer.planning.solved import ruled_out, solve
from sequencer.planning.what_if import Preferred, read_preferred
from tests.planning.plan_people import a_hitter, a_league, a_pitcher


@cache
def a_plan() -> Plan:
    late = a_hitter(name="late", fast=-1.5, timing_late=1.5)
    return plan([a_hitter(), late], a_pitcher(spread=9.4), a_league())


@pytest.fixture
def made() -> Plan:
    return a_plan()


@pytest.mark.parametrize(
    ("text", "call", "counts", "share"),
    [
        ("curveball 0-0", Wanted("curveball"), (Count(0, 0),), 1.0),
        ("What if curveball down-away 1-2?", Wanted("curveball", "down-away"), (Count(1, 2),), 1.0),
        ("fastball", Wanted("fastball"), COUNTS, 1.0),
        ("3 of 10 changeup when behind", Wanted("changeup"), COUNT_WORDS["behind"], 0.3),
        ("30 in 100 changeup behind", Wanted("changeup"), COUNT_WORDS["behind"], 0.3),
        ("25% changeups 2-0", Wanted("changeup"), (Count(2, 0),), 0.25),
        ("half curveball first pitch", Wanted("curveball"), (Count(0, 0),), 0.5),
    ],
)
def test_a_question_is_read(
    text: str, call: Wanted, counts: tuple[Count, ...], share: float
) -> None:
    assert read_preferred(text) == Preferred(call, counts, share)


@pytest.mark.parametrize(
    "text", ["", "0-0", "11 of 10 changeup 0-0", "0% fastball", "fastball 5-0"]
)
def test_what_is_no_question_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_preferred(text)


def test_always_one_call_costs_what_the_game_without_the_others_costs(made: Plan) -> None:
    asked = read_preferred("curveball in 0-2")
    tables = made.solved.tables
    left = np.ones((1, 4, 3, len(tables.calls)), dtype=bool)
    left[0, 0, 2] = [asked.call.names(c) and asked.call.aims(c) for c in tables.calls]
    assert 0 < left[0, 0, 2].sum() < len(tables.calls)
    forced = solve(ruled_out(tables, left)).safe[:, 0, 0, 0]
    known = [answer.known for answer in made.what_if(asked)]
    assert known == pytest.approx(forced - made.solved.safe[:, 0, 0, 0], abs=1e-7)


def test_a_call_in_every_count_costs_what_a_rule_for_it_alone_costs(made: Plan) -> None:
    known = [one.known for one in made.what_if(read_preferred("changeup everywhere"))]
    men = [one.hitter for one in made.hitters]
    coach = CoachRules(never=("fastball", "curveball"))
    alone = plan(made.given.hitters, made.given.pitcher, a_league(), coach=coach)
    assert men == [one.hitter for one in alone.hitters]
    assert known == pytest.approx([one.rules_cost for one in alone.hitters], abs=1e-7)


def test_the_more_of_it_he_can_count_on_the_more_it_costs(made: Plan) -> None:
    for words in ("curveball in 0-0", "changeup two strikes"):
        costs = [
            made.what_if(read_preferred(f"{share} in 100 {words}"))[0].known
            for share in (1, 20, 50, 80, 100)
        ]
        assert costs[0] >= 0.0
        assert all(less <= more + 1e-9 for less, more in pairwise(costs))
        assert costs[-1] > 1e-4


@settings(max_examples=12, deadline=None)
@given(
    st.sampled_from(["fastball", "changeup away", "curveball", "fastball in"]),
    st.sampled_from(["0-0", "1-2", "2-0", "behind", "two strikes", "everywhere"]),
    st.integers(1, 10),
)
def test_being_known_never_costs_less_than_a_surprise(call: str, where: str, tenths: int) -> None:
    made = a_plan()
    asked = read_preferred(f"{tenths} of 10 {call} {where}")
    for h, answer in enumerate(made.what_if(asked)):
        # The plan gives up a little of its exact value for spread, which a surprise may win back.
        spread = made.hitters[h].gap
        assert answer.known >= -1e-12
        assert answer.known >= answer.surprise - spread - 1e-9


def test_what_is_known_is_what_a_best_reply_over_the_at_bat_makes_of_it(made: Plan) -> None:
    asked = read_preferred("fastball middle 0-0")
    tables = made.solved.tables
    mix = made.solved.mix.copy()
    mix[:, 0, 0] = [float(str(call) == "fastball middle") for call in tables.calls]
    reply = evaluate_tables(made.solved.game, mix).value[:, 0, 0, 0]
    for h, answer in enumerate(made.what_if(asked)):
        known = float(made.solved.safe[h, 0, 0, 0]) + answer.known
        assert known == pytest.approx(float(reply[h]), abs=made.hitters[h].gap + 1e-9)
        assert known <= reply[h] + 1e-9


def test_the_answer_is_one_sentence_with_both_costs_and_a_reason(made: Plan) -> None:
    average, late = made.what_if(read_preferred("curveball 0-0"))
    assert late.says.startswith("curveball 0-0: costs ")
    assert f"{100 * late.known:.1f} per 100 times up if he can count on it" in late.says
    assert "if it comes as a surprise; " in late.says
    assert "; if he knows it he is " in late.says
    assert late.known > average.known
    nothing = made.what_if(read_preferred("1 in 100 fastball 3-0"))[0]
    assert "costs nothing, even if he can count on it" in nothing.says
    said = late.as_json()
    assert said["counts"] == ["0-0"]
    assert said["cost_known"] == late.known


def test_a_target_he_cannot_aim_at_is_taken_for_the_nearest(made: Plan) -> None:
    fine = made.what_if(read_preferred("curveball down-away 1-2"))[0]
    coarse = made.what_if(read_preferred("curveball away 1-2"))[0]
    assert fine.known == coarse.known
    assert "(he cannot aim it so finely: taken as curveball away)" in fine.says
    assert not coarse.note


def test_what_the_plan_has_not_got_is_said(made: Plan) -> None:
    with pytest.raises(BadInput, match="no slider in this plan: it has fastball, changeup"):
        made.what_if(read_preferred("slider 0-0"))
    ruled = plan([a_hitter()], a_pitcher(), a_league(), coach=CoachRules(never=("changeup",)))
    with pytest.raises(BadInput, match="Your rules leave no changeup"):
        ruled.what_if(read_preferred("changeup 0-0"))
    first = plan([a_hitter()], a_pitcher(), a_league(), coach=read_rule("no changeup 0-0"))
    with pytest.raises(BadInput, match="Your rules leave no changeup 0-0"):
        first.what_if(read_preferred("changeup 0-0"))
    assert first.what_if(read_preferred("changeup 1-0"))
