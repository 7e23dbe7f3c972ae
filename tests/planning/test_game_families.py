"""Families of games that trip solvers, held against linear programs solved to ten digits."""

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import linprog

from sequencer.cli.bench_games import plan_like
from sequencer.planning import growing, matrix_game
from sequencer.planning.arrays import Floats
from sequencer.planning.matrix_game import solve_checked, solve_games
from sequencer.planning.members import spread_out, stand_ins, used
from sequencer.planning.simplex import solve_tableaux

Rng = np.random.Generator
Shape = tuple[int, int, int]

SHAPES: list[Shape] = [(4, 5, 5), (4, 12, 9), (3, 40, 8), (3, 8, 40), (3, 24, 30)]


def value_by_linear_program(game: Floats) -> float:
    """Value of one game, scaled to payoffs from 0 to 1 so that tolerances are shares of its range.

    The unscaled program would keep 1e-7 of errors at best, more than is asked for here.
    """
    low, width = game.min(), np.ptp(game) or 1.0
    calls, looks = game.shape
    solved = linprog(
        np.append(np.zeros(calls), 1.0),
        A_ub=np.hstack([((game - low) / width).T, -np.ones((looks, 1))]),
        b_ub=np.zeros(looks),
        A_eq=np.append(np.ones(calls), 0.0)[None],
        b_eq=[1.0],
        bounds=[(0, None)] * calls + [(None, None)],
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    return float(solved.fun * width + low)


def near_duplicates(rng: Rng, shape: Shape, apart: float) -> Floats:
    few = rng.normal(size=(shape[0], 4, 4))
    games = few[:, rng.integers(0, 4, shape[1])][:, :, rng.integers(0, 4, shape[2])]
    return games + apart * rng.normal(size=shape)


def dominated(rng: Rng, shape: Shape) -> Floats:
    """Half of the calls are worse copies of others, half of the looks likewise."""
    games = rng.normal(size=shape)
    games[:, shape[1] // 2 :] = games[:, : shape[1] - shape[1] // 2] + rng.uniform(0, 1)
    games[:, :, shape[2] // 2 :] = games[:, :, : shape[2] - shape[2] // 2] - rng.uniform(0, 1)
    return games


def saddles(rng: Rng, shape: Shape) -> Floats:
    calls, looks = rng.normal(size=(*shape[:2], 1)), rng.normal(size=(shape[0], 1, shape[2]))
    return np.asarray(calls + looks)


def degenerate(rng: Rng, shape: Shape) -> Floats:
    """Low rank in whole numbers: many bases give one solution."""
    left, right = rng.integers(-2, 3, (*shape[:2], 2)), rng.integers(-2, 3, (shape[0], 2, shape[2]))
    return np.asarray((left @ right).astype(float))


FAMILIES: dict[str, Callable[[Rng, Shape], Floats]] = {
    "random": lambda rng, shape: rng.normal(size=shape),
    "tied": lambda rng, shape: rng.normal(size=shape).round(1),
    "whole numbers": lambda rng, shape: rng.integers(-2, 3, shape).astype(float),
    "nought or one": lambda rng, shape: rng.integers(0, 2, shape).astype(float),
    "sparse": lambda rng, shape: rng.normal(size=shape) * (rng.random(shape) < 0.1),
    "saddle": saddles,
    "dominated": dominated,
    "degenerate": degenerate,
    "copies": lambda rng, shape: near_duplicates(rng, shape, 0.0),
    "copies 1e-9 apart": lambda rng, shape: near_duplicates(rng, shape, 1e-9),
    "copies 1e-8 apart": lambda rng, shape: near_duplicates(rng, shape, 1e-8),
    "copies 1e-7 apart": lambda rng, shape: near_duplicates(rng, shape, 1e-7),
    "copies 1e-6 apart": lambda rng, shape: near_duplicates(rng, shape, 1e-6),
    "constant": lambda rng, shape: np.full(shape, rng.normal()),
    "far from nought": lambda rng, shape: rng.normal(size=shape) + 1e7,
    "tiny": lambda rng, shape: rng.normal(size=shape) * 1e-9,
    "heavy tails": lambda rng, shape: rng.standard_cauchy(shape),
}


@pytest.fixture
def no_linear_programs(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise AssertionError("a game was left to a linear program")

    monkeypatch.setattr(matrix_game, "_by_linear_program", fail)


def assert_solved(games: Floats) -> None:
    solution = solve_games(games)
    expected = np.array([value_by_linear_program(game) for game in games])
    width = np.ptp(games, axis=(1, 2))
    high = np.einsum("gc,gcl->gl", solution.calls, games).max(axis=1)
    low = np.einsum("gl,gcl->gc", solution.looks, games).min(axis=1)
    rounding = 1e-14 * np.abs(games).max()
    assert (np.abs(solution.value - expected) <= 1e-8 * width + rounding).all()
    assert (solution.gap <= 1e-6).all()
    assert (high - low <= 1e-9 * width + rounding).all()
    assert np.abs(solution.gap - (high - low)).max() <= 2 * rounding


@pytest.mark.parametrize("shape", SHAPES, ids=str)
@pytest.mark.parametrize("family", list(FAMILIES))
@pytest.mark.usefixtures("no_linear_programs")
def test_values_are_those_of_linear_programs(family: str, shape: Shape) -> None:
    assert_solved(FAMILIES[family](np.random.default_rng(len(family)), shape))


@pytest.mark.parametrize(
    "shape", [(5, 1, 9), (5, 9, 1), (5, 1, 1), (5, 1, 30), (5, 30, 1)], ids=str
)
@pytest.mark.parametrize("family", ["random", "whole numbers", "constant", "tied"])
@pytest.mark.usefixtures("no_linear_programs")
def test_single_rows_and_columns_are_solved(family: str, shape: Shape) -> None:
    assert_solved(FAMILIES[family](np.random.default_rng(3), shape))


@pytest.mark.usefixtures("no_linear_programs")
def test_games_of_the_shape_of_plans_are_solved() -> None:
    games = plan_like(3)
    assert_solved(games)
    assert_solved(games.transpose(0, 2, 1)[:, ::11])
    assert_solved(games[:, ::2, ::50])


def test_plan_like_games_mix_as_few_calls_as_plans_do() -> None:
    solution = solve_games(plan_like(20))
    mixed = (solution.calls > 1e-9).sum(axis=1)
    assert mixed.max() <= 4
    assert 1.9 <= mixed.mean() <= 2.7


@pytest.mark.parametrize("moved", [0.0, 1e-9, 1e-6, 1e-3, 1e-1])
@pytest.mark.parametrize("shape", [(12, 52, 10), (12, 17, 97)], ids=str)
def test_a_start_near_by_or_far_off_gives_the_same_values(moved: float, shape: Shape) -> None:
    rng = np.random.default_rng(21)
    games, mask = rng.normal(size=shape), np.ones(shape[:2], dtype=bool)
    mask[::2, 1::3] = False
    near = solve_checked(games, mask)
    games = games + moved * rng.normal(size=shape)
    warm = solve_checked(games, mask, (near.calls, near.looks))
    np.testing.assert_allclose(warm.value, solve_checked(games, mask).value, rtol=0, atol=1e-9)
    assert (warm.calls[~mask] == 0.0).all()
    assert warm.gap.max() < 1e-9


def test_a_start_on_calls_that_are_not_allowed_is_no_harm() -> None:
    rng = np.random.default_rng(22)
    games, mask = rng.normal(size=(8, 20, 30)), np.ones((8, 20), dtype=bool)
    free = solve_checked(games, mask)
    mask &= free.calls == 0.0
    bound = solve_checked(games, mask, (free.calls, free.looks))
    expected = [value_by_linear_program(g[m]) for g, m in zip(games, mask, strict=True)]
    np.testing.assert_allclose(bound.value, expected, rtol=0, atol=1e-8)
    assert (bound.calls[~mask] == 0.0).all()


def test_a_game_keeps_its_solution_beside_others() -> None:
    games = np.random.default_rng(23).normal(size=(40, 20, 25))
    together = solve_games(games).value
    alone = [solve_games(game[None]).value[0] for game in games]
    np.testing.assert_allclose(together, alone, rtol=0, atol=1e-12)


def test_a_run_that_loses_its_digits_is_never_taken_for_a_proof(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nothing(game: Floats, *_: object, **__: object) -> tuple[Floats, Floats]:
        return np.full(game.shape[:2], np.nan), np.full(game.shape[::2], np.nan)

    for room, solver in (
        (growing, "solve_tableaux"),
        (matrix_game, "solve_tableaux"),
        (matrix_game, "solve_with_care"),
    ):
        monkeypatch.setattr(room, solver, nothing)
    monkeypatch.setattr(matrix_game, "_by_linear_program", lambda *_: None)
    games = np.random.default_rng(26).normal(size=(5, 20, 30))
    solution = solve_games(games)
    assert (solution.calls.max(axis=1) == 1.0).all()
    assert (solution.looks.max(axis=1) == 1.0).all()
    high = np.einsum("gc,gcl->gl", solution.calls, games).max(axis=1)
    low = np.einsum("gl,gcl->gc", solution.looks, games).min(axis=1)
    assert (solution.gap > 0.1).all()
    np.testing.assert_allclose(solution.gap, high - low, rtol=0, atol=1e-14)


def test_what_is_given_is_not_written_to() -> None:
    games = np.random.default_rng(24).normal(size=(6, 30, 9)) + 5.0
    before = games.copy()
    solve_games(games)
    solve_games(np.ascontiguousarray(games.transpose(0, 2, 1)))
    assert (games == before).all()


def test_rows_and_columns_that_are_off_get_exactly_nought() -> None:
    rng = np.random.default_rng(25)
    games = rng.normal(size=(10, 6, 9))
    rows_on, columns_on = rng.random((10, 6)) < 0.6, rng.random((10, 9)) < 0.6
    rows_on[:, 2] = columns_on[:, 4] = True
    rows, columns = solve_tableaux(games, rows_on, columns_on)
    assert (rows[~rows_on] == 0.0).all()
    assert (columns[~columns_on] == 0.0).all()
    for k, game in enumerate(games):
        expected = value_by_linear_program(game[rows_on[k]][:, columns_on[k]])
        assert rows[k] @ game @ columns[k] == pytest.approx(expected, abs=1e-9)


def test_sets_fill_up_with_members_at_no_weight() -> None:
    mix = np.array([[0.0, 0.25, 0.0, 0.75], [0.0, 0.0, 1.0, 0.0]])
    members, weights = used(mix)
    assert members.tolist() == [[1, 3], [2, 2]]
    assert weights.tolist() == [[0.25, 0.75], [1.0, 0.0]]
    assert (spread_out(weights, members, 4) == mix).all()
    assert np.isnan(used(np.array([[np.nan, np.nan]]))[1]).all()
    assert stand_ins(np.array([[False, True, False, True]])).tolist() == [[1, 1, 1, 3]]
