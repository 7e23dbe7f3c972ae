"""Errors by whole groups: against statsmodels, games drawn anew, and where little is known."""

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates import newton, sandwich
from sequencer.estimates.arrays import Floats, Ints, expit
from sequencer.estimates.sandwich import Problem, between_groups, root, scored, spread_of


def _rows(
    n: int = 1500, games: int = 40, *, apart: float = 0.6, seed: int = 0
) -> tuple[Floats, Floats, Ints]:
    """Return a design (n, 4), outcomes and games that differ by `apart` in log odds."""
    rng = np.random.default_rng(seed)
    game = rng.integers(0, games, n)
    by_game = rng.normal(size=games)
    # A column that is nearly the same all through a game is where games matter.
    x = np.column_stack(
        [
            np.ones(n),
            rng.normal(size=n),
            by_game[game] + 0.3 * rng.normal(size=n),
            rng.normal(size=n),
        ]
    )
    line = x @ [-0.4, 0.8, 0.2, -0.5] + apart * rng.normal(size=games)[game]
    return x, (rng.random(n) < expit(line)).astype(np.float64), game.astype(np.intp)


def _covariance(problem: Problem, b: Floats, game: Ints) -> Floats:
    information, (sums,) = scored(problem, b, [game])
    half = root(information, between_groups(sums))
    return np.asarray(half @ half.T)


def test_a_logistic_fits_errors_are_statsmodels_by_cluster() -> None:
    x, y, game = _rows()
    free, nought = np.zeros(4), np.zeros(4)
    fit = newton.logistic(lambda part: x[part], y, free, nought, tolerance=1e-14)
    theirs = sm.Logit(y, x).fit(
        disp=0, tol=1e-12, cov_type="cluster",
        cov_kwds={"groups": game, "use_correction": False},
    )  # fmt: skip
    np.testing.assert_allclose(fit.coefficients, theirs.params, atol=1e-7)
    ours = _covariance(Problem(lambda part: x[part], y), theirs.params, game)
    groups = len(np.unique(game))
    np.testing.assert_allclose(ours, theirs.cov_params() * groups / (groups - 1), rtol=1e-6)


def test_a_linear_fits_errors_are_statsmodels_by_cluster_whatever_the_noise() -> None:
    x, _, game = _rows()
    y = x @ [0.1, 0.0, 0.05, -0.02] + np.random.default_rng(1).normal(0, 0.3, len(x))
    theirs = sm.OLS(y, x).fit(
        cov_type="cluster", cov_kwds={"groups": game, "use_correction": False}
    )
    groups = len(np.unique(game))
    for noise in (0.31, 2.0):
        ours = _covariance(Problem(lambda part: x[part], y, noise=noise), theirs.params, game)
        np.testing.assert_allclose(ours, theirs.cov_params() * groups / (groups - 1), rtol=1e-6)


def test_errors_are_those_of_games_drawn_anew() -> None:
    x, y, game = _rows(2500, 60)
    penalty, centre = np.full(4, 3.0), np.zeros(4)

    def fitted(rows: Ints) -> Floats:
        own, came = x[rows], y[rows]
        return newton.logistic(lambda part: own[part], came, penalty, centre).coefficients

    information, (sums,) = scored(
        Problem(lambda part: x[part], y), fitted(np.arange(len(y))), [game]
    )
    half = np.linalg.inv(information + np.diag(penalty)) @ np.linalg.cholesky(between_groups(sums))
    rng, of = np.random.default_rng(2), [np.flatnonzero(game == g) for g in range(60)]
    drawn = [fitted(np.concatenate([of[g] for g in rng.integers(0, 60, 60)])) for _ in range(400)]
    ratio = np.sqrt((half**2).sum(1)) / np.std(drawn, axis=0)
    np.testing.assert_allclose(ratio, 1.0, atol=0.2)


def test_games_that_differ_make_errors_larger_than_pitches_alone_would() -> None:
    x, y, game = _rows(apart=1.0)
    penalty, at = np.full(4, 0.1), np.array([[1.0, 0.0, 0.0, 0.0]])
    b = newton.logistic(lambda part: x[part], y, penalty, np.zeros(4)).coefficients
    problem = Problem(lambda part: x[part], y)
    alone = spread_of(problem, b, penalty, {}, at)
    both = spread_of(problem, b, penalty, {"game": game}, at)
    assert (alone.by, both.by) == ("pitch", "game")
    none = np.empty((0, 4))
    assert both.errors(at, none)[0] > 1.5 * alone.errors(at, none)[0]


def test_without_rows_a_fit_is_as_doubtful_as_its_prior() -> None:
    penalty = np.array([4.0, 25.0])
    empty = Problem(lambda part: np.empty((0, 2))[part], np.empty(0))
    spread = spread_of(empty, np.zeros(2), penalty, {"game": np.empty(0, np.intp)}, np.eye(2))
    np.testing.assert_allclose(spread.errors(np.eye(2), np.empty((0, 2))), [0.5, 0.2])
    # What the prior rests on may be off too, and comes on top.
    moved = spread.errors(np.eye(2), np.array([[0.5, 0.0], [-0.5, 0.0]]))
    np.testing.assert_allclose(moved, [np.sqrt(0.5), 0.2])


def test_draws_spread_as_far_as_the_errors_say() -> None:
    x, y, game = _rows()
    penalty = np.full(4, 1.0)
    b = newton.logistic(lambda part: x[part], y, penalty, np.zeros(4)).coefficients
    spread = spread_of(Problem(lambda part: x[part], y), b, penalty, {"game": game}, np.eye(4))
    none = np.empty((0, 4))
    drawn = spread.drawn(4000, np.random.default_rng(0), none)
    np.testing.assert_allclose(drawn.std(0), spread.errors(np.eye(4), none), rtol=0.06)


def test_a_take_is_scored_as_the_likelihood_moves_with_it() -> None:
    rng = np.random.default_rng(3)
    n, k = 300, 3
    x, count = rng.normal(size=(n, k)), rng.integers(0, 12, n).astype(np.intp)
    b, take = rng.normal(size=k), rng.uniform(0.05, 0.6, (4, 3))
    y = (rng.random(n) < 0.4).astype(np.float64)

    def likelihood(both: Floats) -> float:
        odds = np.log(take / (1 - take)).ravel() + both[k:]
        p = (1 - expit(odds))[count] * expit(x @ both[:k])
        return float(np.sum(y * np.log(p) + (1 - y) * np.log1p(-p)))

    plain = Problem(lambda part: x[part], y, ceiling=(1 - take).ravel()[count])
    both = np.concatenate([b, np.zeros(12)])
    joint = sandwich.with_takes(plain, b, take, count)
    _, (sums,) = scored(joint, both, [np.zeros(n, np.intp)])
    step = 1e-5 * np.eye(k + 12)
    slope = [(likelihood(both + h) - likelihood(both - h)) / 2e-5 for h in step]
    np.testing.assert_allclose(sums[0], slope, atol=1e-4)


def test_a_swings_rows_are_how_its_log_odds_move() -> None:
    rng = np.random.default_rng(4)
    x, b, take, count = rng.normal(size=(5, 3)), rng.normal(size=3), 0.3, 4

    def swing(both: Floats) -> Floats:
        taken = expit(np.array(np.log(take / (1 - take)) + both[3 + count]))
        p = (1 - taken) * expit(x @ both[:3])
        return np.asarray(np.log(p / (1 - p)))

    both = np.concatenate([b, np.zeros(12)])
    found = sandwich.swing_rows(x, expit(x @ b), take, count, 12)
    slope = [(swing(both + h) - swing(both - h)) / 2e-6 for h in 1e-6 * np.eye(15)]
    np.testing.assert_allclose(found, np.transpose(slope), atol=1e-6)


@given(st.integers(0, 2**32 - 1), st.integers(1, 60), st.integers(1, 6), st.booleans())
@settings(max_examples=40, deadline=None)
def test_any_rows_in_any_groups_give_finite_errors(
    seed: int, n: int, groups: int, parted: bool
) -> None:
    rng = np.random.default_rng(seed)
    x = rng.normal(size=(n, 3))
    x[:, 2] = 1.0
    y = (x[:, 0] > 0).astype(np.float64) if parted else np.ones(n)
    game, penalty = rng.integers(0, groups, n).astype(np.intp), np.full(3, 0.1)
    b = newton.logistic(lambda part: x[part], y, penalty, np.zeros(3)).coefficients
    spread = spread_of(Problem(lambda part: x[part], y), b, penalty, {"game": game}, x)
    errors = spread.errors(x, np.empty((0, 3)))
    assert np.all(np.isfinite(errors)) and np.all(errors > 0)
    # Names of groups do not matter.
    renamed = spread_of(
        Problem(lambda part: x[part], y), b, penalty, {"game": 2 * (groups - game)}, x
    )
    np.testing.assert_allclose(renamed.errors(x, np.empty((0, 3))), errors)


@pytest.mark.parametrize("groups", [0, 1])
def test_one_group_says_nothing_of_how_groups_vary(groups: int) -> None:
    np.testing.assert_array_equal(between_groups(np.ones((groups, 2))), np.zeros((2, 2)))


def test_a_pitch_in_several_places_counts_once_and_tells_nothing_between_them() -> None:
    x, y, game = _rows(400)
    x[:, 1] = 0.0
    b, pitch = np.array([-0.4, 0.0, 0.2, -0.5]), np.repeat(np.arange(400), 3)

    def split(apart: float) -> Problem:
        moved = np.repeat(x, 3, axis=0)
        moved[:, 1] += apart * np.tile([-1.0, 0.0, 1.0], 400)
        third = np.full(1200, 1.0 / 3.0)
        return Problem(lambda part: moved[part], np.repeat(y, 3), weight=third, pitch=pitch)

    _, plain = scored(Problem(lambda part: x[part], y), b, [game])
    each = x * (y - expit(x @ b))[:, None]
    for apart in (0.0, 1.5):
        information, sums = scored(split(apart), b, [game[pitch]])
        np.testing.assert_allclose(sums[0], plain[0], atol=1e-10)
        # One place thrice, or equally likely on either side: squares of what each pitch says.
        np.testing.assert_allclose(information, each.T @ each, atol=1e-10)
    assert split(0.0).pitches == 400 == Problem(lambda part: x[part], y).pitches
