"""Usual rates: margins met, chance by them as simulated, thin cells cost nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.linear_model import LogisticRegression

from sequencer.review.usual import Codes, Usual


def a_log(seed: int, pitches: int = 400, games: int = 6) -> tuple[Codes, Codes, Codes, Codes]:
    """Games whose mixes differ, situations that do, classes that go with both."""
    rng = np.random.default_rng(seed)
    game = np.sort(rng.integers(0, games, pitches))
    situation = rng.integers(0, 4, pitches)
    odds = np.zeros((pitches, 3))
    odds[:, 0] = np.linspace(-1, 1, games)[game] + np.array([0.0, 0.5, 1.0, -0.5])[situation]
    rates = np.exp(odds) / np.exp(odds).sum(axis=1, keepdims=True)
    labels = (rng.random(pitches)[:, None] > np.cumsum(rates, axis=1)).sum(axis=1)
    classes = (rng.random(pitches) < (0.2 + 0.1 * game) / 1.5).astype(np.int64)
    return game, situation, labels.astype(np.int64), classes


@given(st.integers(0, 200), st.integers(30, 300), st.integers(1, 8))
@settings(max_examples=30, deadline=None)
def test_every_level_has_its_own_count_of_each_label(seed: int, size: int, games: int) -> None:
    game, situation, labels, _ = a_log(seed, size, games)
    _, game = np.unique(game, return_inverse=True)
    usual = Usual.of((game, situation), labels, 3)
    assert usual.rates.sum(axis=1) == pytest.approx(np.ones(size))
    for column in (game, situation):
        for level in np.unique(column):
            seen = np.bincount(labels[column == level], minlength=3)
            assert usual.rates[column == level].sum(axis=0) == pytest.approx(seen, abs=0.05)


def test_rates_are_those_of_a_multinomial_regression() -> None:
    game, situation, labels, _ = a_log(3)
    usual = Usual.of((game, situation), labels, 3)
    design = np.hstack([np.eye(6)[game], np.eye(4)[situation]])
    fitted = LogisticRegression(C=1e8, tol=1e-10, max_iter=5000).fit(design, labels)
    assert usual.rates == pytest.approx(fitted.predict_proba(design), abs=2e-3)


def test_nothing_held_is_the_overall_mix() -> None:
    _, _, labels, _ = a_log(4)
    usual = Usual.of((), labels, 3)
    assert usual.rates[0] == pytest.approx(np.bincount(labels) / len(labels))


def test_chance_is_as_simulated_with_rates_fitted_again_each_time() -> None:
    game, situation, labels, classes = a_log(5)
    usual = Usual.of((game, situation), labels, 3)
    directions = np.zeros((2, 2, 3))
    directions[0, 1, 0] = directions[1, 0, 2] = 1.0
    apart = usual.told_apart(classes, directions)
    rng, found = np.random.default_rng(0), []
    below = np.cumsum(usual.rates, axis=1)
    for _ in range(600):
        drawn = (rng.random(len(labels))[:, None] > below).sum(axis=1).clip(max=2)
        again = Usual.of((game, situation), drawn, 3)
        more = np.eye(3)[drawn] - again.rates
        found.append(np.einsum("ik,cik->c", more, directions[:, classes]))
    assert np.cov(np.array(found).T) == pytest.approx(apart.covariance, rel=0.2, abs=1.0)
    # what single pitches add comes to the same on the log itself
    ones = np.eye(3)[labels] - usual.rates
    added = np.einsum("ik,cik->c", ones[:, :2], apart.adds(np.arange(2)))
    assert added == pytest.approx(np.einsum("ik,cik->c", ones, directions[:, classes]), abs=1e-3)


def test_a_factor_that_is_the_class_leaves_nothing_to_tell() -> None:
    game, _, labels, classes = a_log(6)
    usual = Usual.of((game, classes), labels, 3)
    directions = np.zeros((1, 2, 3))
    directions[0, 1, 0] = 1.0
    assert usual.told_apart(classes, directions).variance == pytest.approx(0.0, abs=1e-6)
