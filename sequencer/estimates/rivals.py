"""What our steps are held against: a base rate, and boosted trees on the same rows and features."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields
from typing import Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.arrays import Floats, Ints
from sequencer.estimates.surface import Rows

#: Rows, and outcomes of the rarer kind, below which trees are not grown.
FEWEST_ROWS: Final = 60
FEWEST_OF_A_KIND: Final = 5
#: How trees are grown: small steps, small trees, stopped when pitches set aside get no better. Of
#: four settings tried on held-out open pitches the strongest over all steps: twice as large trees
#: lose .1 to .8 % more, scikit-learn's own settings .4 to 3 % (hit by pitch apart).
_GROWN: Final = {
    "learning_rate": 0.04,
    "max_iter": 800,
    "max_leaf_nodes": 8,
    "min_samples_leaf": 60,
    "l2_regularization": 5.0,
    "n_iter_no_change": 25,
    "validation_fraction": 0.15,
    "random_state": 0,
}
#: Rows below which too few can be set aside to stop by; then so many small steps are taken.
_STOP_FROM: Final = 1_000
_FIXED_STEPS: Final = 50


def features(rows: Rows, step: str = "called") -> Floats:
    """Return what trees see of pitches, (n, features): all that our step does.

    The season bears on the called zone alone: of other steps it would only say which log a pitch
    is from.
    """
    without = {"family"} if step == "called" else {"family", "season"}
    known = rows.family[:, None] == np.arange(len(FAMILIES))
    rest = [
        np.asarray(getattr(rows, field.name), dtype=np.float64)
        for field in fields(rows)
        if field.name not in without
    ]
    return np.column_stack([known.astype(np.float64), *rest])


def base_rate(outcome: Floats, rows: int) -> Floats:
    """Return the mean of an outcome for each of so many rows, (rows,)."""
    return np.full(rows, float(outcome.mean()))


def grown(x: Floats, outcome: Floats, elsewhere: Floats, *, runs: bool = False) -> Floats | None:
    """Return what boosted trees grown on some rows say of others.

    Parameters
    ----------
    x, outcome : array (n, features), array (n,)
        Training rows; nought or one, or runs.
    elsewhere : array (m, features)
    runs : bool
        Whether the outcome is a number of runs.

    Returns
    -------
    array (m,) or None
        Probabilities, or runs; None where there is too little to grow trees on.
    """
    if len(outcome) < FEWEST_ROWS:
        return None
    if runs:
        # The same settings: only the loss is another.
        from sklearn.ensemble import HistGradientBoostingRegressor

        return np.asarray(
            HistGradientBoostingRegressor(**_settings(len(x))).fit(x, outcome).predict(elsewhere)
        )
    if min(outcome.sum(), len(outcome) - outcome.sum()) < FEWEST_OF_A_KIND:
        return None
    return grown_kinds(x, outcome.astype(np.intp), elsewhere, 2)[:, 1]


def grown_kinds(x: Floats, kind: Ints, elsewhere: Floats, kinds: int) -> Floats:
    """Return chances (m, kinds) of boosted trees for an outcome of several kinds.

    A kind that training rows lack gets the chance of one row in all of them.
    """
    from sklearn.ensemble import HistGradientBoostingClassifier

    counted = np.bincount(kind, minlength=kinds)
    settings = _settings(len(x) if counted[counted > 0].min() >= FEWEST_OF_A_KIND else 0)
    model = HistGradientBoostingClassifier(**settings).fit(x, kind)
    out = np.full((len(elsewhere), kinds), 1.0 / len(x))
    out[:, model.classes_] = model.predict_proba(elsewhere)
    return np.asarray(out / out.sum(axis=1, keepdims=True))


@contextmanager
def one_thread() -> Iterator[None]:
    """Let trees grow on one thread: a few thousand pitches take far longer on many, if busy."""
    import sklearn.ensemble  # noqa: F401 - only threads of what is loaded are held
    from threadpoolctl import threadpool_limits

    with threadpool_limits(limits=1):
        yield


def _settings(rows: int) -> dict[str, float | int | bool]:
    if rows >= _STOP_FROM:
        return {**_GROWN, "early_stopping": True}
    few = {"max_iter": _FIXED_STEPS, "min_samples_leaf": 20, "early_stopping": False}
    return {**_GROWN, **few}
