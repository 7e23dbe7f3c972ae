"""How good chances and run values are on pitches that they have not seen.

Losses are nats a pitch, or squared runs for a ball in play. Calibration is a straight line: the
outcome on what was said, in log odds (in runs for a ball in play); a slope below one is
overconfident.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats, Ints, expit, logit

#: A chance is never taken to be nearer to nought or one.
SURE: Final = 1e-9
#: Games from which errors are taken by game; with fewer they are too few to tell (common practice).
FEWEST_GAMES: Final = 8
#: Games drawn anew, how often, for an interval.
_DRAWS: Final = 1_000
_NEWTON_STEPS: Final = 50
#: Slopes beyond this are not estimates: what was said parts the outcomes, or nearly.
_STEEPEST: Final = 25.0


@dataclass(frozen=True, slots=True)
class Line:
    """A calibration line and its standard errors: outcome = intercept + slope x what was said."""

    slope: float
    slope_se: float
    intercept: float
    intercept_se: float


@dataclass(frozen=True, slots=True)
class Bin:
    """Pitches that were given nearly the same chance: how many, what was said and what came.

    `low` and `high` are the 95 % interval of what came (Wilson 1927; mean and two errors for runs).
    """

    pitches: int
    said: float
    came: float
    low: float
    high: float


def losses(outcome: Floats, said: Floats, *, runs: bool = False) -> Floats:
    """Return the loss of each pitch, (n,): nats, or squared runs.

    Parameters
    ----------
    outcome, said : array (n,)
        Nought or one and its chance; or runs and their expectation.
    runs : bool
        Whether they are runs.
    """
    if runs:
        return np.asarray((outcome - said) ** 2)
    p = np.clip(said, SURE, 1.0 - SURE)
    return np.asarray(-(outcome * np.log(p) + (1.0 - outcome) * np.log1p(-p)))


def calibration(
    outcome: Floats, said: Floats, groups: Ints | None = None, *, runs: bool = False
) -> Line | None:
    """Return the line of the outcome on what was said.

    Parameters
    ----------
    outcome, said : array (n,)
        Nought or one and its chance (the line is in log odds); or runs and their expectation.
    groups : array (n,), optional
        Pitches of one number go together: errors are taken by group (sandwich; Liang and Zeger
        1986, Biometrika 73, 13-22). Each pitch on its own when not given.

    Returns
    -------
    Line or None
        None where no line can be had: one class, one value said for all, or a perfect parting.
    """
    x = np.asarray(said if runs else logit(np.clip(said, SURE, 1.0 - SURE)), dtype=np.float64)
    if len(x) < 3 or np.ptp(x) < 1e-9 or np.ptp(outcome) == 0:
        return None
    design = np.column_stack([np.ones_like(x), x])
    b = _straight(design, outcome) if runs else _logistic(design, outcome)
    if b is None or not abs(b[1]) < _STEEPEST:
        return None
    fitted = design @ b if runs else expit(design @ b)
    weight = np.ones_like(x) if runs else fitted * (1.0 - fitted)
    bread = np.linalg.pinv((design * weight[:, None]).T @ design)
    scores = design * (outcome - fitted)[:, None]
    if groups is not None:
        scores = _summed(scores, groups)
    n = len(scores)
    spread = bread @ (scores.T @ scores) @ bread * (n / max(n - 1, 1))
    error = np.sqrt(np.diag(spread))
    return Line(float(b[1]), float(error[1]), float(b[0]), float(error[0]))


def _summed(scores: Floats, groups: Ints) -> Floats:
    number = np.unique(groups, return_inverse=True)[1]
    return np.stack([np.bincount(number, column) for column in scores.T], axis=1)


def _straight(design: Floats, outcome: Floats) -> Floats:
    return np.asarray(np.linalg.lstsq(design, outcome, rcond=None)[0])


def _logistic(design: Floats, outcome: Floats) -> Floats | None:
    """Return the two coefficients by Newton's method; None if it does not come to rest."""
    b = np.array([0.0, 1.0])
    before = _nats(design, outcome, b)
    for _ in range(_NEWTON_STEPS):
        p = expit(design @ b)
        curvature = (design * (p * (1.0 - p))[:, None]).T @ design
        move = np.linalg.pinv(curvature) @ (design.T @ (outcome - p))
        while (now := _nats(design, outcome, b + move)) > before + 1e-9 and np.abs(
            move
        ).max() > 1e-9:
            move = move / 2.0
        b, gained, before = b + move, before - now, now
        if np.abs(move).max() < 1e-8 or abs(gained) < 1e-12 * len(outcome):
            return np.asarray(b)
    return None


def _nats(design: Floats, outcome: Floats, b: Floats) -> float:
    x = design @ b
    return float(np.sum(np.logaddexp(0.0, x) - outcome * x))


def mean_error(missed: Floats, groups: Ints) -> tuple[float, float]:
    """Return the mean of what was missed and its standard error, taken by group."""
    mean = float(missed.mean())
    sums = np.bincount(np.unique(groups, return_inverse=True)[1], missed - mean)
    n = len(sums)
    return mean, float(np.sqrt(np.sum(sums**2) * n / max(n - 1, 1)) / len(missed))


def reliability(outcome: Floats, said: Floats, bins: int = 10, *, runs: bool = False) -> list[Bin]:
    """Return up to so many bins of as many pitches each, from the least said to the most.

    Equal chances stay in one bin. Fewer bins are made where each would have fewer than 20 pitches.
    """
    bins = max(1, min(bins, len(said) // 20))
    if not len(said):
        return []
    edges = np.unique(np.quantile(said, np.linspace(0.0, 1.0, bins + 1)[1:-1]))
    number = np.searchsorted(edges, said, side="left")
    return [_bin(outcome[number == i], said[number == i], runs) for i in np.unique(number)]


def _bin(outcome: Floats, said: Floats, runs: bool) -> Bin:
    n, came = len(outcome), float(outcome.mean())
    if runs:
        wide = 1.96 * float(outcome.std(ddof=1)) / np.sqrt(n) if n > 1 else float("inf")
        low, high = came - wide, came + wide
    else:
        low, high = wilson(came, n)
    return Bin(n, float(said.mean()), came, float(low), float(high))


def wilson(share: float, n: int) -> tuple[float, float]:
    """Return the 95 % score interval of a share of n (Wilson 1927, JASA 22, 209-212)."""
    z = 1.959963984540054
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * np.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    low = float(middle - half) if share > 0.0 else 0.0
    return low, float(middle + half) if share < 1.0 else 1.0


def interval(loss: Floats, groups: Ints, *, seed: int = 0) -> tuple[float, float] | None:
    """Return the 95 % interval of a mean loss, groups (games, at-bats) drawn anew.

    None where there is a single group: nothing says how far another would be.
    """
    number = np.unique(groups, return_inverse=True)[1]
    sums = np.asarray(np.bincount(number, loss), dtype=np.float64)
    sizes = np.bincount(number).astype(np.float64)
    if len(sums) < 2:
        return None
    rng = np.random.default_rng(seed)
    draws = np.array([_drawn_mean(sums, sizes, rng) for _ in range(_DRAWS)])
    low, high = np.quantile(draws, [0.025, 0.975])
    return float(low), float(high)


def _drawn_mean(sums: Floats, sizes: Floats, rng: np.random.Generator) -> float:
    drawn = rng.integers(0, len(sums), len(sums))
    return float(sums[drawn].sum() / sizes[drawn].sum())


def groups_of(game: "np.ndarray[tuple[int], np.dtype[np.str_]]", at_bat: Ints) -> tuple[Ints, str]:
    """Return the groups that errors are taken by, (n,), and their name: game, or at-bat if few."""
    number = np.unique(game, return_inverse=True)[1].astype(np.intp)
    if number.max(initial=-1) + 1 >= FEWEST_GAMES:
        return number, "game"
    both = np.unique(np.column_stack([number, at_bat]), axis=0, return_inverse=True)[1]
    return both.ravel().astype(np.intp), "at-bat"
