"""Worth: nought for a pitcher on plan, above nought for one who leaves it, honest when unknown."""

import numpy as np
import pytest
from numpy.typing import NDArray

from sequencer.planning.at_bat import AtBatSolution, at_bat_tables, solve_tables
from sequencer.review.worth import Called, Stakes, equilibrium_looks, gains, payoffs, worth

Floats = NDArray[np.float64]
CALLS, LOOKS, LASTS = 3, 3, 2
WALK, STRIKEOUT, HIT = 0.3, -0.27, 0.33
NEXT_LAST = np.array([1, 1, 1])


def small_game() -> dict[str, Floats]:
    """Three calls and three looks: each look hits its own call hard and misses the others."""
    rng = np.random.default_rng(3)
    outcomes = np.empty((1, 4, 3, LASTS, CALLS, LOOKS, 5))
    own = np.eye(CALLS, LOOKS, dtype=bool)
    outcomes[..., own, :] = (0.30, 0.20, 0.20, 0.29, 0.01)
    outcomes[..., ~own, :] = (0.38, 0.32, 0.18, 0.11, 0.01)
    end_runs = np.broadcast_to(np.where(own, 0.18, -0.08), outcomes.shape[:-1]).copy()
    end_runs += 0.01 * rng.standard_normal((1, 1, 1, 1, CALLS, 1))
    return {"outcomes": outcomes, "end_runs": end_runs}


def solved_game(game: dict[str, Floats]) -> AtBatSolution:
    tables = at_bat_tables(**game, next_last=NEXT_LAST, walk=WALK, strikeout=STRIKEOUT,
                           hit_by_pitch=HIT)  # fmt: skip
    return solve_tables(tables)


@pytest.fixture(scope="module")
def stakes() -> Stakes:
    game = small_game()
    solved = solved_game(game)
    runs = payoffs(
        **game,
        next_last=NEXT_LAST,
        value=solved.value,
        walk=WALK,
        strikeout=STRIKEOUT,
        hit_by_pitch=HIT,
    )
    return Stakes(runs, solved.looks, solved.mix)


def calls_of(stakes: Stakes, size: int, seed: int, lean: float = 0.0) -> Called:
    """Calls drawn from the plan; with the chance `lean` the first call whatever the plan says."""
    rng = np.random.default_rng(seed)
    balls, strikes = rng.integers(0, 4, size), rng.integers(0, 3, size)
    last = np.where(balls + strikes > 0, 1, 0)
    chances = stakes.mix[0, balls, strikes, last].cumsum(axis=1)
    call = (rng.random(size)[:, None] > chances[:, :-1]).sum(axis=1)
    call = np.where(rng.random(size) < lean, 0, call)
    game = np.arange(size) // 60
    return Called(np.zeros(size, dtype=np.int64), balls, strikes, last, call, game)


def test_payoffs_against_the_equilibrium_are_the_value_of_each_state(stakes: Stakes) -> None:
    game = small_game()
    value = solved_game(game).value
    against = np.einsum("hbslck,hbslk->hbslc", stakes.payoffs, stakes.looks)
    assert against.min(axis=-1) == pytest.approx(value, abs=1e-7)
    replied = np.einsum("hbslck,hbslc->hbslk", stakes.payoffs, stakes.mix)
    assert replied.max(axis=-1) == pytest.approx(value, abs=1e-7)


def test_looks_solved_again_guarantee_the_hitter_as_much(stakes: Stakes) -> None:
    again = equilibrium_looks(stakes.payoffs)
    assert again.sum(axis=-1) == pytest.approx(np.ones(again.shape[:-1]))
    mine = np.einsum("hbslck,hbslk->hbslc", stakes.payoffs, again).min(axis=-1)
    theirs = np.einsum("hbslck,hbslk->hbslc", stakes.payoffs, stakes.looks).min(axis=-1)
    assert mine == pytest.approx(theirs, abs=1e-6)


def test_a_pitcher_on_plan_is_worth_nothing_to_a_reader(stakes: Stakes) -> None:
    means = [gains(stakes, calls_of(stakes, 600, seed)).mean() for seed in range(30)]
    error = np.std(means) / np.sqrt(len(means))
    assert abs(np.mean(means)) <= 3 * error


def test_a_pitcher_who_leans_on_one_call_is_worth_something(stakes: Stakes) -> None:
    found = worth(stakes, calls_of(stakes, 1200, 1, lean=0.5), np.random.default_rng(0))
    assert found.runs_per_100 is not None
    assert found.interval is not None
    assert 0 < found.interval[0] < found.runs_per_100 < found.interval[1]
    assert "would gain" in found.says


def test_looks_fitted_and_scored_on_the_same_pitches_would_flatter(stakes: Stakes) -> None:
    # the plug-in best reply to the very shares it is scored on never loses; held out it may
    called = calls_of(stakes, 300, 5)
    one_fold = Called(**{**vars(called), "game": np.zeros(300, dtype=np.int64)})
    assert gains(stakes, called).mean() < _plugged_in(stakes, one_fold)


def _plugged_in(stakes: Stakes, called: Called) -> float:
    best = 0.0
    for balls in range(4):
        for strikes in range(3):
            for last in range(LASTS):
                here = (called.balls == balls) & (called.strikes == strikes)
                here &= called.last == last
                stage = stakes.payoffs[0, balls, strikes, last]
                made = stage[called.call[here]]
                if len(made):
                    even = made @ stakes.looks[0, balls, strikes, last]
                    best += made.sum(axis=0).max() - even.sum()
    return best / len(called.call)


def test_without_a_plan_or_with_one_game_nothing_is_claimed(stakes: Stakes) -> None:
    none = worth(None, None, np.random.default_rng(0))
    assert (none.runs_per_100, none.interval) == (None, None)
    assert "No plan" in none.says
    one = worth(stakes, calls_of(stakes, 50, 1), np.random.default_rng(0))
    assert one.runs_per_100 is None
    assert "One game" in one.says
