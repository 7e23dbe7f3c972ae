"""The plan: what it promises, what it costs to lean, to obey and to be simple."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from sequencer.baseball.count import CARD_ROWS, COUNTS, Count
from sequencer.errors import BadInput
from sequencer.planning.at_bat import evaluate_at_bat, evaluate_tables, solve_at_bat
from sequencer.planning.calls import STRIKE_FIRST, CoachRules, in_zone
from sequencer.planning.plan import Plan, plan
from sequencer.planning.solved import WITHIN
from tests.planning.plan_people import a_hitter, a_league, a_pitcher, shares

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def made() -> Plan:
    men = [a_hitter(name="Rook Alder"), a_hitter(name="Moss Pike", bats="L", power=1.5)]
    return plan(men, a_pitcher(spread=9.0), a_league())


@pytest.fixture(scope="module")
def leaning() -> dict[float, Plan]:
    men = [a_hitter(first_pitch=1.5), a_hitter(power=1.0)]
    return {
        trust: plan(men, a_pitcher(spread=9.0), a_league(), trust=trust)
        for trust in (0.0, 0.3, 0.6, 0.9)
    }


def test_outcomes_are_probabilities_that_sum_to_one(made: Plan) -> None:
    outcomes = made.solved.tables.outcomes
    assert outcomes.min() > -1e-12
    assert np.allclose(outcomes.sum(axis=-1), 1.0, atol=1e-9)
    assert np.isfinite(made.solved.tables.end_runs).all()


def test_the_value_is_what_a_best_reply_over_the_whole_at_bat_gets(made: Plan) -> None:
    solved = made.solved
    reply = evaluate_tables(solved.tables.game(), solved.mix).value[:, 0, 0, 0]
    assert np.allclose([one.value for one in made.hitters], reply, atol=1e-12)


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_no_hitter_gets_more_than_the_plan_guarantees(made: Plan, seed: int) -> None:
    tables = made.solved.tables
    draws = np.random.default_rng(seed).dirichlet(np.full(len(tables.looks), 0.05), (2, 4, 3, 7))
    policy = draws[:, :, :, : len(tables.lasts)]
    got = evaluate_tables(tables.game(), made.solved.mix, policy).value[:, 0, 0, 0]
    assert (got <= np.array([one.value for one in made.hitters]) + 1e-12).all()


def test_a_safe_plan_is_within_the_spread_given_up_of_the_exact_value(made: Plan) -> None:
    assert made.solved.gap.max() < 1e-6
    assert all(0.0 <= one.gap <= WITHIN for one in made.hitters)
    assert all(one.if_book_right == 0.0 == one.if_book_wrong for one in made.hitters)


def test_values_rise_with_balls_and_fall_with_strikes(made: Plan) -> None:
    value = made.solved.guarantee[..., 0]
    assert (np.diff(value, axis=1) > 0.0).all()
    assert (np.diff(value, axis=2) < 0.0).all()


def test_leaning_on_the_book_gains_if_it_is_right_and_costs_if_it_is_wrong(
    leaning: dict[float, Plan],
) -> None:
    for h in range(2):
        right = [one.hitters[h].if_book_right for one in leaning.values()]
        wrong = [one.hitters[h].if_book_wrong for one in leaning.values()]
        # Exact values are in order; each printed mix gives up to WITHIN of its own for spread.
        assert all(more >= less - WITHIN for less, more in pairwise(right))
        assert all(more >= less - WITHIN for less, more in pairwise(wrong))
        assert min(wrong) >= -leaning[0.0].hitters[h].gap - 1e-9
        assert right[-1] > 0.001
        assert wrong[-1] > 0.001


def test_what_leaning_means_is_measured_against_the_safe_plan(leaning: dict[float, Plan]) -> None:
    safe, bold = leaning[0.0], leaning[0.6]
    tables, game = bold.solved.tables, bold.solved.tables.game()
    usual = [evaluate_tables(game, one.solved.mix, tables.habit).value for one in (safe, bold)]
    for h, one in enumerate(bold.hitters):
        assert one.if_book_right == pytest.approx(float((usual[0] - usual[1])[h, 0, 0, 0]))
        assert one.if_book_wrong == pytest.approx(one.value - safe.hitters[h].value)
        assert one.gap == pytest.approx(one.value - float(bold.solved.safe[h, 0, 0, 0]))


def test_one_more_pitch_never_costs_runs() -> None:
    arsenal = ("fastball", "changeup", "curveball", "slider")
    values = [
        _exact(plan([a_hitter()], a_pitcher(*arsenal[:n], spread=9.0), a_league()))
        for n in (1, 2, 3, 4)
    ]
    assert all(more <= less + 1e-9 for less, more in pairwise(values))
    assert values[1] < values[0] - 0.005


def test_less_spread_never_costs_runs() -> None:
    spreads = (14.0, 12.5, 11.5, 10.5, 9.5, 8.6, 8.2, 7.6, 7.2, 6.0)
    values = [_exact(plan([a_hitter()], a_pitcher(spread=sd), a_league())) for sd in spreads]
    assert all(finer <= wilder + 1e-9 for wilder, finer in pairwise(values))


def _exact(one: Plan) -> float:
    return float(one.solved.safe[0, 0, 0, 0])


def test_tied_pitches_share_what_they_are_tied_for() -> None:
    twins = plan([a_hitter()], a_pitcher("four-seam", "two-seam", spread=9.0), a_league())
    calls = twins.solved.tables.calls
    for count in (Count(0, 0), Count(3, 0)):
        mix = dict(zip(calls, shares(twins, count), strict=True))
        for call, share in mix.items():
            twin = call._replace(pitch="two-seam" if call.pitch == "four-seam" else "four-seam")
            assert share == pytest.approx(mix[twin], abs=0.02)


# the file of tables


@pytest.fixture(scope="module", params=[0.0, 0.4])
def saved(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    men = [a_hitter(), a_hitter(bats="L", fast=-1.0)]
    path = tmp_path_factory.mktemp("tables") / "plan.npz"
    coach = CoachRules(first_pitch_strike=True, never=("curveball",))
    plan(men, a_pitcher(spread=7.0), a_league(), trust=request.param, coach=coach).save_tables(path)
    return path


def test_the_saved_tables_can_be_solved_again_to_the_same_values(saved: Path) -> None:
    file = np.load(saved)
    for h in range(file["outcomes"].shape[0]):
        again = solve_at_bat(
            file["outcomes"][h],
            file["end_runs"][h],
            file["next_last"],
            float(file["walk"]),
            float(file["strikeout"]),
            float(file["hit_by_pitch"]),
            call_runs=file["call_runs"][h],
            habit=file["habit"][h],
            trust=float(file["trust"]),
            allowed=file["allowed"][h],
        )
        assert np.abs(again.value - file["value"][h]).max() < 1e-6


def test_what_a_card_gives_up_can_be_worked_out_again_from_the_saved_tables(tmp_path: Path) -> None:
    made = plan([a_hitter(), a_hitter(bats="L")], a_pitcher(spread=7.0), a_league())
    made.save_tables(tmp_path / "plan.npz")
    file, said = np.load(tmp_path / "plan.npz"), made.as_json()["hitters"]
    calls = file["calls"].tolist()
    for h, one in enumerate(said):
        mix = np.zeros(file["mix"].shape[1:])
        for row, counts in CARD_ROWS.items():
            for call in one["card"][row]:
                place = calls.index(f"{call['pitch']} {call['target']}")
                for count in counts:
                    mix[count.balls, count.strikes, :, place] += call["tenths"] / 10
        worth = evaluate_at_bat(
            file["outcomes"][h],
            file["end_runs"][h],
            file["next_last"],
            float(file["walk"]),
            float(file["strikeout"]),
            float(file["hit_by_pitch"]),
            mix,
            call_runs=file["call_runs"][h],
        )
        cost = worth.value[0, 0, 0] - one["value"]
        assert cost == pytest.approx(one["simplicity_cost"], abs=1e-9)


def test_the_saved_tables_are_whole(saved: Path) -> None:
    file = np.load(saved)
    hitters, _, _, lasts, calls, looks, _ = file["outcomes"].shape
    assert np.allclose(file["outcomes"].sum(axis=-1), 1.0, atol=1e-9)
    assert np.allclose(file["mix"].sum(axis=-1), 1.0)
    assert np.allclose(file["habit"].sum(axis=-1), 1.0)
    assert file["end_runs"].shape == file["call_runs"].shape == (hitters, 4, 3, lasts, calls, looks)
    assert file["value"].shape == (hitters, 4, 3, lasts)
    assert file["allowed"].shape == (hitters, calls)
    assert file["lasts"][0] == "none"
    assert len(file["calls"]) == calls
    assert len(file["looks"]) == looks
    assert file["mix"][..., ~file["allowed"][0]].max() == 0.0


def test_a_file_that_cannot_be_written_is_told_in_a_sentence(made: Plan, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be written to .*: name another file"):
        made.save_tables(tmp_path / "nowhere" / "plan.npz")


# the card


def test_a_card_has_at_most_three_calls_a_row_in_tenths(made: Plan) -> None:
    for one in made.hitters:
        assert set(one.card.rows) == set(CARD_ROWS)
        for calls in one.card.rows.values():
            assert 1 <= len(calls) <= 3
            assert sum(tenths for _, tenths in calls) == 10
            assert [tenths for _, tenths in calls] == sorted((t for _, t in calls), reverse=True)


def test_the_cost_of_the_card_is_exact(made: Plan) -> None:
    tables = made.solved.tables
    for h, one in enumerate(made.hitters):
        mix = np.zeros((4, 3, len(tables.calls)))
        for row, calls in one.card.rows.items():
            for count in CARD_ROWS[row]:
                for call, tenths in calls:
                    mix[count.balls, count.strikes, tables.calls.index(call)] = tenths / 10
        worth = _best_reply(made, h, mix)
        assert one.simplicity_cost == pytest.approx(worth - one.value, abs=1e-12)
        assert 0.0 <= one.simplicity_cost < 0.0035


def test_a_card_beats_the_plan_rounded_to_three_calls(made: Plan) -> None:
    for h, one in enumerate(made.hitters):
        rounded = np.zeros((4, 3, len(made.solved.tables.calls)))
        for counts in CARD_ROWS.values():
            mean = np.mean([made.solved.mix[h, b, s, 0] for b, s in counts], axis=0)
            kept = np.where(mean >= np.sort(mean)[-3], mean, 0.0)
            for b, s in counts:
                rounded[b, s] = kept / kept.sum()
        assert _best_reply(made, h, one.card.mix) <= _best_reply(made, h, rounded) + 1e-4


def _best_reply(one: Plan, hitter: int, mix: Floats) -> float:
    tables = one.solved.tables
    everyone = np.broadcast_to(mix[None, :, :, None, :], one.solved.mix.shape)
    return float(evaluate_tables(tables.game(), everyone).value[hitter, 0, 0, 0])


# the coach's rules


@cache
def _free() -> Plan:
    """Return a plan under no rule."""
    return plan([a_hitter()], a_pitcher(spread=7.0), a_league())


def _counts_and_calls(one: Plan) -> Iterator[tuple[Count, str, str]]:
    for hitter in one.hitters:
        for count, here in hitter.counts.items():
            for call, _share in here.calls:
                yield count, call.pitch, call.target


@pytest.mark.parametrize(
    "coach",
    [
        CoachRules(one_half="away"),
        CoachRules(never=("curveball",)),
        CoachRules(no_middle=True),
        CoachRules(breaking=False),
        CoachRules(first_pitch_strike=True),
    ],
    ids=["one half", "never", "no middle", "no breaking", "first-pitch strike"],
)
def test_a_coachs_rule_is_obeyed_everywhere_and_its_cost_is_told(coach: CoachRules) -> None:
    one = plan([a_hitter()], a_pitcher(spread=7.0), a_league(), coach=coach)
    for count, pitch, target in _counts_and_calls(one):
        assert not coach.one_half or target.endswith(coach.one_half)
        assert pitch not in coach.never
        assert not coach.no_middle or target not in ("middle", "high", "low")
        assert coach.breaking is not False or pitch != "curveball"
        assert not coach.first_pitch_strike or count != Count(0, 0) or in_zone(target)
    free = _free()
    assert one.hitters[0].rules_cost == pytest.approx(_exact(one) - _exact(free), abs=1e-9)
    assert one.hitters[0].rules_cost >= 0.0
    assert free.hitters[0].rules_cost == 0.0


def test_a_rule_that_binds_costs_runs() -> None:
    coach = CoachRules(one_half="in")
    one = plan([a_hitter()], a_pitcher(spread=7.0), a_league(), coach=coach)
    assert one.hitters[0].rules_cost > 0.01


def test_a_pitch_ruled_out_that_he_does_not_throw_is_told() -> None:
    one = plan([a_hitter()], a_pitcher("fastball"), a_league(), coach=CoachRules(never=("slider",)))
    assert "he does not throw a slider anyway" in one.notes


def test_rules_that_leave_nothing_are_refused() -> None:
    with pytest.raises(BadInput, match="leave no call"):
        plan([a_hitter()], a_pitcher("fastball"), a_league(), coach=CoachRules(never=("fastball",)))


def test_what_the_last_pitch_did_can_be_switched_off() -> None:
    coach = CoachRules(last_pitch=False)
    off = plan([a_hitter()], a_pitcher(spread=8.0), a_league(), coach=coach)
    on = plan([a_hitter()], a_pitcher(spread=8.0), a_league())
    assert off.solved.tables.lasts == ("none",)
    assert 1e-5 < abs(_exact(off) - _exact(on)) < 0.01


# the ladder


def test_a_pitcher_who_misses_by_a_foot_is_told_strike_first() -> None:
    wild = plan([a_hitter()], a_pitcher(spread=12.5), a_league())
    assert STRIKE_FIRST in wild.notes
    assert {call.target for call in wild.solved.tables.calls} == {"middle"}
    assert "he can aim the fastball down the middle only" in wild.notes[-1]
    surer = plan([a_hitter()], a_pitcher("fastball", "changeup", spread=9.2), a_league())
    assert surer.notes == ("he can aim the fastball at quarters, the changeup at halves",)


def test_targets_are_finer_the_better_the_command_and_the_surer_it_is() -> None:
    fine, coarse, unsure = (
        len(plan([a_hitter()], thrower, a_league()).solved.tables.calls)
        for thrower in (
            a_pitcher(spread=6.0),
            a_pitcher(spread=9.0),
            a_pitcher(spread=6.0, freedom=0.7),
        )
    )
    assert fine > coarse
    assert fine > unsure


# bad input and what is printed


def test_a_plan_for_nobody_and_a_trust_beyond_reason_are_refused() -> None:
    with pytest.raises(BadInput, match="no hitter to plan for"):
        plan([], a_pitcher(), a_league())
    with pytest.raises(BadInput, match=r"Trust goes from 0 \(safe\) to 0.9"):
        plan([a_hitter()], a_pitcher(), a_league(), trust=0.95)


def test_a_pitcher_without_a_plannable_pitch_is_refused() -> None:
    thrower = a_pitcher("curveball", level="11-12")
    with pytest.raises(BadInput, match="has no pitch to plan with"):
        plan([a_hitter(level="11-12")], replace(thrower, name="Abel Crane"), a_league("11-12"))


def test_the_json_of_a_plan_holds_what_it_must(made: Plan) -> None:
    said = made.as_json()
    assert {"pitcher", "level", "trust", "hitters"} <= set(said)
    one = said["hitters"][0]
    numbers = ("value", "gap", "if_book_right", "if_book_wrong", "simplicity_cost")
    assert all(isinstance(one[name], float) for name in numbers)
    assert set(one["counts"]) == {str(count) for count in COUNTS}
    for here in one["counts"].values():
        assert sum(call["share"] for call in here["calls"]) == pytest.approx(1.0)
        assert sum(look["share"] for look in here["looks"]) == pytest.approx(1.0)
        assert {"pitch", "target", "share", "coin_flip"} == set(here["calls"][0])
    assert set(one["card"]) == set(CARD_ROWS)
    assert {"pitch", "target", "tenths"} == set(one["card"]["full"][0])


def test_the_json_and_the_tables_hold_the_same_mix(made: Plan) -> None:
    calls = made.solved.tables.calls
    for h, one in enumerate(made.as_json()["hitters"]):
        for count in COUNTS:
            said = {
                (c["pitch"], c["target"]): c["share"] for c in one["counts"][str(count)]["calls"]
            }
            for call, share in zip(calls, shares(made, count, h), strict=True):
                assert said.get((call.pitch, call.target), 0.0) == pytest.approx(
                    float(share), abs=1e-12
                )
