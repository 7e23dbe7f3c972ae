"""The parts a plan is made of: looks and habit, where throws go, stakes, reasons."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.count import Count
from sequencer.baseball.levels import LEVELS, level
from sequencer.baseball.zone import (
    BALL_RADIUS_IN,
    LADDER,
    TARGETS,
    centre_of,
    target_uv,
    to_catcher,
)
from sequencer.errors import BadInput
from sequencer.estimates import command
from sequencer.planning import assumed, beliefs, looks
from sequencer.planning.beliefs import BELIEFS
from sequencer.planning.calls import (
    STEP_LIMITS_IN,
    WORTH_A_STEP,
    Call,
    CoachRules,
    calls_for,
    read_call,
    step_for,
)
from sequencer.planning.context import context, game_for
from sequencer.planning.looks import LOOKS, TAKE, Look, place_of
from sequencer.planning.plan import plan, suggest
from sequencer.planning.reasons import State, why
from sequencer.planning.stages import BALL, END, FOUL, STRIKE
from sequencer.planning.stakes import Moment, average, right_now
from sequencer.planning.throws import plane, weights
from tests.planning.ladder import guaranteed
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher

# looks


def test_a_habit_is_a_mix_that_takes_as_often_as_he_does() -> None:
    man, league = a_hitter(first_pitch=-1.0), a_league()
    mix = looks.habit(man, league)
    assert np.allclose(mix.sum(axis=-1), 1.0)
    really = mix[..., place_of(TAKE)] * looks.take_ceiling(man, league)
    assert np.allclose(really, man.take_share)


def test_a_habits_belief_is_shared_between_its_neighbours() -> None:
    man = replace(a_hitter(), fast_belief=np.full((4, 3), 0.63), protect=np.zeros((4, 3)))
    swing = looks.usual_swing(man)[0, 0]
    assert swing[place_of(Look("drive", 0.6))] == pytest.approx(0.7)
    assert swing[place_of(Look("drive", 0.7))] == pytest.approx(0.3)
    assert swing @ np.array([look.belief for look in LOOKS]) == pytest.approx(0.63)


def test_nothing_is_a_surprise_to_who_expects_what_the_league_throws() -> None:
    league = replace(a_league(), fast_share=np.full((4, 3), 0.6))
    for family in ("fast", "breaking", "off-speed"):
        side = beliefs.FAST if family == "fast" else beliefs.SOFT
        nats = looks.surprise(family, league, beliefs.nats(np.array(BELIEFS), side))
        assert np.allclose(nats[:, BELIEFS.index(0.6)], 0.0)
        order = -1.0 if family == "fast" else 1.0
        assert (order * np.diff(nats, axis=1) > 0.0).all()


def test_taking_is_held_to_the_patience_ceiling() -> None:
    pitcher, man = a_pitcher("fastball"), a_hitter()
    game = game_for([man], pitcher, a_league(), context(LEVEL))
    ceiling = looks.take_ceiling(man, a_league())
    usual = looks.usual_swing(man)
    ends = game.outcomes[0, :, :, 0, 0, :, END]
    swung = (usual * ends).sum(axis=-1)
    assert np.allclose(ends[..., place_of(TAKE)], (1.0 - ceiling) * swung)
    patient = replace(a_league(), patience=1.0)
    free = game_for([man], pitcher, patient, context(LEVEL))
    assert np.allclose(free.outcomes[0, :, :, 0, 0, place_of(TAKE), END], 0.0)


def test_where_patience_ends_a_taker_swings_as_he_chooses() -> None:
    man, league = a_hitter(), a_league()
    game = game_for([man], a_pitcher(), league, context(LEVEL))
    free = game_for([man], a_pitcher(), replace(league, patience=1.0), context(LEVEL))
    ceiling = looks.take_ceiling(man, league)[:, :, None, None, None]
    for rest in looks.RESTS[:: len(looks.RESTS) // 5]:
        look = Look("take", rest.belief, rest.area, rest.readiness)
        swing = game.outcomes[0, ..., place_of(rest), :]
        take = free.outcomes[0, ..., place_of(TAKE), :]
        held = game.outcomes[0, ..., place_of(look), :]
        assert np.allclose(held, ceiling * take + (1.0 - ceiling) * swing)
    assert str(look).startswith("take, else protect")


def test_expecting_a_pitch_makes_it_missed_less_and_the_other_missed_more() -> None:
    pitcher = a_pitcher("fastball", "changeup")
    game = game_for([a_hitter()], pitcher, a_league(), context(LEVEL))
    where = [place_of(Look("drive", belief)) for belief in BELIEFS]
    for c, call in enumerate(game.calls):
        strikes = game.outcomes[0, 1, 1, 0, c, where, STRIKE]
        order = -1.0 if call.family == "fast" else 1.0
        assert (order * np.diff(strikes) > 0.0).all()


def test_looking_where_it_comes_pays_and_looking_elsewhere_costs() -> None:
    game = game_for([a_hitter()], a_pitcher("fastball", spread=7.0), a_league(), context(LEVEL))
    inside = game.calls.index(Call("fastball", "belt-in"))
    worth = {
        area: float(game.end_runs[0, 0, 0, 0, inside, place_of(Look("drive", 0.5, area))])
        for area in ("whole", "in", "away")
    }
    assert worth["in"] > worth["whole"] > worth["away"]
    assert worth["in"] - worth["whole"] <= assumed.AREA_RUNS


# throws


@settings(max_examples=30, deadline=None)
@given(
    spread=st.floats(4.0, 16.0),
    tilt=st.floats(-0.8, 0.8),
    bias=st.tuples(st.floats(-6.0, 6.0), st.floats(-6.0, 6.0)),
    target=st.sampled_from(sorted(set(TARGETS))),
    bats=st.sampled_from("RL"),
)
def test_throws_are_probabilities_with_the_mean_and_spread_of_his_miss(
    spread: float, tilt: float, bias: tuple[float, float], target: str, bats: str
) -> None:
    zone = level("17-18").zone
    cov = spread**2 * np.array([[1.0, tilt], [tilt, 1.0]])
    known = command.average("17-18", arsenal=("fastball",)).arsenal[0]
    belief = replace(known, bias=np.array(bias), cov=cov, lost=0.0)
    chance = weights((Call("fastball", target),), belief, zone, bats)[0]
    assert chance.min() >= 0.0
    assert chance.sum() == pytest.approx(1.0)
    if spread < 8.0:  # wider ones leave the grid, whose far nodes stand for the tails
        across = target_uv(target)[0] + (1 if bats == "R" else -1) * bias[0] / 9.95
        assert chance @ plane().u == pytest.approx(across, abs=0.06)
        # Heights are where the target and his miss are in inches, in halves of the ball's centre's.
        up = centre_of(to_catcher(target, bats), zone)[1] + bias[1] - zone.middle_in
        high = chance @ plane().v * (zone.half_height_in + BALL_RADIUS_IN)
        assert high == pytest.approx(up, abs=0.7)


def test_a_slipped_pitch_lands_farther_out() -> None:
    zone = level("17-18").zone
    known = command.average("17-18", arsenal=("fastball",)).arsenal[0]
    calls = (Call("fastball", "middle"),)
    far = np.maximum(np.abs(plane().u), np.abs(plane().v)) > 2.5
    held, slipped = (
        weights(calls, replace(known, lost=lost), zone, "R")[0, far].sum() for lost in (0.0, 0.2)
    )
    assert slipped > held + 0.02


# stakes


def test_nothing_by_the_way_happens_with_nobody_on() -> None:
    stakes = right_now(Moment(), level("11-12"), a_league("11-12"))
    assert (stakes.wild_pitch, stakes.soft_steal) == (0.0, 0.0)
    assert right_now(Moment(("a", "", ""), 0), level("pro"), a_league("pro")).soft_steal > 0.0


def test_a_runner_who_may_not_lead_off_is_not_helped_by_a_soft_pitch() -> None:
    first = Moment(("a", "", ""), 0)
    held = right_now(first, level("11-12"), a_league("11-12"), lead_offs=False)
    assert held.soft_steal == 0.0


def test_a_third_strike_that_gets_away_counts_where_the_rules_let_him_run() -> None:
    at, league = level("pro"), a_league("pro")
    open_base, taken = Moment(("", "b", ""), 0), Moment(("a", "", ""), 0)
    assert right_now(open_base, at, league).dropped_third > 0.0
    # With first taken and fewer than two out he is out, and only the runner moves up.
    assert 0.0 < right_now(taken, at, league).dropped_third < 0.2
    assert right_now(replace(taken, outs=2), at, league).dropped_third > 0.0
    held = right_now(open_base, at, league, dropped_third_strike=False).dropped_third
    assert 0.0 < held < right_now(open_base, at, league).dropped_third
    nobody = right_now(Moment(), at, league, dropped_third_strike=False)
    assert nobody.dropped_third == 0.0
    assert average(at, dropped_third_strike=False).dropped_third == 0.0


def test_a_ball_in_play_is_worth_more_with_runners_on_and_rises_with_its_average() -> None:
    at, league = level("17-18"), a_league()
    hard = np.array([-0.1, 0.0, 0.2, 0.4])
    loaded = right_now(Moment(("a", "b", "c"), 1), at, league).in_play(hard)
    empty = right_now(Moment(("", "", ""), 2), at, league).in_play(hard)
    assert (np.diff(loaded) > 0.0).all() and (np.diff(empty) > 0.0).all()
    assert (np.ptp(loaded) > 1.5 * np.ptp(hard)) and (np.ptp(empty) < np.ptp(hard))


def test_a_situation_that_cannot_be_is_refused() -> None:
    with pytest.raises(BadInput, match="outs go from 0 to 2"):
        Moment(outs=3)
    with pytest.raises(BadInput, match="good, average, poor"):
        average(level("pro"), catcher="awful")


@pytest.mark.parametrize("name", LEVELS)
def test_every_level_can_be_planned_with_its_usual_pitcher(name: str) -> None:
    thrower = command.average(name, arsenal=("fastball", "changeup", "curveball"))
    made = plan([a_hitter(level=name)], thrower, a_league(name))
    assert -0.2 < made.hitters[0].value < 0.3
    assert made.hitters[0].simplicity_cost < 0.0035


# calls


@pytest.mark.parametrize(
    ("text", "call"),
    [
        ("fastball away", Call("fastball", "away")),
        ("  Breaking  ball low-in ", Call("breaking ball", "low-in")),
        ("changeup", Call("changeup", "middle")),
        ("four-seam up-off-in", Call("four-seam", "up-off-in")),
    ],
)
def test_a_call_is_read_as_it_is_said(text: str, call: Call) -> None:
    assert read_call(text) == call


def test_the_middle_is_always_offered_once() -> None:
    for spread in (13.0, 11.0, 9.0, 8.0, 6.0):
        thrower = a_pitcher("fastball", spread=spread)
        targets = [call.target for call in calls_for(thrower.arsenal)]
        assert targets.count("middle") == 1
        assert len(targets) == len(set(targets))


def test_a_coach_who_wants_one_half_gets_one_from_any_pitcher() -> None:
    wild = a_pitcher("fastball", spread=14.0)
    assert step_for(wild.arsenal[0]) == "middle"
    made = plan([a_hitter()], wild, a_league(), coach=CoachRules(one_half="away"))
    assert {call.target for call, _ in made.hitters[0].counts[Count(0, 0)].calls} == {"away"}


@pytest.mark.parametrize("step", LADDER[1:])
def test_finer_targets_are_worth_what_the_ladder_says(step: str) -> None:
    limit, coarser = STEP_LIMITS_IN[step], LADDER[LADDER.index(step) - 1]
    near, far = (
        guaranteed("13-14", spread, coarser) - guaranteed("13-14", spread, step)
        for spread in (limit - 1.5, limit + 1.5)
    )
    assert near > WORTH_A_STEP > far


# reasons


def _state(outcomes: list[list[float]], end_runs: list[float], belief: float) -> State:
    calls = len(outcomes)
    return State(
        np.array(outcomes)[:, None, :],
        np.array(end_runs)[:, None],
        np.tile([0.3, -0.05, -0.04], (calls, 1)),
        np.array([1.0]),
        (Look("drive", belief),),
        np.ones(calls, dtype=bool),
        0.0,
    )


def test_a_reason_names_the_part_that_saves_most_with_its_numbers() -> None:
    state = _state([[0.3, 0.25, 0.15, 0.3, 0.0], [0.5, 0.2, 0.1, 0.2, 0.0]], [0.15, 0.15], 0.9)
    assert why(0, state) == (
        "he is sitting fastball; this is a ball 30 in 100, the others 50; a ball costs 0.30 runs"
    )


def test_a_reason_speaks_of_soft_contact_only_where_contact_is_soft() -> None:
    even = [0.4, 0.3, 0.1, 0.2, 0.0]
    state = _state([even, even], [-0.1, 0.2], 0.5)
    assert "what he hits off it does less than off the others" in why(0, state)
    assert "keeps him guessing" in why(1, state)


def test_a_reason_says_when_he_is_mostly_taking_and_when_nothing_else_is_left() -> None:
    state = replace(
        _state([[0.4, 0.3, 0.1, 0.2, 0.0]], [0.0], 0.5), looks=(TAKE,), allowed=np.array([True])
    )
    assert why(0, state).startswith("he is mostly taking; the only call left;")


def test_no_number_in_a_reason_is_invented() -> None:
    game = game_for([a_hitter()], a_pitcher(spread=8.0), a_league(), context(LEVEL))
    brings = game.habit[0, 1, 1, 0]
    chances = np.einsum("clk,l->ck", game.outcomes[0, 1, 1, 0], brings)
    state = State(
        game.outcomes[0, 1, 1, 0],
        game.end_runs[0, 1, 1, 0],
        np.tile([0.05, -0.05, -0.05], (len(game.calls), 1)),
        brings,
        game.looks,
        game.allowed[0],
        0.0,
    )
    words = {"a ball": BALL, "a strike": STRIKE, "fouled off": FOUL, "put in play": END}
    for c in range(len(game.calls)):
        said = why(c, state).split("; ")[1]
        for start, part in words.items():
            if said.startswith(start):
                others = np.delete(chances[:, part], c).mean()
                assert f"{100 * chances[c, part]:.0f} in 100" in said
                assert said.endswith(f"the others {100 * others:.0f}")


def test_one_suggestion_is_what_the_plan_has_there() -> None:
    pitcher, man = a_pitcher(spread=8.0), a_hitter()
    found = suggest(man, pitcher, a_league(), Count(1, 1))
    here = plan([man], pitcher, a_league()).hitters[0].counts[Count(1, 1)]
    assert [one.call for one in found.calls] == [call for call, _ in here.calls]
    shares = [share for _, share in here.calls]
    assert [one.share for one in found.calls] == pytest.approx(shares, abs=1e-9)
