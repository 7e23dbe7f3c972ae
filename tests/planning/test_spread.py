"""The most spread mix among ties: inside its limit, and the one that exact methods find."""

import numpy as np
import pytest
from scipy.optimize import minimize

from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import at_bat_tables, evaluate_tables, solve_tables
from sequencer.planning.matrix_game import solve_games
from sequencer.planning.spread import spread_at_bats, spread_ties

RNG = np.random.default_rng(21)


def pitching_games(games: int = 12, calls: int = 30, looks: int = 40) -> Floats:
    """Payoffs of pitching's shape: families, places that differ little, looks that vary both."""
    families = RNG.normal(0.0, 0.03, size=(games, 3, looks)).repeat(calls // 3, axis=1)
    places = RNG.normal(0.0, 0.002, size=(games, calls, looks))
    return families + places + RNG.normal(0.0, 0.002, size=(games, calls, 1))


def worst(games: Floats, mix: Floats) -> Floats:
    result: Floats = np.einsum("gc,gcl->gl", mix, games).max(axis=1)
    return result


def evenness(mix: Floats) -> Floats:
    result: Floats = 1.0 / (mix**2).sum(axis=-1)
    return result


@pytest.mark.parametrize("within", [0.0, 1e-5, 5e-4, 1e-2, 1.0])
def test_a_spread_mix_keeps_the_limit_and_is_no_less_spread(within: float) -> None:
    games = pitching_games()
    solution = solve_games(games)
    mix = spread_ties(games, solution, within)
    np.testing.assert_allclose(mix.sum(axis=1), 1.0, rtol=0, atol=1e-12)
    assert (mix >= 0.0).all()
    assert (worst(games, mix) <= solution.value + within + 1e-10).all()
    assert (evenness(mix) >= evenness(solution.calls) - 1e-9).all()


def test_half_a_thousandth_of_a_run_buys_much_spread() -> None:
    games = pitching_games()
    solution = solve_games(games)
    spread = evenness(spread_ties(games, solution))
    assert spread.mean() > 1.5 * evenness(solution.calls).mean()


def test_the_mix_is_the_one_that_quadratic_programming_finds() -> None:
    games = pitching_games(games=4, calls=12, looks=20)
    solution = solve_games(games)
    for game, value, start, mix in zip(
        games, solution.value, solution.calls, spread_ties(games, solution), strict=True
    ):
        slopes = -100.0 * game.T
        found = minimize(
            lambda x: (x @ x / 2.0, x),
            start,
            jac=True,
            bounds=[(0.0, 1.0)] * 12,
            constraints=[
                {"type": "eq", "fun": lambda x: x.sum() - 1.0},
                {
                    "type": "ineq",
                    "fun": lambda x, s=slopes, v=value: 100.0 * (v + 5e-4) + s @ x,
                    "jac": lambda x, s=slopes: s,
                },
            ],
            method="SLSQP",
            options={"maxiter": 500, "ftol": 1e-15},
        )
        np.testing.assert_allclose(mix, found.x, rtol=0, atol=1e-4)


@pytest.mark.parametrize("share", [1 / 30, np.nan], ids=["too wide", "not a number"])
def test_what_breaks_the_limit_is_drawn_back_or_dropped(
    share: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    games = pitching_games()
    solution = solve_games(games)
    monkeypatch.setattr(
        "sequencer.planning.spread.least_squares",
        lambda over, _: (np.full(over.shape[:2], share), np.zeros(over.shape[::2])),
    )
    mix = spread_ties(games, solution)
    assert (worst(games, mix) <= solution.value + 5e-4 + 1e-10).all()
    wider = evenness(mix) > evenness(solution.calls)
    assert wider.all() if share == share else not wider.any()


def test_a_mix_that_is_less_spread_is_dropped(monkeypatch: pytest.MonkeyPatch) -> None:
    games = pitching_games()
    solution = solve_games(games)
    first_call = np.eye(30)[:1].repeat(12, axis=0)
    monkeypatch.setattr("sequencer.planning.spread.least_squares", lambda *_: (first_call, None))
    assert (spread_ties(games, solution, 1.0) == solution.calls).all()


def test_copies_of_a_call_share_alike() -> None:
    games = pitching_games(games=3)
    copies = np.concatenate([games, games], axis=1)
    mix = spread_ties(copies, solve_games(copies))
    np.testing.assert_allclose(mix[:, :30], mix[:, 30:], rtol=0, atol=1e-4)


def test_the_order_of_calls_does_not_matter() -> None:
    games = pitching_games(games=3)
    mix = spread_ties(games, solve_games(games))
    turned = spread_ties(games[:, ::-1], solve_games(games[:, ::-1]))
    np.testing.assert_allclose(mix, turned[:, ::-1], rtol=0, atol=1e-4)


def test_calls_that_are_not_allowed_stay_at_exactly_nought() -> None:
    games = pitching_games(games=5)
    allowed = RNG.random((5, 30)) < 0.6
    mix = spread_ties(games, solve_games(games, allowed), 1e-3, allowed)
    assert (mix[~allowed] == 0.0).all()


def test_spreading_every_state_costs_an_at_bat_a_few_pitches_worth() -> None:
    shape = (2, 4, 3, 2, 18, 20)
    outcomes = RNG.dirichlet([9.0, 9.0, 4.0, 5.0, 0.1], size=(2, 1, 1, 2, 3, 20))
    outcomes = np.broadcast_to(outcomes.repeat(6, axis=4), (*shape, 5)).copy()
    outcomes += RNG.uniform(0.0, 0.01, size=outcomes.shape)
    outcomes /= outcomes.sum(axis=-1, keepdims=True)
    tables = at_bat_tables(
        outcomes,
        RNG.normal(0.05, 0.02, size=shape),
        np.arange(18) % 2,
        0.3,
        -0.27,
        0.3,
        allowed=np.arange(18) >= np.array([[0], [3]]),
    )
    solution = solve_tables(tables)
    mix = spread_at_bats(tables, solution, 1e-4)
    assert (mix[1, ..., :3] == 0.0).all()
    cost = evaluate_tables(tables, mix).value - solution.value
    assert cost.min() > -1e-9
    assert 0.0 < cost[:, 0, 0].max() < 7e-4
    assert evenness(mix).mean() > 1.05 * evenness(solution.mix).mean()
