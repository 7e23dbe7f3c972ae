"""Walking him and pitching around him, beside the plan."""

import time
from dataclasses import replace

import pytest

from sequencer.baseball.count import START, Count
from sequencer.baseball.rules import rule_set
from sequencer.errors import BadInput
from sequencer.estimates.hitter import HitterBelief
from sequencer.planning.beside import Beside, beside, wide_calls
from sequencer.planning.calls import CoachRules, in_zone
from sequencer.planning.context import context
from sequencer.planning.plan import plan
from sequencer.planning.stakes import Moment
from sequencer.planning.suggest import ready
from sequencer.reports.beside_text import beside_lines
from sequencer.reports.plan_text import plan_text
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

OPEN_FIRST = Moment(("", "b", ""), 2)
TIE = Moment(("", "", "c"), 1, 7, "bottom", 0)


def ways(
    hitter: HitterBelief,
    moment: Moment,
    *,
    level: str = "17-18",
    count: Count = START,
    on_deck: HitterBelief | None = None,
) -> Beside:
    league, pitcher = a_league(level), a_pitcher("fastball", "changeup", level=level)
    around = context(level, moment=moment)
    solved = ready(hitter, pitcher, league, around).solved
    return beside(solved, hitter, pitcher, league, around, count, on_deck=on_deck)


def strong() -> HitterBelief:
    return a_hitter(power=2.5, contact=2.0, name="strong")


def weak() -> HitterBelief:
    return a_hitter(power=-2.0, contact=-1.5, name="weak")


def test_walking_the_usual_hitter_costs_runs_and_least_with_first_open() -> None:
    empty, first_open = ways(a_hitter(), Moment()), ways(a_hitter(), OPEN_FIRST)
    loaded = ways(a_hitter(), Moment(("a", "b", "c"), 1))
    assert loaded.walk == pytest.approx(1.0, abs=0.01)
    assert loaded.walk - loaded.plan > empty.walk - empty.plan > first_open.walk - first_open.plan
    assert first_open.walk > first_open.plan
    assert first_open.base_open and not loaded.base_open


def test_a_strong_hitter_before_a_weak_one_may_be_walked_and_not_the_other_way_round() -> None:
    put_on = ways(strong(), OPEN_FIRST, on_deck=weak())
    assert put_on.on_deck < 0.0
    assert put_on.walk < put_on.plan
    assert put_on.worth_a_look
    kept = ways(weak(), OPEN_FIRST, on_deck=strong())
    assert kept.on_deck > 0.0
    assert kept.walk > kept.plan + 0.2
    assert not kept.worth_a_look


def test_a_tie_in_the_last_half_with_a_runner_on_third_makes_a_walk_good() -> None:
    tie = ways(a_hitter(), TIE)
    assert tie.by_win and tie.win is not None and tie.win > 0.7
    assert tie.walk < tie.plan
    assert tie.pitch_around < tie.plan
    assert "saves" in tie.says()[0]


def test_pitching_around_costs_least_where_the_walk_does() -> None:
    free = ways(strong(), OPEN_FIRST)
    dear = ways(strong(), Moment(("a", "b", "c"), 1))
    assert free.pitch_around - free.plan < dear.pitch_around - dear.plan
    # With three balls it comes to a walk before long.
    three = ways(a_hitter(), OPEN_FIRST, count=Count(3, 0))
    assert three.pitch_around == pytest.approx(three.walk, abs=0.05)


def test_pitching_around_leaves_the_zone_and_keeps_to_what_he_throws() -> None:
    coach = CoachRules(never=("curveball",), one_half="away")
    wide = wide_calls(context("17-18", coach=coach), a_pitcher(), coach)
    assert wide and not any(in_zone(call.target) for call in wide)
    assert {call.pitch for call in wide} == {"fastball", "changeup"}
    assert {call.side for call in wide} == {"away"}


def test_sentences_say_runs_a_coin_flip_and_that_the_young_come_to_learn() -> None:
    said = Beside(plan=0.1, walk=0.22, pitch_around=0.11).says()
    assert said == (
        "walking him costs 0.12 runs more than pitching to him",
        "pitching around him is within a coin flip of pitching to him",
    )
    young = Beside(plan=0.3, walk=0.1, pitch_around=0.25, developing=True)
    assert young.says()[-1] == "development first: pitch to him (common practice, no source)"
    dear = Beside(plan=0.0, walk=0.3, pitch_around=0.2, developing=True)
    assert not any("development" in line for line in dear.says())
    held = Beside(plan=0.3, walk=0.1, pitch_around=0.25, announced=False)
    assert any("four wide ones" in line for line in held.says())


def test_young_levels_are_told_development_first() -> None:
    big = a_hitter(level="11-12", power=2.5, contact=2.0)
    young = ways(big, TIE, level="11-12")
    assert young.developing and "development first" in young.says()[-1]


def test_lines_tell_the_unit_and_a_decided_game() -> None:
    by_win = "\n".join(beside_lines(Beside(0.1, 0.2, 0.3, win=0.6, by_win=True)))
    assert "win 60 in 100" in by_win and "even game" in by_win
    assert "by runs alone" in "\n".join(beside_lines(Beside(0.1, 0.2, 0.3, win=0.01)))


def test_without_a_situation_nothing_stands_beside() -> None:
    league, pitcher = a_league(), a_pitcher()
    around = context("17-18")
    solved = ready(a_hitter(), pitcher, league, around).solved
    with pytest.raises(BadInput, match="bases and outs"):
        beside(solved, a_hitter(), pitcher, league, around, Count(0, 0))
    assert plan([a_hitter()], pitcher, league).hitters[0].beside is None


def test_a_plan_of_a_situation_tells_the_ways_of_every_hitter() -> None:
    made = plan([a_hitter(name="usual"), strong()], a_pitcher(), a_league(), situation=OPEN_FIRST)
    said = [one["beside"] for one in made.as_json()["hitters"]]
    assert said[1]["plan"] > said[0]["plan"]
    assert said[0]["walk"] == said[1]["walk"]
    assert {"plan", "walk", "pitch_around", "says"} <= set(said[0])
    assert "Walking him costs" in plan_text(made)


def test_a_league_without_announced_walks_and_rules_in_force_are_known() -> None:
    rules = replace(rule_set("high-school"), announced_walk=False)
    around = context("17-18", moment=OPEN_FIRST, rules=rules)
    pitcher, league = a_pitcher(), a_league()
    solved = ready(a_hitter(), pitcher, league, around).solved
    assert not beside(solved, a_hitter(), pitcher, league, around, Count(0, 0)).announced


def test_suggesting_and_its_ways_take_little_time() -> None:
    league, pitcher, man = a_league(), a_pitcher(), a_hitter()
    took = []
    for lead in range(3):
        around = context("17-18", moment=Moment(("", "b", ""), 1, 7, "bottom", lead))
        begun = time.thread_time()
        solved = ready(man, pitcher, league, around).solved
        beside(solved, man, pitcher, league, around, Count(1, 1))
        took.append(time.thread_time() - begun)
    # .13 s of one thread on the machine it was made on; another may take four times as long.
    assert min(took) < 0.6


@pytest.mark.parametrize(("on_deck", "told"), [(0.0, False), (0.003, False), (-0.012, True)])
def test_who_is_on_deck_is_told_only_where_two_digits_show_it(on_deck: float, told: bool) -> None:
    ways = Beside(plan=-0.1, walk=0.3, pitch_around=0.1, on_deck=on_deck)
    assert any("who is on deck" in said for said in ways.says()) == told
