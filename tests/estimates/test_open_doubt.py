"""Errors of a fit against games of the open data drawn anew, where the data is there."""

import numpy as np
import pytest

from sequencer.estimates import fit, newton, steps
from sequencer.estimates.arrays import Floats, Ints
from sequencer.estimates.doubt import groups_of
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.sandwich import between_groups, scored
from sequencer.estimates.surface import Surface
from tests import open_data

pytestmark = pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING)
#: Times that the games are drawn anew: an error of 6 in 100 in each of the 75 cells.
TIMES = 120


@pytest.mark.parametrize("step", ["miss", "foul"])
def test_errors_by_cell_are_those_of_games_drawn_anew(step: str) -> None:
    frame = open_data.read()
    frame = frame[frame["source"].isin(["day_2023", "two_relievers_2011"])].reset_index(drop=True)
    data = data_of(frame)
    which, outcome = steps.used(step, data)
    start = Surface.zero(steps.BUMPS[step])
    penalty = steps.precision(step, start, leaning=False)
    problem = steps.problem(step, data.rows.take(which), outcome[which], start.side)
    x, y = problem.design(slice(None)), problem.outcome
    game = groups_of(frame.iloc[data.at[which]]).by["game"]

    def fitted(rows: Ints, begin: Floats) -> Floats:
        own, came = x[rows], y[rows]
        return newton.logistic(
            lambda part: own[part], came, penalty, begin, tolerance=1e-5
        ).coefficients

    nought = start.vector()
    b = fitted(np.arange(len(y)), nought)
    information, (sums,) = scored(problem, b, [game])
    inverse = np.linalg.inv(information + np.diag(penalty))
    covariance = inverse @ between_groups(sums) @ inverse
    at = fit.design_at_cells(start.side)
    ours = np.sqrt(np.einsum("ik,kl,il->i", at, covariance, at))
    rng, games = np.random.default_rng(0), int(game.max()) + 1
    of = [np.flatnonzero(game == g) for g in range(games)]
    drawn = [
        at @ fitted(np.concatenate([of[g] for g in rng.integers(0, games, games)]), nought)
        for _ in range(TIMES)
    ]
    ratio = ours / np.std(drawn, axis=0)
    assert np.median(ratio) == pytest.approx(1.0, abs=0.2)
    assert np.mean(np.abs(ratio - 1.0) < 0.2) > 0.9
