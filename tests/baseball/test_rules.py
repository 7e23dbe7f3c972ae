import pickle
from dataclasses import fields
from typing import Any

import pytest

from sequencer.baseball.count import STARTS, Count
from sequencer.baseball.pitch_limits import LIMITS
from sequencer.baseball.rules import (
    CHOICES,
    DEFAULT_RULES,
    EDITABLE,
    RULES,
    Charged,
    RuleSet,
    Stint,
    charged_to,
    edited,
    game_over,
    half_over,
    placed_runner,
    rule_set,
)
from sequencer.errors import BadInput


@pytest.mark.parametrize("name", RULES)
def test_a_rule_set_keeps_the_contract(name: str) -> None:
    rules = RULES[name]
    assert rules.name == name
    assert rules.says
    assert 40 <= rules.pitching_distance_ft <= 60.5
    assert rules.pitching_distance_ft < rules.base_distance_ft <= 90
    assert rules.pitch_limit == "" or rules.pitch_limit in LIMITS
    assert rules.start_count in STARTS
    for rule, words in CHOICES.items():
        assert getattr(rules, rule) in words
    assert set(rules.sources) <= {field.name for field in fields(RuleSet)}
    assert all(rules.source(rule) for rule in EDITABLE)
    assert pickle.loads(pickle.dumps(rules)) == rules


@pytest.mark.parametrize("name", RULES)
def test_a_rule_set_survives_being_edited_to_itself(name: str) -> None:
    rules = RULES[name]
    same = edited(rules, {rule: getattr(rules, rule) for rule in EDITABLE})
    assert all(getattr(same, rule) == getattr(rules, rule) for rule in EDITABLE)


@pytest.mark.parametrize(
    ("rule", "value", "kept"),
    [
        ("half_run_limit", 5, 5),
        ("half_run_limit", "5", 5),
        ("half_run_limit", "none", None),
        ("half_run_limit", None, None),
        ("innings", "6", 6),
        ("pitching_distance_ft", "54", 54.0),
        ("lead_offs", "no", False),
        ("lead_offs", True, True),
        ("start_count", "1-1", Count(1, 1)),
        ("start_count", [1, 1], Count(1, 1)),
        ("run_rule", [[10, 5]], ((10, 5),)),
        ("run_rule", "10 after 5; 15 after 3", ((10, 5), (15, 3))),
        ("run_rule", "none", ()),
        ("order", "everyone bats", "everyone bats"),
        ("pitch_limit", "none", ""),
        ("pitch_limit", "Pitch Smart", "Pitch Smart"),
        ("electronic_advice", "no", "no"),
    ],
)
def test_a_rule_is_changed_and_marked_as_changed(rule: str, value: Any, kept: Any) -> None:
    rules = edited(RULES["high-school"], {rule: value})
    assert getattr(rules, rule) == kept
    assert rules.source(rule) == "changed for this game"
    assert RULES["high-school"].source(rule) != "changed for this game"


@pytest.mark.parametrize(
    ("rule", "value", "words"),
    [
        ("mercy", 10, "'mercy' is not a rule"),
        ("name", "x", "'name' is not a rule"),
        ("innings", "ten", "from 1 to 9"),
        ("innings", 6.5, "from 1 to 9"),
        ("innings", True, "from 1 to 9"),
        ("half_run_limit", 0, "or none"),
        ("lead_offs", "maybe", "yes or no"),
        ("order", "ten", "nine"),
        ("start_count", "2-1", "0-0 or 1-1"),
        ("start_count", "2", "not a count"),
        ("start_count", 3, "not a count"),
        ("run_rule", "ten", "lead and complete innings"),
        ("run_rule", 5, "lead and complete innings"),
        ("pitch_limit", "mine", "Pitch Smart"),
        ("half_run_limit", float("inf"), "or none"),
    ],
)
def test_a_rule_that_does_not_fit_is_refused_in_words(rule: str, value: Any, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        edited(RULES["high-school"], {rule: value})


def test_an_unknown_rule_set_is_refused_with_the_list() -> None:
    assert rule_set("") is RULES[DEFAULT_RULES]
    with pytest.raises(BadInput, match="youth-46"):
        rule_set("backyard")


def test_a_pinch_hitters_strikeout_belongs_to_whoever_had_two_strikes() -> None:
    pitchers = [Stint("pat", Count(0, 0))]
    hitters = [Stint("ann", Count(0, 0)), Stint("bea", Count(1, 2))]
    assert charged_to("strikeout", hitters, pitchers) == Charged("ann", "pat")
    assert charged_to("walk", hitters, pitchers) == Charged("bea", "pat")
    hitters = [Stint("ann", Count(0, 0)), Stint("bea", Count(1, 1))]
    assert charged_to("strikeout", hitters, pitchers).hitter == "bea"
    hitters = [Stint("ann", Count(0, 0)), Stint("bea", Count(0, 1)), Stint("cat", Count(2, 2))]
    assert charged_to("strikeout", hitters, pitchers).hitter == "bea"
    assert charged_to("strikeout", hitters, pitchers, inherited_count="who ends it").hitter == "cat"


@pytest.mark.parametrize(
    ("count", "owner"),
    [
        ((2, 0), "old"),
        ((2, 1), "old"),
        ((3, 0), "old"),
        ((3, 1), "old"),
        ((3, 2), "old"),
        ((0, 0), "new"),
        ((1, 0), "new"),
        ((1, 1), "new"),
        ((2, 2), "new"),
        ((0, 2), "new"),
    ],
)
def test_a_relievers_walk_belongs_to_the_man_before_when_he_was_behind(
    count: tuple[int, int], owner: str
) -> None:
    hitters = [Stint("ann", Count(0, 0))]
    pitchers = [Stint("old", Count(0, 0)), Stint("new", Count(*count))]
    assert charged_to("walk", hitters, pitchers).pitcher == owner
    assert charged_to("single", hitters, pitchers).pitcher == "new"
    assert charged_to("walk", hitters, pitchers, inherited_count="who ends it").pitcher == "new"


def test_a_half_may_end_without_three_outs() -> None:
    five = edited(RULES["youth-46"], {"half_run_limit": 5})
    assert half_over(five, 1, 5) == "run limit"
    assert half_over(five, 1, 4) == ""
    assert half_over(five, 3, 5) == "three outs"
    assert half_over(RULES["pro"], 2, 12) == ""


@pytest.mark.parametrize(
    ("inning", "half", "away", "home", "done", "why"),
    [
        (7, "top", 2, 3, True, "innings"),
        (7, "top", 2, 3, False, ""),
        (7, "top", 3, 2, True, ""),
        (7, "bottom", 3, 2, True, "innings"),
        (7, "bottom", 2, 3, False, "innings"),
        (7, "bottom", 2, 2, True, ""),
        (8, "bottom", 2, 3, False, "innings"),
        (6, "bottom", 2, 3, True, ""),
        (5, "bottom", 12, 2, True, "run rule"),
        (5, "bottom", 12, 2, False, ""),
        (5, "top", 2, 12, True, "run rule"),
        (5, "bottom", 2, 12, False, "run rule"),
        (4, "bottom", 2, 12, True, ""),
        (6, "top", 12, 2, False, ""),
        (5, "top", 12, 2, True, ""),
    ],
)
def test_a_game_ends_by_innings_or_by_the_run_rule(
    inning: int, half: str, away: int, home: int, done: bool, why: str
) -> None:
    rules = RULES["high-school"]
    assert game_over(rules, inning, half, away, home, half_done=done) == why


def test_a_runner_is_placed_from_the_inning_that_says_so() -> None:
    assert not placed_runner(RULES["pro"], 9)
    assert placed_runner(RULES["pro"], 10)
    assert not placed_runner(RULES["high-school"], 12)
