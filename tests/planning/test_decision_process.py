"""Best replies over the at-bat, held against a general solver of Markov decision processes.

When one side keeps to a mix, the other faces such a process over count and last pitch. pymdptoolbox
(Chades et al. 2014) solves it by its own policy iteration; it asks for a discount, so an at-bat
that has ended rests in a state of its own, and the discount is so near one that what it takes off
some twenty pitches is below the tolerance.
"""

from typing import NamedTuple

import numpy as np
import pytest
from mdptoolbox.mdp import PolicyIteration

from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.at_bat import evaluate_at_bat, solve_at_bat

LASTS, CALLS, LOOKS = 3, 6, 5
BALL, STRIKE, FOUL, END, HIT = range(5)
WALK, STRIKEOUT, HIT_BY_PITCH = 0.31, -0.27, 0.34
DISCOUNT = 1.0 - 1e-11
SAME = 1e-9


class AtBat(NamedTuple):
    """A random at-bat: outcomes and runs as the solver takes them, and a mix for either side."""

    outcomes: Floats
    end_runs: Floats
    call_runs: Floats
    next_last: Ints
    calls: Floats
    looks: Floats


def at_bat(seed: int) -> AtBat:
    rng = np.random.default_rng(seed)
    shape = (4, 3, LASTS, CALLS, LOOKS)
    return AtBat(
        rng.dirichlet((3.0, 3.0, 2.0, 1.5, 0.1), size=shape),
        rng.normal(0.05, 0.2, shape),
        rng.exponential(0.002, shape),
        rng.integers(0, LASTS, CALLS),
        rng.dirichlet(np.ones(CALLS), size=(4, 3, LASTS)),
        rng.dirichlet(np.ones(LOOKS), size=(4, 3, LASTS)),
    )


def state(balls: int, strikes: int, last: int) -> int:
    return (balls * 3 + strikes) * LASTS + last


REST = state(3, 2, LASTS - 1) + 1  # the state of an at-bat that has ended


def steps(game: AtBat) -> tuple[Floats, Floats]:
    """Chances (states, calls, looks, states) and runs (states, calls, looks) of every pitch."""
    chances = np.zeros((REST + 1, CALLS, LOOKS, REST + 1))
    runs = np.zeros((REST + 1, CALLS, LOOKS))
    chances[REST, :, :, REST] = 1.0
    for balls, strikes, last, call in np.ndindex(4, 3, LASTS, CALLS):
        here, result = state(balls, strikes, last), game.outcomes[balls, strikes, last, call]
        after = int(game.next_last[call])
        moves = chances[here, call]
        runs[here, call] = game.call_runs[balls, strikes, last, call]
        runs[here, call] += result[:, END] * game.end_runs[balls, strikes, last, call]
        runs[here, call] += result[:, HIT] * HIT_BY_PITCH
        moves[:, REST] += result[:, END] + result[:, HIT]
        if balls == 3:
            moves[:, REST] += result[:, BALL]
            runs[here, call] += result[:, BALL] * WALK
        else:
            moves[:, state(balls + 1, strikes, after)] += result[:, BALL]
        if strikes == 2:
            moves[:, REST] += result[:, STRIKE]
            runs[here, call] += result[:, STRIKE] * STRIKEOUT
            moves[:, state(balls, 2, after)] += result[:, FOUL]
        else:
            moves[:, state(balls, strikes + 1, after)] += result[:, STRIKE] + result[:, FOUL]
    return chances, runs


def best(chances: Floats, gains: Floats) -> Floats:
    """(4, 3, lasts): most that a process gains; chances (states, actions, states)."""
    process = PolicyIteration(chances.transpose(1, 0, 2), gains, DISCOUNT)
    process.run()
    return np.array(process.V)[:REST].reshape(4, 3, LASTS)


def at_rest(mix: Floats) -> Floats:
    """(states, choices): a mix for every state, any one where the at-bat has ended."""
    flat = mix.reshape(REST, -1)
    return np.vstack([flat, flat[:1]])


@pytest.mark.parametrize("seed", range(4))
def test_a_hitters_best_reply_to_a_fixed_mix_is_that_of_the_process(seed: int) -> None:
    game = at_bat(seed)
    chances, runs = steps(game)
    mix = at_rest(game.calls)
    faced = np.einsum("sc,sclt->slt", mix, chances), np.einsum("sc,scl->sl", mix, runs)
    ours = evaluate_at_bat(
        game.outcomes,
        game.end_runs,
        game.next_last,
        WALK,
        STRIKEOUT,
        HIT_BY_PITCH,
        game.calls,
        call_runs=game.call_runs,
    )
    np.testing.assert_allclose(ours.value, best(*faced), rtol=0, atol=SAME)


@pytest.mark.parametrize("seed", range(4))
def test_a_pitchers_best_reply_to_a_fixed_hitter_is_that_of_the_process(seed: int) -> None:
    game = at_bat(seed)
    chances, runs = steps(game)
    looks = at_rest(game.looks)
    faced = np.einsum("sl,sclt->sct", looks, chances), -np.einsum("sl,scl->sc", looks, runs)
    ours = solve_at_bat(
        game.outcomes,
        game.end_runs,
        game.next_last,
        WALK,
        STRIKEOUT,
        HIT_BY_PITCH,
        call_runs=game.call_runs,
        habit=game.looks,
        trust=1.0,
    )
    np.testing.assert_allclose(ours.value, -best(*faced), rtol=0, atol=SAME)


@pytest.mark.parametrize("seed", range(4))
def test_an_equilibrium_leaves_both_processes_the_same_value(seed: int) -> None:
    game = at_bat(seed)
    chances, runs = steps(game)
    solved = solve_at_bat(
        game.outcomes,
        game.end_runs,
        game.next_last,
        WALK,
        STRIKEOUT,
        HIT_BY_PITCH,
        call_runs=game.call_runs,
    )
    calls, looks = at_rest(solved.mix), at_rest(solved.looks)
    hitter = best(np.einsum("sc,sclt->slt", calls, chances), np.einsum("sc,scl->sl", calls, runs))
    pitcher = -best(
        np.einsum("sl,sclt->sct", looks, chances), -np.einsum("sl,scl->sc", looks, runs)
    )
    np.testing.assert_allclose(hitter, solved.value, rtol=0, atol=SAME)
    np.testing.assert_allclose(pitcher, solved.value, rtol=0, atol=SAME)
