"""The coach's rules: read as he says them, constraints of the game, each with its cost."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.count import COUNTS, Count
from sequencer.errors import BadInput
from sequencer.planning.calls import Call, CoachRules, CountRule, Wanted, allowed_calls
from sequencer.planning.coach import (
    COUNT_WORDS,
    each,
    in_force,
    joined,
    proved,
    read_counts,
    read_rule,
    read_wanted,
    where_said,
)
from sequencer.planning.plan import TOGETHER, Plan, plan
from tests.planning.plan_people import a_hitter, a_league, a_pitcher


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("one-half=away", CoachRules(one_half="away")),
        ("Away half only", CoachRules(one_half="away")),
        ("until-proven=in", CoachRules(one_half="in", until_proven=True)),
        ("no-middle", CoachRules(no_middle=True)),
        ("first-pitch-strike", CoachRules(first_pitch_strike=True)),
        ("no breaking balls", CoachRules(breaking=False)),
        ("no changeup", CoachRules(never=("changeup",))),
        ("never=slider", CoachRules(never=("slider",))),
        ("no-last-pitch", CoachRules(last_pitch=False)),
    ],
)
def test_a_plain_rule_is_read(text: str, rules: CoachRules) -> None:
    assert read_rule(text) == rules


def test_a_rule_by_count_says_what_is_wanted_and_where() -> None:
    (rule,) = read_rule("no  changeup with two strikes").counts
    assert rule == CountRule(
        Wanted("changeup"), COUNT_WORDS["two strikes"], True, "no changeup with two strikes"
    )
    (only,) = read_rule("fastball 3-1").counts
    assert (only.counts, only.never, only.says) == ((Count(3, 1),), False, "fastball 3-1")
    (behind,) = read_rule("no curveball down-away when behind").counts
    assert behind.call == Wanted("curveball", "down-away")
    assert behind.says == "no curveball down-away when behind"


@pytest.mark.parametrize("text", ["", "be good", "no ball", "fastball 9-9", "changeup someday"])
def test_what_is_no_rule_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(BadInput, match=r"not a rule.*no changeup with two strikes"):
        read_rule(text)


@given(st.sampled_from(sorted(COUNT_WORDS)), st.sampled_from(["", "with ", "when ", "at "]))
def test_counts_are_said_as_they_are_read(words: str, before: str) -> None:
    counts = read_counts(before + words)
    assert read_counts(where_said(counts)) == counts == COUNT_WORDS[words]


@given(st.lists(st.sampled_from(COUNTS), min_size=1, max_size=4, unique=True))
def test_several_counts_are_read_in_any_order(counts: list[Count]) -> None:
    assert read_counts(" ".join(map(str, counts))) == tuple(counts)
    assert read_wanted(f"fastball {' '.join(map(str, counts))}")[1] == tuple(counts)


def test_a_charts_word_is_every_pitch_of_its_family() -> None:
    fast = Wanted("fastball")
    assert fast.names(Call("four-seam", "middle"))
    assert fast.names(Call("cutter", "middle"))
    assert not fast.names(Call("changeup", "middle"))
    assert not Wanted("four-seam").names(Call("cutter", "middle"))


@pytest.mark.parametrize(
    ("asked", "target", "meant"),
    [
        ("away", "low-away", True),
        ("away", "belt-off-away", True),
        ("low-away", "down-away", True),
        ("down-away", "away", False),
        ("in", "up-in", True),
        ("in", "away", False),
        ("middle", "middle", True),
        ("middle", "away", False),
        ("", "up-in", True),
    ],
)
def test_a_target_said_coarsely_means_the_finer_ones(asked: str, target: str, meant: bool) -> None:
    assert Wanted("fastball", asked).aims(Call("fastball", target)) is meant


@pytest.fixture(scope="module")
def ruled() -> Plan:
    coach = joined(read_rule("no changeup with two strikes"), read_rule("fastball 0-0"))
    men = [a_hitter(name="one"), a_hitter(name="two", bats="L")]
    return plan(
        men, a_pitcher(spread=8.0), a_league(), coach=coach,
        rules_for={"two": CoachRules(one_half="away")},
    )  # fmt: skip


def test_rules_by_count_are_kept_after_every_last_pitch(ruled: Plan) -> None:
    calls, mix = ruled.solved.tables.calls, ruled.solved.mix
    soft = np.array([call.pitch == "changeup" for call in calls])
    fast = np.array([call.pitch == "fastball" for call in calls])
    assert not mix[:, :, 2][..., soft].any()
    assert mix[:, 0, 0][..., fast].sum(axis=-1) == pytest.approx(1.0)
    assert mix[:, :, :2][..., soft].any()


def test_a_rule_against_one_hitter_binds_him_alone(ruled: Plan) -> None:
    away = np.array([call.side == "away" for call in ruled.solved.tables.calls])
    assert not ruled.solved.mix[1][..., ~away].any()
    assert ruled.solved.mix[0][..., ~away].any()


def test_breaking_balls_turned_on_against_one_hitter_stay_off_against_the_others() -> None:
    level = "11-12"
    men = [a_hitter(level=level, name="one"), a_hitter(level=level, name="two")]
    made = plan(
        men, a_pitcher(level=level), a_league(level),
        rules_for={"two": CoachRules(breaking=True)},
    )  # fmt: skip
    bends = np.array([call.family == "breaking" for call in made.solved.tables.calls])
    assert not made.solved.mix[0][..., bends].any()
    assert made.solved.mix[1][..., bends].any()


def test_each_rule_is_priced_alone_and_all_together(ruled: Plan) -> None:
    one, two = (dict(hitter.rules_costs) for hitter in ruled.hitters)
    assert set(one) == {"no changeup with two strikes", "fastball 0-0", TOGETHER}
    assert set(two) == {*one, "away half only"}
    for costs in (one, two):
        alone = [cost for words, cost in costs.items() if words != TOGETHER]
        assert min(alone) >= 0.0
        assert costs[TOGETHER] >= max(alone) - 1e-9
    assert ruled.hitters[0].rules_cost == one[TOGETHER] > 0.0
    said = ruled.hitters[1].as_json()["rules_costs"]
    assert {"rule": "away half only", "cost": two["away half only"]} in said


def test_the_cost_of_a_rule_is_what_the_free_plan_saves(ruled: Plan) -> None:
    men = [a_hitter(name="one"), a_hitter(name="two", bats="L")]
    free = plan(men, a_pitcher(spread=8.0), a_league())
    less = ruled.solved.safe[:, 0, 0, 0] - free.solved.safe[:, 0, 0, 0]
    assert [one.rules_cost for one in ruled.hitters] == pytest.approx(less, abs=1e-9)


def test_a_pitch_he_has_not_got_today_is_left_out_and_its_cost_is_told() -> None:
    thrower = a_pitcher(spread=8.0)
    gone = replace(thrower.pitch("changeup"), shelved=True, evidence="2 strikes of 11")
    arsenal = tuple(gone if p.pitch == "changeup" else p for p in thrower.arsenal)
    made = plan([a_hitter()], replace(thrower, arsenal=arsenal), a_league())
    soft = np.array([call.pitch == "changeup" for call in made.solved.tables.calls])
    assert not made.solved.mix[..., soft].any()
    assert dict(made.hitters[0].rules_costs)["no changeup"] > 0.0001
    assert "changeup shelved: 2 strikes of 11" in made.notes


def test_rules_that_leave_nothing_in_a_count_name_it() -> None:
    coach = joined(read_rule("changeup 3-1"), CoachRules(never=("changeup",)))
    with pytest.raises(BadInput, match="leave no call at 3-1"):
        allowed_calls((Call("fastball", "middle"), Call("changeup", "middle")), coach)


def test_rules_put_together_are_taken_apart_again() -> None:
    texts = ("no-middle", "until-proven=away", "no slider", "fastball 3-1", "no-breaking")
    coach = CoachRules()
    for text in texts:
        coach = joined(coach, read_rule(text))
    again = CoachRules()
    for rule in each(coach).values():
        again = joined(again, rule)
    assert again == coach
    assert len(each(coach)) == len(texts)


def test_working_a_half_until_he_proves_it_needs_a_half() -> None:
    with pytest.raises(BadInput, match="which half"):
        CoachRules(until_proven=True)


# until he proves it


def logged(**pitch: Any) -> Any:
    """A pitch of the log with just what is looked at, to a right-handed hitter."""
    seen = {"result": "in play", "cell": "", "target": "", "contact": "", "play": ""} | pitch
    return SimpleNamespace(pitch=SimpleNamespace(**seen), before=SimpleNamespace(bats="R"))


@pytest.mark.parametrize(
    ("pitch", "proves"),
    [
        ({"cell": "down-right", "contact": "square", "play": "out"}, True),
        ({"cell": "belt-off-right", "play": "double"}, True),
        ({"target": "right", "play": "single", "contact": "fair"}, True),
        ({"cell": "down-right", "result": "foul", "contact": "square"}, True),
        ({"cell": "down-right", "play": "single", "contact": "weak"}, False),
        ({"cell": "down-right", "play": "out"}, False),
        ({"cell": "down-left", "contact": "square"}, False),
        ({"cell": "down-right", "result": "called strike"}, False),
        ({"cell": "down-left", "target": "right", "contact": "square"}, False),
    ],
)
def test_he_proves_a_half_by_hitting_what_crosses_there(
    pitch: dict[str, Any], proves: bool
) -> None:
    assert proved([logged(result="ball"), logged(**pitch)], "away") is proves


def test_the_rule_is_over_once_he_has_proved_it_and_others_stay() -> None:
    coach = CoachRules(one_half="away", until_proven=True, no_middle=True)
    assert in_force(coach, []) is coach
    hit = logged(cell="down-right", contact="square")
    assert in_force(coach, [hit]) == CoachRules(no_middle=True)
    always = CoachRules(one_half="away")
    assert in_force(always, [hit]) is always
