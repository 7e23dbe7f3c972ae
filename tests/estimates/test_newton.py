"""Our penalised fits against scikit-learn on the same rows."""

import numpy as np
import pytest
from scipy.optimize import minimize
from sklearn.linear_model import LogisticRegression, Ridge

from sequencer.estimates import newton
from sequencer.estimates.arrays import Floats, expit


def _rows(n: int = 3000, k: int = 6) -> tuple[Floats, Floats, Floats]:
    rng = np.random.default_rng(1)
    x = rng.normal(size=(n, k))
    truth = rng.normal(size=k)
    return x, (rng.random(n) < expit(x @ truth)).astype(float), truth


@pytest.mark.parametrize("penalty", [0.1, 1.0, 30.0])
def test_the_logistic_fit_is_scikit_learns(penalty: float) -> None:
    x, y, _ = _rows()
    ours = newton.logistic(
        lambda part: x[part], y, np.full(6, penalty), np.zeros(6), tolerance=1e-12
    )
    theirs = LogisticRegression(C=1.0 / penalty, fit_intercept=False, tol=1e-10, max_iter=1000)
    theirs.fit(x, y)
    np.testing.assert_allclose(ours.coefficients, theirs.coef_[0], atol=1e-5)


def test_the_linear_fit_is_scikit_learns_ridge() -> None:
    x, _, truth = _rows()
    y = x @ truth + np.random.default_rng(2).normal(size=len(x)) * 0.5
    ours = newton.linear(lambda part: x[part], y, np.full(6, 8.0), np.zeros(6), noise=0.5)
    theirs = Ridge(alpha=8.0 * 0.25, fit_intercept=False).fit(x, y)
    np.testing.assert_allclose(ours.coefficients, theirs.coef_, atol=1e-8)
    assert ours.loss == pytest.approx(float(np.mean((y - x @ theirs.coef_) ** 2)))


def test_a_habit_of_taking_is_fitted_as_a_ceiling() -> None:
    x, _, truth = _rows()
    rng = np.random.default_rng(3)
    most = rng.choice([0.3, 0.7, 1.0], size=len(x))
    y = (rng.random(len(x)) < most * expit(x @ truth)).astype(float)

    def loss(b: Floats) -> float:
        p = np.clip(most * expit(x @ b), 1e-12, 1 - 1e-12)
        return float(-np.sum(y * np.log(p) + (1 - y) * np.log1p(-p)) + 0.5 * b @ b)

    ours = newton.logistic(
        lambda part: x[part], y, np.ones(6), np.zeros(6), ceiling=most, tolerance=1e-13
    )
    theirs = minimize(loss, np.zeros(6), method="BFGS", options={"gtol": 1e-6})
    np.testing.assert_allclose(ours.coefficients, theirs.x, atol=1e-4)
    np.testing.assert_allclose(ours.coefficients, truth, atol=0.35)


def test_a_rough_start_ends_where_the_full_fit_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    x, y, _ = _rows()
    plain = newton.logistic(lambda part: x[part], y, np.ones(6), np.zeros(6), tolerance=1e-12)
    monkeypatch.setattr(newton, "ROUGH", 200)
    monkeypatch.setattr(newton, "CHUNK", 700)
    rough = newton.logistic(lambda part: x[part], y, np.ones(6), np.zeros(6), tolerance=1e-12)
    np.testing.assert_allclose(rough.coefficients, plain.coefficients, atol=1e-6)


def test_separated_rows_stay_finite_under_the_prior() -> None:
    x = np.linspace(-1, 1, 50)[:, None]
    found = newton.logistic(
        lambda part: x[part], (x[:, 0] > 0).astype(float), np.array([0.1]), np.zeros(1)
    )
    assert 5.0 < found.coefficients[0] < 100.0
    assert np.isfinite(found.covariance).all()


def test_a_constant_column_keeps_its_prior() -> None:
    x, y, _ = _rows()
    x[:, 2] = 0.0
    found = newton.logistic(lambda part: x[part], y, np.ones(6), np.full(6, 0.4))
    assert found.coefficients[2] == pytest.approx(0.4)
    assert found.covariance[2, 2] == pytest.approx(1.0)


def test_a_row_of_some_weight_stands_for_so_many_rows() -> None:
    x, y, _ = _rows(400)
    times = np.random.default_rng(4).integers(1, 4, len(x))
    row = np.repeat(np.arange(400), times)
    # Every other of the rows that are alike came out otherwise.
    came = np.abs(y[row] - np.arange(len(row)) % 2)
    share, heavy = np.bincount(row, came) / times, times.astype(np.float64)
    penalty, centre = np.full(6, 0.5), np.zeros(6)

    def few(part: slice) -> Floats:
        return x[part]

    def many(part: slice) -> Floats:
        return x[row[part]]

    pairs = (
        (
            newton.logistic(few, share, penalty, centre, weight=heavy, tolerance=1e-12),
            newton.logistic(many, came, penalty, centre, tolerance=1e-12),
        ),
        (
            newton.linear(few, share, penalty, centre, 0.5, heavy),
            newton.linear(many, came, penalty, centre, 0.5),
        ),
    )
    for ours, theirs in pairs:
        np.testing.assert_allclose(ours.coefficients, theirs.coefficients, atol=1e-7)
        np.testing.assert_allclose(ours.covariance, theirs.covariance, atol=1e-7)
        assert ours.n == theirs.n == times.sum()
