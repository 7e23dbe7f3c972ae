"""Batched matrix games: against other solvers, and by what every solution must obey."""

import subprocess
import sys

import nashpy
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from scipy.optimize import linprog

from sequencer.errors import BadInput
from sequencer.planning import matrix_game
from sequencer.planning.arrays import Floats
from sequencer.planning.matrix_game import GameSolution, solve_games

PAYOFFS = hnp.arrays(
    np.float64,
    hnp.array_shapes(min_dims=2, max_dims=2, min_side=1, max_side=7),
    elements=st.floats(-5, 5, width=32) | st.integers(-2, 2).map(float),
)


def value_by_linear_program(game: Floats) -> float:
    calls, looks = game.shape
    result = linprog(
        np.append(np.zeros(calls), 1.0),
        A_ub=np.hstack([game.T, -np.ones((looks, 1))]),
        b_ub=np.zeros(looks),
        A_eq=np.append(np.ones(calls), 0.0)[None],
        b_eq=[1.0],
        bounds=[(0, None)] * calls + [(None, None)],
        method="highs",
    )
    return float(result.fun)


def assert_certified(games: Floats, solution: GameSolution, share: float = 1e-9) -> None:
    """Measure the mixes from scratch: they are mixes, and best replies to them nearly meet."""
    for mix in (solution.calls, solution.looks):
        assert (mix >= 0.0).all()
        np.testing.assert_allclose(mix.sum(axis=1), 1.0, rtol=0, atol=1e-12)
    high = np.einsum("gc,gcl->gl", solution.calls, games).max(axis=1)
    low = np.einsum("gl,gcl->gc", solution.looks, games).min(axis=1)
    size = np.abs(games).max(axis=(1, 2))
    allowance = share * np.ptp(games, axis=(1, 2)) + 1e-13 * size
    assert (high - low <= allowance).all()
    assert (np.abs(high - low - solution.gap) <= 1e-13 * size + 1e-15).all()
    assert (np.abs(solution.value - (high + low) / 2.0) <= 1e-13 * size + 1e-15).all()
    assert (solution.gap >= 0.0).all()


@pytest.mark.parametrize(
    "shape",
    [(40, 3, 3), (40, 52, 10), (40, 10, 52), (20, 45, 66), (4, 30, 300)],
    ids=str,
)
def test_values_agree_with_linear_programs_on_random_games(shape: tuple[int, int, int]) -> None:
    games = np.random.default_rng(5).normal(size=shape)
    solution = solve_games(games)
    expected = [value_by_linear_program(game) for game in games]
    np.testing.assert_allclose(solution.value, expected, rtol=0, atol=1e-8)
    assert_certified(games, solution)


def test_games_that_mix_few_calls_are_solved_by_growing_sets_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rng = np.random.default_rng(6)
    games = rng.normal(size=(30, 60, 1)) + rng.normal(size=(30, 1, 80))
    games += rng.normal(size=(30, 60, 2)) @ rng.normal(size=(30, 2, 80))
    expected = [value_by_linear_program(game) for game in games]

    def fail(*_: object) -> None:
        raise AssertionError("a game was left over")

    monkeypatch.setattr(matrix_game, "_whole", fail)
    solution = solve_games(games)
    np.testing.assert_allclose(solution.value, expected, rtol=0, atol=1e-8)
    assert_certified(games, solution)


def test_values_agree_with_lemke_and_howson() -> None:
    games = np.random.default_rng(7).normal(size=(6, 4, 3))
    for game, value in zip(games, solve_games(games).value, strict=True):
        rows, columns = nashpy.Game(-game, game).lemke_howson(initial_dropped_label=0)
        assert value == pytest.approx(rows @ game @ columns, abs=1e-12)


@pytest.fixture
def no_linear_programs(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise AssertionError("a game was left to a linear program")

    monkeypatch.setattr(matrix_game, "_by_linear_program", fail)


@settings(
    deadline=None,
    max_examples=150,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(PAYOFFS)
@pytest.mark.usefixtures("no_linear_programs")
def test_every_game_is_certified(game: Floats) -> None:
    assert_certified(game[None], solve_games(game[None]))


@settings(deadline=None, max_examples=60)
@given(PAYOFFS, st.floats(-10, 10), st.floats(0.1, 10))
def test_adding_runs_adds_to_the_value_and_scaling_scales_it(
    game: Floats, more: float, times: float
) -> None:
    plain, changed = solve_games(np.stack([game, times * game + more])).value
    assert changed == pytest.approx(times * plain + more, abs=1e-8)


@settings(deadline=None, max_examples=60)
@given(PAYOFFS)
def test_the_sides_can_be_exchanged(game: Floats) -> None:
    there, back = solve_games(game[None]), solve_games(-game.T[None])
    assert back.value[0] == pytest.approx(-there.value[0], abs=1e-8)


@settings(deadline=None, max_examples=60)
@given(PAYOFFS, st.floats(0.01, 3))
def test_a_worse_copy_of_a_call_or_look_changes_nothing(game: Floats, worse: float) -> None:
    value = solve_games(game[None]).value[0]
    with_call = solve_games(np.vstack([game, game[:1] + worse])[None])
    with_look = solve_games(np.hstack([game, game[:, :1] - worse])[None])
    assert with_call.value[0] == pytest.approx(value, abs=1e-8)
    assert with_look.value[0] == pytest.approx(value, abs=1e-8)


@pytest.mark.parametrize("apart", [0.0, 1e-12, 1e-9, 1e-8, 1e-7, 1e-6])
@pytest.mark.parametrize("both", [False, True], ids=["calls", "calls and looks"])
@pytest.mark.usefixtures("no_linear_programs")
def test_near_duplicates_are_solved_to_the_same_certificate(apart: float, both: bool) -> None:
    rng = np.random.default_rng(8)
    games = rng.normal(size=(30, 6, 50))[:, rng.integers(0, 6, 60)]
    if both:
        games = games[:, :, rng.integers(0, 8, 50)]
    games = games + rng.normal(size=games.shape) * apart
    assert_certified(games, solve_games(games))


@pytest.mark.parametrize(
    ("name", "games"),
    [
        ("one cell", np.array([[[3.5]], [[-2.0]]])),
        ("one call", np.array([[[1.0, 4.0, 2.0]]])),
        ("one look", np.array([[[1.0], [4.0], [-2.0]]])),
        ("all the same", np.full((3, 30, 40), -0.27)),
        ("nought", np.zeros((2, 20, 20))),
        ("whole numbers", np.random.default_rng(9).integers(-1, 2, (40, 30, 30)).astype(float)),
        ("a huge offset", np.random.default_rng(9).normal(size=(20, 30, 30)) + 1e9),
        ("tiny", np.random.default_rng(9).normal(size=(20, 30, 30)) * 1e-14),
        ("a spike", np.random.default_rng(9).normal(size=(5, 20, 9)) + 1e7 * np.eye(20, 9)),
        ("no draw", np.tile(np.triu(np.ones((25, 25))) - np.tril(np.ones((25, 25))), (2, 1, 1))),
    ],
    ids=lambda item: item if isinstance(item, str) else "",
)
@pytest.mark.usefixtures("no_linear_programs")
def test_awkward_games_are_certified(name: str, games: Floats) -> None:
    assert_certified(games, solve_games(games))


@pytest.mark.parametrize("shape", [(6, 12, 10), (6, 30, 30)], ids=str)
def test_a_mad_payoff_that_nobody_plays_costs_no_digits(shape: tuple[int, int, int]) -> None:
    games = np.random.default_rng(10).normal(size=shape)
    mad = np.concatenate([games, np.full((6, 1, shape[2]), 1e12)], axis=1)
    mad[:, 0, 0], mad[:, 0, 1:] = 1e12, 5e11
    games[:, 0] = 100.0
    np.testing.assert_allclose(solve_games(mad).value, solve_games(games).value, atol=1e-9)
    assert solve_games(mad).gap.max() < 1e-9


def test_saddle_points_are_pure() -> None:
    solution = solve_games([[[2.0, 1.0], [3.0, -1.0]]])
    assert solution.value[0] == 2.0
    assert solution.calls.tolist() == [[1.0, 0.0]]
    assert solution.looks.tolist() == [[1.0, 0.0]]
    assert solution.gap[0] == 0.0


@pytest.mark.parametrize("calls", [6, 40])
def test_calls_that_are_not_allowed_get_exactly_nought(calls: int) -> None:
    rng = np.random.default_rng(11)
    games, allowed = rng.normal(size=(20, calls, 30)), rng.random((20, calls)) < 0.5
    allowed[:, 0] = True
    solution = solve_games(games, allowed)
    assert (solution.calls[~allowed] == 0.0).all()
    expected = [value_by_linear_program(g[a]) for g, a in zip(games, allowed, strict=True)]
    np.testing.assert_allclose(solution.value, expected, rtol=0, atol=1e-8)


def test_no_games_give_no_solutions() -> None:
    solution = solve_games(np.zeros((0, 4, 3)))
    assert solution.value.shape == (0,)
    assert solution.calls.shape == (0, 4)
    assert solution.looks.shape == (0, 3)


def test_the_same_games_get_the_same_mixes() -> None:
    games = np.random.default_rng(12).normal(size=(10, 40, 40))
    assert (solve_games(games).calls == solve_games(games.copy()).calls).all()


def test_linear_programs_stand_in_for_a_simplex_that_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    games = np.random.default_rng(13).normal(size=(3, 5, 4))

    def uniform(game: Floats, *_: object) -> tuple[Floats, Floats]:
        return np.full(game.shape[:2], 1 / game.shape[1]), np.full(game.shape[::2], 0.25)

    for solver in ("solve_tableaux", "solve_with_care"):
        monkeypatch.setattr(matrix_game, solver, uniform)
    assert_certified(games, solve_games(games))


def test_a_game_that_nothing_solves_is_left_with_safe_mixes_and_an_honest_gap(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nothing(game: Floats, *_: object) -> tuple[Floats, Floats]:
        return np.full(game.shape[:2], np.nan), np.full(game.shape[::2], np.nan)

    for solver in ("solve_tableaux", "solve_with_care"):
        monkeypatch.setattr(matrix_game, solver, nothing)
    monkeypatch.setattr(matrix_game, "_by_linear_program", lambda *_: None)
    solution = solve_games([[[1.0, -1.0], [-1.0, 2.0]]])
    assert solution.calls.tolist() == [[1.0, 0.0]]
    assert solution.looks.tolist() == [[1.0, 0.0]]
    assert solution.gap[0] == 2.0


def test_solving_imports_no_scipy() -> None:
    code = (
        "import sys, numpy as np; from sequencer.planning.matrix_game import solve_games;"
        "solve_games(np.random.default_rng(0).normal(size=(9, 40, 40)));"
        "sys.exit('scipy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("payoffs", "says"),
    [
        ([[1.0, 2.0]], "shape"),
        (np.zeros((3, 0, 2)), "at least one call"),
        (np.zeros((3, 2, 0)), "at least one call"),
        ([[[1.0, float("nan")]]], "game, call, look 0, 0, 1 is nan"),
        ([[[1.0], [float("inf")]]], "game, call, look 0, 1, 0 is inf"),
        ([[["high"]]], "must be numbers"),
        ([[[1.0, 2.0], [3.0]]], "must be numbers"),
    ],
)
def test_what_is_no_game_is_refused_in_a_sentence(payoffs: list[object], says: str) -> None:
    with pytest.raises(BadInput, match=says) as caught:
        solve_games(payoffs)  # type: ignore[arg-type]
    assert isinstance(caught.value, ValueError)


def test_a_game_without_an_allowed_call_is_refused() -> None:
    with pytest.raises(BadInput, match="Game 1 has no allowed call"):
        solve_games(np.zeros((2, 2, 2)), [[True, False], [False, False]])
    with pytest.raises(BadInput, match="must fit"):
        solve_games(np.zeros((2, 2, 2)), [True, False, True])
