"""Games held in their factors, and looks taken in as replies need them."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates.pitcher import Alike
from sequencer.planning import beliefs, every_look, lasts
from sequencer.planning.at_bat import (
    AtBatTables,
    at_bat_tables,
    evaluate_at_bat,
    evaluate_tables,
    solve_at_bat,
    solve_tables,
)
from sequencer.planning.beliefs import BELIEFS, LATTICE
from sequencer.planning.calls import Call, calls_for
from sequencer.planning.context import Context, context, game_for
from sequencer.planning.lasts import Effect, Memory, lasts_of, shown
from sequencer.planning.looks import KINDS, LOOKS, Look, columns
from sequencer.planning.open_at_bat import solve_every_look
from sequencer.planning.open_replies import leaning_worth
from sequencer.planning.open_spread import spread_open
from sequencer.planning.outcomes import Tables, tables
from sequencer.planning.plan import plan
from sequencer.planning.solved import PITCHES, WITHIN, solve
from sequencer.planning.stakes import Moment
from sequencer.planning.suggest import ready
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher

MEN = (
    a_hitter(name="a", contact=1.0, aggressive=-0.5),
    a_hitter(name="b", bats="L", power=1.0, chase=0.7),
)
#: Nine last pitches, and two things that pay, so that a call can be met in four ways.
NINE = Memory(
    lambda seen: f"{seen.speed} {seen.side} {seen.height}",
    (
        *lasts.USUAL.effects,
        Effect("eye level", lambda last, now: {last.height, now.height} == {"up", "down"},
               lambda _: 0.1),
    ),
)  # fmt: skip


def whole(game: Tables, trust: float = 0.0) -> AtBatTables:
    """The same game as whole arrays."""
    return at_bat_tables(
        game.outcomes, game.end_runs, game.next_last, game.stakes.walk, game.stakes.strikeout,
        game.stakes.hit_by_pitch, call_runs=game.call_runs,
        habit=game.habit if trust else None, trust=trust, allowed=game.allowed,
    )  # fmt: skip


@cache
def a_game(memory: Memory = lasts.USUAL, spread: float = 9.3) -> Tables:
    thrower, around = a_pitcher(spread=spread), context(LEVEL)
    return tables(
        MEN, thrower, a_league(), calls_for(thrower.arsenal), around.stakes(a_league()),
        around.level.zone, memory=memory,
    )  # fmt: skip


# factors


@settings(max_examples=15, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    memory=st.sampled_from([lasts.USUAL, NINE]),
    trust=st.sampled_from([0.0, 0.4]),
    count=st.sampled_from(list(np.ndindex(4, 3))),
)
def test_stages_read_from_factors_are_those_of_whole_arrays(
    seed: int, memory: Memory, trust: float, count: tuple[int, int]
) -> None:
    game = a_game(memory)
    factored, dense = game.game(trust), whole(game, trust)
    rng = np.random.default_rng(seed)
    values = factored.blank_values()
    values[:, :4, :3] = rng.normal(0.0, 0.2, (2, 4, 3, len(game.lasts)))
    np.testing.assert_allclose(
        factored.stage(values, *count), dense.stage(values, *count), rtol=0, atol=1e-13
    )
    mix = rng.dirichlet(np.ones(len(game.calls)), (2, 4, 3, len(game.lasts)))
    np.testing.assert_allclose(
        evaluate_tables(factored, mix, game.habit).value,
        evaluate_tables(dense, mix, game.habit).value,
        rtol=0, atol=1e-12,
    )  # fmt: skip


def test_a_state_and_the_terms_of_a_pitch_are_those_of_whole_arrays() -> None:
    game = a_game(NINE)
    last = len(game.lasts) - 1
    outcomes, runs = game.state(1, 2, 1, last)
    np.testing.assert_allclose(outcomes, game.outcomes[1, 2, 1, last], rtol=0, atol=1e-14)
    np.testing.assert_allclose(runs, game.end_runs[1, 2, 1, last], rtol=0, atol=1e-14)
    here = game.outcomes[:, :, :, last]
    fixed = here[..., 3] * game.end_runs[:, :, :, last] + game.call_runs[:, :, :, last]
    fixed += here[..., 4] * game.stakes.hit_by_pitch
    terms = game.terms(last)
    np.testing.assert_allclose(terms[:, :, :, :, 3], fixed, rtol=0, atol=1e-14)
    np.testing.assert_allclose(terms[:, :, :, :, 0], here[..., 0], rtol=0, atol=1e-14)


def test_whole_arrays_are_chances() -> None:
    outcomes = a_game().outcomes
    assert outcomes.min() >= -1e-12
    np.testing.assert_allclose(outcomes.sum(axis=-1), 1.0, rtol=0, atol=1e-12)


# beliefs


@pytest.mark.parametrize("worth", [0.3, 0.56])
def test_any_belief_is_read_from_the_nodes(worth: float) -> None:
    expected = np.linspace(beliefs.LOWEST, beliefs.HIGHEST, 500)
    for side in (beliefs.FAST, beliefs.SOFT):
        weights = beliefs.weights(expected, side)
        nats = beliefs.nats(expected, side)
        for odds in (-2.5, -1.0, 0.5):
            at_nodes, there = (
                1.0 / (1.0 + np.exp(odds + worth * x)) / (1.0 + np.exp(0.16 * x - 0.3))
                for x in (beliefs.SURPRISES, nats)
            )
            assert np.abs(weights @ at_nodes - there).max() < 1e-6 * (worth / 0.3) ** 3


def test_no_two_looks_share_a_name() -> None:
    names = [str(every_look.look_of(number)) for number in range(1 + 2 * every_look.SWINGS)]
    assert len(set(names)) == len(names)
    assert {str(look) for look in LOOKS} <= set(names)
    assert str(Look("drive", 0.5, "in")) == "drive 0.50 in"
    assert str(Look("drive", 0.505, "in")) == "drive 0.505 in"


def test_where_games_begin_is_on_the_lattice() -> None:
    assert set(BELIEFS) <= set(LATTICE)
    numbers = np.arange(1 + 2 * every_look.SWINGS)
    ceiling, usual = np.full(1, 0.3), np.zeros((2, 1, columns(LOOKS).weights.shape[1]))
    found = every_look.weigh(numbers[None], ceiling, usual)[:, 0]
    for number in (1, 200, 900, 1200, 2000):
        look = every_look.look_of(number)
        swing = columns([look]).weights[..., 0]
        held = 0.7 * swing if look.readiness == "take" else swing
        held[:, 0] = 0.3 if look.readiness == "take" else 0.0
        np.testing.assert_allclose(found[..., number], held, rtol=0, atol=1e-14)


# looks taken in


def on_a_grid(game: Tables, sizes: int) -> Tables:
    """The game on so many beliefs of every kind of swing, each also as a taker's rest."""
    grid = np.linspace(beliefs.LOWEST, beliefs.HIGHEST, sizes)
    swings = [Look(ready, float(b), area) for ready, area in KINDS for b in grid]
    rests = [Look("take", look.belief, look.area, look.readiness) for look in swings]
    return game.with_looks(tuple(dict.fromkeys([*LOOKS, *swings, *rests])))


def small(moment: Moment | None = None, patience: float | None = None) -> Tables:
    around = context(LEVEL, moment=moment)
    league = a_league()
    if patience is not None:
        league = replace(league, patience=patience)
    return game_for(MEN[:1], a_pitcher(spread=10.0), league, around)


@pytest.mark.parametrize(
    ("moment", "patience"),
    [(None, None), (Moment(("a", "", "c"), 1), None), (None, 1.0), (None, 0.0)],
)
def test_no_finer_grid_of_beliefs_is_worth_a_millionth_of_a_run(
    moment: Moment | None, patience: float | None
) -> None:
    game = small(moment, patience)
    ours = solve_tables(game.game())
    finer = solve_tables(whole(on_a_grid(game, 201)))
    coarse = solve_tables(whole(game))
    assert np.abs(ours.value - finer.value).max() < 1e-6
    assert ours.gap.max() < 1e-7
    assert (ours.value >= coarse.value - 1e-9).all()
    lost = float((ours.value - coarse.value)[0, 0, 0, 0])
    assert 2e-5 < lost < 5e-4  # what eleven beliefs were off by


@settings(max_examples=8, deadline=None)
@given(st.sets(st.integers(0, len(LOOKS) - 1), min_size=1, max_size=60), st.integers(0, 59))
def test_adding_looks_never_lowers_the_value(some: set[int], first: int) -> None:
    game = small()
    order = sorted(some, key=lambda i: (i * 7919) % 97)
    fewer, more = order[: 1 + first % len(order)], order
    values = [
        solve_tables(whole(game.with_looks([LOOKS[i] for i in kept]))).value
        for kept in (fewer, more)
    ]
    assert (values[1] >= values[0] - 1e-9).all()


def test_what_is_solved_again_on_the_looks_played_is_the_same() -> None:
    game = small()
    solution, grown = solve_every_look(game.game())
    assert solution.looks.shape[-1] == len(grown.looks) >= len(LOOKS)
    assert grown.looks[: len(LOOKS)] == LOOKS
    used = np.flatnonzero(solution.looks.any(axis=(0, 1, 2, 3)))
    kept = game.with_looks([grown.looks[i] for i in used])
    again = solve_tables(whole(kept))
    assert np.abs(again.value - solution.value).max() < 1e-7


def test_the_best_reply_to_a_mix_is_the_best_of_every_look() -> None:
    game = small()
    rng = np.random.default_rng(3)
    mix = rng.dirichlet(np.full(len(game.calls), 0.2), (1, 4, 3, len(game.lasts)))
    best = evaluate_tables(game.game(), mix)
    fine = evaluate_tables(whole(on_a_grid(game, 201)), mix)
    assert np.abs(best.value - fine.value).max() < 1e-6
    named = game.with_looks(best.names)
    played = evaluate_tables(whole(named), mix, best.looks)
    assert np.abs(best.value - played.value).max() < 1e-9


@pytest.mark.parametrize("trust", [0.0, 0.3, 0.8])
def test_a_plan_gives_up_no_more_for_spread_than_it_may(trust: float) -> None:
    solved = solve(a_game(), trust)
    assert solved.gap.max() < 1e-6
    given_up = (solved.worth - solved.value)[:, 0, 0, 0]
    assert (given_up >= -1e-7).all() and given_up.max() <= WITHIN
    assert (solved.guarantee >= solved.safe - 1e-7).all()


@pytest.mark.parametrize(("count", "trust"), [((2, 1), 0.0), ((0, 2), 0.5), ((3, 0), 0.0)])
def test_a_game_in_progress_is_solved_as_the_whole_one_in_the_counts_still_to_come(
    count: tuple[int, int], trust: float
) -> None:
    whole_game, here = solve(a_game(), trust), solve(a_game(), trust, since=count)
    ahead = np.s_[:, count[0] :, count[1] :]
    np.testing.assert_allclose(here.value[ahead], whole_game.value[ahead], rtol=0, atol=2e-6)
    np.testing.assert_allclose(here.safe[ahead], whole_game.safe[ahead], rtol=0, atol=2e-6)
    assert (here.mix[ahead].sum(axis=-1) > 0.999).all()
    now = (here.worth - here.value)[:, count[0], count[1]]
    assert now.max() <= WITHIN
    assert here.reaches(*count) and not here.reaches(0, 0)


def test_long_at_bats_give_up_no_more_for_spread_than_they_may() -> None:
    wild = a_pitcher(level="pro", spread=12.0)
    patient = [a_hitter(level="pro", name=str(n), chase=-2.0, protect=n) for n in (0.0, 3.0)]
    game = game_for(patient, wild, a_league("pro"), context("pro"))
    solved = solve(game)
    first = spread_open(game.game(), solved.found, np.full(2, WITHIN / PITCHES))
    assert (leaning_worth(game.game(), first) - solved.value)[:, 0, 0, 0].max() > WITHIN
    assert (solved.guarantee - solved.safe)[:, 0, 0, 0].max() <= WITHIN


def test_what_a_mix_is_worth_leaning_is_between_the_reply_and_the_habit() -> None:
    game, mix = a_game(), solve(a_game()).mix
    reply = leaning_worth(game.game(), mix)
    np.testing.assert_allclose(reply, evaluate_tables(game.game(), mix).value, rtol=0, atol=1e-12)
    drawn = leaning_worth(game.game(1.0), mix)
    habit = evaluate_tables(game.game(), mix, game.habit).value
    np.testing.assert_allclose(drawn, habit, rtol=0, atol=1e-12)
    half = leaning_worth(game.game(0.5), mix)
    assert ((half <= reply + 1e-12) & (half >= drawn - 1e-12)).all()


def test_trust_solves_the_game_in_which_the_habit_is_drawn_so_often() -> None:
    game = small()
    ours = solve_tables(game.game(0.6))
    finer = solve_tables(whole(on_a_grid(game, 101), 0.6))
    assert np.abs(ours.value - finer.value).max() < 2e-6


def test_mirrored_hitters_get_mirrored_plans() -> None:
    for spread in (8.0, 10.0):
        right, left = (
            plan([a_hitter(bats=bats)], a_pitcher(spread=spread, throws=bats), a_league())
            for bats in "RL"
        )
        np.testing.assert_allclose(right.solved.value, left.solved.value, rtol=0, atol=1e-9)
        np.testing.assert_allclose(right.solved.mix, left.solved.mix, rtol=0, atol=2e-3)


# the file


@pytest.mark.parametrize("trust", [0.0, 0.5])
def test_a_file_of_tables_is_solved_again_to_its_value_by_anyone(
    trust: float, tmp_path: Path
) -> None:
    made = plan([*MEN], a_pitcher(spread=9.3), a_league(), trust=trust)
    made.save_tables(tmp_path / "game.npz")
    file = np.load(tmp_path / "game.npz")
    assert len(set(file["looks"])) == file["outcomes"].shape[5] == len(file["looks"])
    for h in range(2):
        given_ = (
            file["outcomes"][h], file["end_runs"][h], file["next_last"],
            float(file["walk"]), float(file["strikeout"]), float(file["hit_by_pitch"]),
        )  # fmt: skip
        again = solve_at_bat(
            *given_, call_runs=file["call_runs"][h], habit=file["habit"][h], trust=trust,
            allowed=file["allowed"][h],
        )  # fmt: skip
        assert np.abs(again.value - file["value"][h]).max() < 1e-6
        best = evaluate_at_bat(*given_, file["mix"][h], call_runs=file["call_runs"][h])
        assert np.abs(best.value - made.solved.guarantee[h]).max() < 1e-6


# what the last pitch showed


def test_last_pitches_after_which_nothing_pays_are_one_with_none() -> None:
    calls = (Call("fastball", "away"), Call("fastball", "middle"), Call("changeup", "low-away"))
    found = lasts_of(calls, ("fast", "fast", "off-speed"), lasts.USUAL, context(LEVEL).assumed)
    assert found.names == ("none", "fast away", "soft away")
    assert list(found.next_last) == [1, 0, 2]
    assert found.kinds.tolist() == [[0, 0, 0], [0, 0, 1], [1, 0, 0]]
    assert found.log_odds.tolist() == [0.0, context(LEVEL).assumed.same_side_other_speed]


def test_effects_that_meet_add_up() -> None:
    calls = (Call("fastball", "up-away"), Call("changeup", "down-away"))
    found = lasts_of(calls, ("fast", "off-speed"), NINE, context(LEVEL).assumed)
    both = context(LEVEL).assumed.same_side_other_speed + 0.1
    assert found.log_odds[found.kinds[1]].tolist() == pytest.approx([0.0, both])


def test_a_pitch_shows_what_the_hitter_takes_it_for() -> None:
    assert shown(Call("changeup", "down-away"), "off-speed") == ("soft", "away", "down")
    assert shown(Call("changeup", "high-in"), "fast") == ("fast", "in", "up")
    assert shown(Call("slider", "middle"), "breaking") == ("soft", "middle", "belt")


def test_a_changeup_as_fast_as_the_fastball_is_remembered_as_fast() -> None:
    apart = a_pitcher("fastball", "changeup", "curveball", spread=9.3)
    alike = replace(apart, alike=(Alike("fastball", "changeup"),))
    around: Context = context(LEVEL)
    call = Call("changeup", "away")
    names = [ready(MEN[0], thrower, a_league(), around).solved.tables for thrower in (apart, alike)]
    assert [game.lasts[game.last_of(call)] for game in names] == ["soft away", "fast away"]
    assert names[0].last_of(None) == 0
