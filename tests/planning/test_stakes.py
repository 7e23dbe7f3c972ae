"""Stakes of a real situation: the signs a coach knows, late innings, runs by the way."""

from dataclasses import replace

import numpy as np
import pytest

from sequencer.baseball.count import Count
from sequencer.baseball.levels import level
from sequencer.baseball.rules import rule_set
from sequencer.errors import BadInput
from sequencer.planning.calls import CoachRules
from sequencer.planning.here import GETS_AWAY, Here, here
from sequencer.planning.plan import Plan, plan
from sequencer.planning.stakes import Catcher, Moment, Stakes, catching, right_now
from tests.planning.plan_people import a_hitter, a_league, a_pitcher, shares

PRO = level("pro")
FIRST, SECOND, THIRD, CORNERS, LOADED = (
    ("a", "", ""),
    ("", "b", ""),
    ("", "", "c"),
    ("a", "", "c"),
    ("a", "b", "c"),
)


def pro(moment: Moment) -> Stakes:
    return right_now(moment, PRO, a_league("pro"))


def late(bases: tuple[str, str, str], outs: int, lead: int = 0) -> Moment:
    """The bottom of the ninth."""
    return Moment(bases, outs, 9, "bottom", lead)


def test_a_strikeout_with_the_bases_loaded_and_one_out_is_worth_what_was_published() -> None:
    # Tango (25 September 2020), Run values by pitch count, tangotiger.com: -.789, and -.227 with
    # nobody on and none out, at .481 runs a half.
    at = replace(PRO, runs_per_game=9 * 0.481)
    loaded = right_now(Moment(LOADED, 1), at, a_league("pro"))
    empty = right_now(Moment(), at, a_league("pro"))
    assert loaded.strikeout == pytest.approx(-0.789, abs=0.02)
    assert empty.strikeout == pytest.approx(-0.227, abs=0.02)


@pytest.mark.parametrize("bases", [("", "", ""), FIRST, SECOND, THIRD, CORNERS, LOADED])
@pytest.mark.parametrize("outs", [0, 1, 2])
def test_early_in_an_even_game_winning_is_worth_what_runs_are(
    bases: tuple[str, str, str], outs: int
) -> None:
    by_runs = pro(Moment(bases, outs))
    by_win = pro(Moment(bases, outs, 1, "top", 0))
    for name in ("walk", "strikeout", "hit_by_pitch"):
        a, b = getattr(by_runs, name), getattr(by_win, name)
        assert b == pytest.approx(a, abs=0.09 + 0.12 * abs(a))
    hard = np.array([-0.1, 0.1, 0.4])
    assert by_win.in_play(hard) == pytest.approx(by_runs.in_play(hard), abs=0.15)


def test_one_run_of_an_even_start_is_the_unit() -> None:
    start = here(Moment(inning=1), PRO)
    assert start.by_win and start.win == pytest.approx(0.5, abs=1e-6)
    assert start.play("home run") == pytest.approx(1.0, abs=0.05)


def test_a_tie_in_the_last_half_with_a_runner_on_third_wants_the_strikeout() -> None:
    tie, usual = pro(late(THIRD, 1)), pro(Moment(THIRD, 1))
    assert tie.strikeout < 2.5 * usual.strikeout < 0.0
    # Only the runner on third counts: putting the hitter on sets up the double play.
    assert tie.walk < 0.0 < usual.walk
    # A ball that gets away loses the game.
    assert tie.wild_pitch > 4.0 * usual.wild_pitch > 0.0
    assert pro(late(THIRD, 2)).wild_pitch > 3.0


def test_a_walk_that_loads_the_bases_in_a_tie_is_nearly_free_and_one_that_forces_a_run_is_not() -> (
    None
):
    run = 1.0 / 0.097
    second_and_third, loaded = pro(late(("", "b", "c"), 1)), pro(late(LOADED, 1))
    assert abs(second_and_third.walk) < 0.02 * run
    assert loaded.walk > 0.15 * run
    assert loaded.walk == pytest.approx(loaded.wild_pitch)


def test_with_a_lead_of_two_in_the_last_half_a_home_run_is_hardly_worth_more_than_a_walk() -> None:
    ahead = here(late(("", "", ""), 0, lead=2), PRO)
    assert ahead.by_win
    assert ahead.play("home run") < 1.7 * ahead.play("walk")
    usual = here(Moment(), PRO)
    assert usual.play("home run") > 2.0 * usual.play("walk")


def test_a_game_as_good_as_decided_goes_by_runs() -> None:
    done = here(late(("", "", ""), 0, lead=7), PRO)
    assert not done.by_win and done.win is not None and done.win < 0.02
    assert pro(late(THIRD, 1, lead=7)).strikeout == pytest.approx(pro(Moment(THIRD, 1)).strikeout)


def test_a_half_that_ends_with_so_many_runs_makes_the_last_of_them_count_and_no_more() -> None:
    youth, rules = level("9-10"), rule_set("youth-46-young")
    assert rules.half_run_limit == 5
    full = here(Moment(LOADED, 1), youth, replace(rules, half_run_limit=None))
    fresh = here(Moment(LOADED, 1, half_runs=0), youth, rules)
    last = here(Moment(LOADED, 1, half_runs=4), youth, rules)

    def coming(now: Here) -> float:
        return now.value(LOADED, 1)

    assert coming(last) < 1.0 < coming(fresh) < coming(full)
    # One run ends the half: a home run is worth no more than a walk.
    assert last.play("home run") == pytest.approx(last.play("walk"))


def test_a_limit_counts_in_chances_to_win_too() -> None:
    youth, rules = level("9-10"), rule_set("youth-46-young")
    down_six = [
        here(Moment(LOADED, 1, 6, "bottom", 6, half_runs=so_far), youth, kept).win
        for so_far, kept in ((0, replace(rules, half_run_limit=None)), (0, rules))
    ]
    assert down_six[0] is not None and down_six[0] > 0.02
    assert down_six[1] == 0.0


def test_a_situation_that_cannot_be_is_refused() -> None:
    with pytest.raises(BadInput, match="no inning 0"):
        Moment(inning=0)
    with pytest.raises(BadInput, match="no half"):
        Moment(inning=1, half="middle")


# runs by the way


def test_a_ball_that_gets_away_costs_what_the_runner_gains() -> None:
    assert pro(Moment()).wild_pitch == 0.0
    assert pro(Moment(THIRD, 2)).wild_pitch > pro(Moment(FIRST, 2)).wild_pitch > 0.0


def test_two_out_and_two_strikes_a_lost_third_strike_lets_the_runner_score_too() -> None:
    third, first = pro(Moment(THIRD, 2)), pro(Moment(FIRST, 2))
    assert third.dropped_third > 1.0 > first.dropped_third > 0.0
    # Without the rule he is out, which ends the half.
    held = right_now(Moment(THIRD, 2), PRO, a_league("pro"), dropped_third_strike=False)
    assert held.dropped_third == 0.0
    # With first taken and one out he is out, but the runner on third comes home.
    assert 0.5 < pro(Moment(CORNERS, 1)).dropped_third < pro(Moment(THIRD, 1)).dropped_third


def test_levels_and_catchers_lose_more_or_fewer() -> None:
    lost = [right_now(Moment(THIRD), level(name), a_league(name)).lost for name in GETS_AWAY]
    assert lost == sorted(lost)
    by_word = [
        right_now(Moment(THIRD), PRO, a_league("pro"), catcher=word).lost
        for word in ("good", "average", "poor")
    ]
    assert by_word == sorted(by_word) and by_word[0] < by_word[2]
    known = right_now(Moment(THIRD), PRO, a_league("pro"), catcher=Catcher(1.5))
    assert known.lost == pytest.approx(1.5 * by_word[1])
    with pytest.raises(BadInput, match="good, average, poor"):
        catching("brilliant")


def test_a_soft_pitch_helps_the_runner_more_on_a_poor_arm_and_not_where_none_may_lead_off() -> None:
    def soft(arm: float, lead_offs: bool = True) -> float:
        catcher = Catcher(arm=arm)
        found = right_now(
            Moment(FIRST, 1), PRO, a_league("pro"), catcher=catcher, lead_offs=lead_offs
        )
        return found.soft_steal

    assert 0.0 < soft(0.5) < soft(1.0) < soft(1.5)
    assert soft(1.5, lead_offs=False) == 0.0
    assert pro(Moment(("a", "b", ""), 1)).soft_steal == 0.0


def low_curves(made: Plan) -> float:
    """Share of breaking balls low or below, 0-2 to 2-2."""
    calls = made.solved.tables.calls
    low = [
        call.family == "breaking" and call.target.startswith(("low", "down", "below"))
        for call in calls
    ]
    counts = (Count(0, 2), Count(1, 2), Count(2, 2))
    return float(np.mean([shares(made, count)[low].sum() for count in counts]))


def test_at_11_12_a_runner_on_third_and_a_poor_catcher_take_the_curve_out_of_the_dirt() -> None:
    young, league = a_hitter(level="11-12"), a_league("11-12")
    pitcher = a_pitcher(level="11-12", spread=7.0)

    def made(bases: tuple[str, str, str], catcher: str) -> float:
        coach = CoachRules(breaking=True)
        return low_curves(
            plan(
                [young],
                pitcher,
                league,
                coach=coach,
                situation=Moment(bases, 1),
                catcher=catcher,
            )
        )

    assert made(("", "", ""), "average") > 0.35
    assert made(THIRD, "good") > 0.3
    assert made(THIRD, "poor") < 0.02
