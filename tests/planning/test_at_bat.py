"""The at-bat game: against the equations it must obey, other ways to value it, and its edges."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.errors import BadInput
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.at_bat import (
    AtBatSolution,
    AtBatValue,
    at_bat_tables,
    evaluate_at_bat,
    evaluate_tables,
    solve_at_bat,
    solve_tables,
)
from sequencer.planning.matrix_game import solve_games

WALK, STRIKEOUT, HIT = 0.31, -0.27, 0.33


@dataclass(frozen=True)
class Game:
    """Tables of one at-bat, as a planner would hand them over."""

    outcomes: Floats
    end_runs: Floats
    next_last: Ints
    call_runs: Floats
    habit: Floats

    def solve(self, trust: float = 0.0) -> AtBatSolution:
        return solve_at_bat(
            self.outcomes, self.end_runs, self.next_last, WALK, STRIKEOUT, HIT,
            call_runs=self.call_runs, habit=self.habit, trust=trust,
        )  # fmt: skip

    def value_of(self, mix: Floats, looks: Floats | None = None) -> AtBatValue:
        return evaluate_at_bat(
            self.outcomes, self.end_runs, self.next_last, WALK, STRIKEOUT, HIT,
            mix, call_runs=self.call_runs, looks_policy=looks,
        )  # fmt: skip


def random_game(seed: int, lasts: int = 3, calls: int = 6, looks: int = 5) -> Game:
    rng = np.random.default_rng(seed)
    shape = (4, 3, lasts, calls, looks)
    return Game(
        outcomes=rng.dirichlet([2.0, 2.0, 2.0, 1.5, 0.05], size=shape),
        end_runs=rng.normal(0.05, 0.2, size=shape),
        next_last=rng.integers(0, lasts, calls),
        call_runs=rng.normal(0.0, 0.01, size=shape),
        habit=rng.dirichlet(np.ones(looks), size=(4, 3, lasts)),
    )


def stage(game: Game, value: Floats, balls: int, strikes: int, last: int) -> Floats:
    """Runs of every call against every look, spelled out from the rules of the count."""
    calls, looks = game.outcomes.shape[3:5]
    payoffs = np.zeros((calls, looks))
    for call in range(calls):
        after = int(game.next_last[call])
        ball = WALK if balls == 3 else value[balls + 1, strikes, after]
        strike = STRIKEOUT if strikes == 2 else value[balls, strikes + 1, after]
        foul = value[balls, 2, after] if strikes == 2 else strike
        for look in range(looks):
            where = balls, strikes, last, call, look
            runs = np.array([ball, strike, foul, game.end_runs[where], HIT])
            payoffs[call, look] = game.outcomes[where] @ runs + game.call_runs[where]
    return payoffs


def states(game: Game) -> list[tuple[int, int, int]]:
    return list(np.ndindex(4, 3, game.outcomes.shape[2]))


def against_one_look(game: Game, looks: Floats) -> Game:
    """The same at-bat with one look, drawn from ``looks`` unseen."""
    shares = looks[..., None, :]
    outcomes = (game.outcomes * shares[..., None]).sum(axis=4, keepdims=True)
    ends = (game.outcomes[..., 3] * game.end_runs * shares).sum(axis=4, keepdims=True)
    return replace(
        game,
        outcomes=outcomes,
        end_runs=ends / outcomes[..., 3],
        call_runs=(game.call_runs * shares).sum(axis=4, keepdims=True),
        habit=np.ones((*looks.shape[:3], 1)),
    )


@pytest.mark.parametrize("trust", [0.0, 0.3, 0.9])
def test_every_state_solves_the_stage_game_of_its_own_values(trust: float) -> None:
    game = random_game(1)
    solution = game.solve(trust)
    for where in states(game):
        payoffs = stage(game, solution.value, *where)
        usual = payoffs @ game.habit[where]
        payoffs = trust * usual[:, None] + (1.0 - trust) * payoffs
        value = solution.value[where]
        assert solve_games(payoffs[None]).value[0] == pytest.approx(value, abs=1e-9)
        assert (solution.mix[where] @ payoffs).max() == pytest.approx(value, abs=1e-9)
        assert (payoffs @ solution.looks[where]).min() == pytest.approx(value, abs=1e-9)
    assert solution.gap.min() >= 0.0
    assert solution.gap.max() < 1e-9


def test_no_trust_is_the_equilibrium_whatever_the_habit() -> None:
    game = random_game(2)
    plain = solve_at_bat(
        game.outcomes, game.end_runs, game.next_last, WALK, STRIKEOUT, HIT, game.call_runs
    )
    np.testing.assert_allclose(game.solve(0.0).value, plain.value, rtol=0, atol=1e-12)


def test_full_trust_is_the_best_reply_to_the_habit() -> None:
    game = random_game(3)
    best_reply = against_one_look(game, game.habit).solve()
    np.testing.assert_allclose(game.solve(1.0).value, best_reply.value, rtol=0, atol=1e-9)
    np.testing.assert_allclose(game.solve(0.999).value, best_reply.value, rtol=0, atol=2e-3)
    played = game.value_of(game.solve(1.0).mix, game.habit)
    np.testing.assert_allclose(played.value, best_reply.value, rtol=0, atol=1e-9)


def test_trust_gains_against_the_habit_and_loses_to_a_best_reply() -> None:
    game = random_game(4)
    plans = [game.solve(trust).mix for trust in (0.0, 0.3, 0.6, 0.9)]
    if_right = [game.value_of(mix, game.habit).value[0, 0, 0] for mix in plans]
    if_wrong = [game.value_of(mix).value[0, 0, 0] for mix in plans]
    assert (np.diff(if_right) < 1e-9).all()
    assert if_right[-1] < if_right[0] - 1e-3
    assert (np.diff(if_wrong) > -1e-9).all()
    assert if_wrong[-1] > if_wrong[0] + 1e-3


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10_000))
def test_no_fixed_mix_beats_the_value_and_no_looks_beat_the_best_mix(seed: int) -> None:
    game = random_game(seed, lasts=2, calls=4, looks=4)
    rng, solution = np.random.default_rng(seed), game.solve()
    some_mix = rng.dirichlet(np.ones(4) * 0.5, size=(4, 3, 2))
    assert (game.value_of(some_mix).value >= solution.value - 1e-9).all()
    best = game.value_of(solution.mix)
    np.testing.assert_allclose(best.value, solution.value, rtol=0, atol=1e-9)
    given_looks = game.value_of(solution.mix, game.habit)
    assert (given_looks.value <= solution.value + 1e-9).all()
    assert (game.value_of(some_mix, solution.looks).value >= solution.value - 1e-9).all()


def test_a_best_reply_is_worth_what_playing_it_out_is_worth() -> None:
    game = random_game(5)
    mix = np.random.default_rng(5).dirichlet(np.ones(6), size=(4, 3, 3))
    best = game.value_of(mix)
    assert set(np.unique(best.looks)) == {0.0, 1.0}
    for where in states(game):
        looks = mix[where] @ stage(game, best.value, *where)
        assert looks.max() == pytest.approx(best.value[where], abs=1e-9)
    again = game.value_of(mix, best.looks)
    np.testing.assert_allclose(again.value, best.value, rtol=0, atol=1e-12)


def test_given_looks_are_worth_the_mean_over_them() -> None:
    game = random_game(6)
    mix = np.random.default_rng(6).dirichlet(np.ones(6), size=(4, 3, 3))
    played = game.value_of(mix, game.habit)
    for where in states(game):
        runs = mix[where] @ stage(game, played.value, *where) @ game.habit[where]
        assert runs == pytest.approx(played.value[where], abs=1e-12)


def test_several_hitters_are_solved_as_each_alone() -> None:
    games = [random_game(seed) for seed in (7, 8, 9)]
    walks = np.array([0.2, 0.3, 0.4])
    tables = at_bat_tables(
        np.stack([g.outcomes for g in games]),
        np.stack([g.end_runs for g in games]),
        games[0].next_last,
        walks,
        STRIKEOUT,
        HIT,
        allowed=[[True] * 6, [True] * 6, [True, False] * 3],
    )
    together = solve_tables(tables)
    assert together.mix.shape == (3, 4, 3, 3, 6)
    assert (together.mix[2][..., 1::2] == 0.0).all()
    for hitter, game in enumerate(games):
        alone = solve_at_bat(
            game.outcomes,
            game.end_runs,
            games[0].next_last,
            walks[hitter],
            STRIKEOUT,
            HIT,
            allowed=[True, False] * 3 if hitter == 2 else None,
        )
        np.testing.assert_allclose(together.one(hitter).value, alone.value, rtol=0, atol=1e-9)


def test_fewer_allowed_calls_never_help_the_pitcher() -> None:
    game = random_game(10)
    tables = at_bat_tables(
        game.outcomes[None], game.end_runs[None], game.next_last, WALK, STRIKEOUT, HIT
    )
    free = solve_tables(tables)
    bound = solve_tables(
        replace(tables, allowed=np.array([[True, True, False, True, True, False]]))
    )
    assert (bound.value >= free.value - 1e-9).all()
    assert bound.value.max() > free.value.max()
    assert (evaluate_tables(tables, bound.mix).value >= free.value - 1e-9).all()


@pytest.mark.parametrize("fouls", [0.5, 0.99, 0.99999])
def test_a_hitter_who_fouls_nearly_everything_off_is_solved_in_few_steps(
    fouls: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sequencer.planning.staying.STEPS", 20)
    game = random_game(11, lasts=4, calls=12, looks=10)
    rest = game.outcomes * np.array([1.0, 1.0, 0.0, 1.0, 1.0])
    often = np.random.default_rng(11).uniform(0.0, fouls, size=rest.shape[:-1])
    rest *= ((1.0 - often) / rest.sum(axis=-1))[..., None]
    rest[..., 2] = often
    game = replace(game, outcomes=rest)
    solution = game.solve()
    assert solution.gap.max() < 1e-8
    best = game.value_of(solution.mix)
    np.testing.assert_allclose(best.value, solution.value, rtol=0, atol=1e-9)


def test_a_sure_foul_with_two_strikes_does_not_hang() -> None:
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    outcomes[..., 2] = 1.0
    outcomes[..., 1, 1, :] = [0.0, 1.0, 0.0, 0.0, 0.0]
    solution = solve_at_bat(outcomes, np.zeros(outcomes.shape[:-1]), [0, 0], 1.0, -1.0, 0.0)
    assert np.isfinite(solution.value).all()
    assert (solution.value <= 1e-6).all()


@pytest.mark.parametrize("apart", [1e-9, 1e-8, 1e-7, 1e-6])
def test_near_duplicate_calls_and_looks_cost_neither_proof_nor_steps(
    apart: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = np.random.default_rng(12)
    outcomes = rng.dirichlet(np.ones(5), size=(4, 3, 3, 5, 30))
    outcomes = outcomes[:, :, :, rng.integers(0, 5, 40)][:, :, :, :, rng.integers(0, 6, 30)]
    outcomes += np.abs(rng.normal(size=outcomes.shape)) * apart
    outcomes /= outcomes.sum(axis=-1, keepdims=True)
    monkeypatch.setattr("sequencer.planning.staying.STEPS", 20)
    ends, lasts = np.full(outcomes.shape[:-1], 0.1), rng.integers(0, 3, 40)
    solution = solve_at_bat(outcomes, ends, lasts, WALK, STRIKEOUT, HIT)
    assert solution.gap.max() < 1e-9
    best = evaluate_at_bat(outcomes, ends, lasts, WALK, STRIKEOUT, HIT, solution.mix)
    np.testing.assert_allclose(best.value, solution.value, rtol=0, atol=1e-9)


def test_plain_iteration_finds_the_fixed_point_when_newton_fails(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    game = random_game(13)
    expected = game.solve().value

    def astray(*_: object) -> Floats:
        return np.full((1, 3), 50.0)

    monkeypatch.setattr("sequencer.planning.at_bat._Stage.of_both", astray)
    solution = game.solve()
    np.testing.assert_allclose(solution.value, expected, rtol=0, atol=1e-9)
    assert solution.gap.max() < 1e-9


@pytest.mark.parametrize("steps", [1, 2, 5])
def test_the_gap_owns_up_to_values_that_have_not_settled(
    steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    game = random_game(15)
    exact = game.solve().value
    monkeypatch.setattr("sequencer.planning.staying.STEPS", steps)
    monkeypatch.setattr("sequencer.planning.at_bat._Stage.of_both", lambda *_: np.full((1, 3), 9.0))
    cut_short = game.solve()
    off = np.abs(cut_short.value - exact)[3, 2]
    assert off.max() > 1e-6
    assert (off <= cut_short.gap[3, 2]).all()


def solve_changed(**changes: object) -> AtBatSolution:
    game = random_game(14)
    given = {
        "outcomes": game.outcomes,
        "end_runs": game.end_runs,
        "next_last": game.next_last,
        "walk": WALK,
        "strikeout": STRIKEOUT,
        "hit_by_pitch": HIT,
    }
    return solve_at_bat(**(given | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"outcomes": np.zeros((4, 3, 3, 6, 5))}, "shape"),
        ({"outcomes": np.zeros((4, 3, 3, 6, 5, 5))}, r"\(0, 0, 0, 0, 0, 0\) must be prob"),
        ({"outcomes": np.full((4, 3, 0, 6, 5, 5), 0.2)}, "at least one last pitch"),
        ({"outcomes": "hits"}, "must be an array of numbers"),
        ({"end_runs": np.zeros((4, 3, 3, 6, 4))}, "end runs must have the shape"),
        ({"end_runs": np.full((4, 3, 3, 6, 5), np.nan)}, "not a finite number"),
        ({"next_last": [0, 1, 2, 3, 0, 0]}, "one of the 3 lasts"),
        ({"next_last": [0.5] * 6}, "6 whole numbers"),
        ({"walk": float("inf")}, "walk hold something that is not a finite number"),
        ({"trust": 1.5}, "from 0 to 1"),
        ({"trust": 0.5}, "needs the hitter's habit"),
        ({"habit": np.full((4, 3, 3, 5), 0.3)}, "habit at"),
        ({"allowed": [False] * 6}, "no allowed call"),
        ({"allowed": [True] * 5}, "Allowed calls must have the shape"),
    ],
)
def test_tables_that_cannot_be_played_are_refused_in_a_sentence(
    changes: dict[str, object], says: str
) -> None:
    with pytest.raises(BadInput, match=says):
        solve_changed(**changes)
