"""Exact tests of shares within strata, and what they can find with so many watched."""

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln, xlog1py, xlogy

Floats = NDArray[np.float64]

#: Pitches of a kind from which on a plain difference is found anyway: every table of 500 and 500 is
#: gone through in some 20 ms, of 5000 and 5000 in seconds.
ENOUGH: Final = 500


class Exact(NamedTuple):
    """P-values of an exact test: `more` in the first cell, `either` way, the `least` there can be.

    `least` is the smallest two-sided p that any table with these margins has.
    """

    more: float
    either: float
    least: float


def exact_test(tables: ArrayLike) -> Exact:
    """Return the exact conditional test of 2 x 2 tables, one for each stratum.

    The statistic is the sum of the first cells with all margins of every table held: what all
    shuffles within strata would give, without drawing any. Of one table it is Fisher's test.

    Parameters
    ----------
    tables : array_like, shape (strata, 2, 2)
        Counts.

    Returns
    -------
    Exact
        `either` adds every sum no more likely than the one seen.

    Notes
    -----
    Fisher (1935); in strata Gart (1970), Biometrika 57, 471-475; Agresti, Categorical Data
    Analysis, exact conditional independence in 2 x 2 x K.
    """
    chances, place = np.ones(1), 0
    for (a, b), (c, d) in np.asarray(tables, dtype=np.int64).tolist():
        low = max(0, a - d)
        place += a - low
        cells = np.arange(low, min(a + b, a + c) + 1)
        logs = -(
            gammaln(cells + 1)
            + gammaln(a + b - cells + 1)
            + gammaln(a + c - cells + 1)
            + gammaln(d - a + cells + 1)
        )
        law = np.exp(logs - logs.max())
        chances = np.convolve(chances, law / law.sum())
    as_unlikely = chances[chances <= chances[place] * (1 + 1e-7)]
    return Exact(
        min(1.0, float(chances[place:].sum())),
        min(1.0, float(as_unlikely.sum())),
        min(1.0, float(chances[chances <= chances.min() * (1 + 1e-7)].sum())),
    )


def chance_found(ones: int, others: int, share: float, other_share: float, level: float) -> float:
    """Return how likely Fisher's test finds two shares different, exactly.

    Parameters
    ----------
    ones, others : int
        How many are watched of each kind.
    share, other_share : float
        How often each kind shows it.
    level : float
        Two-sided; the test here is the likelier side at half of it.

    Notes
    -----
    More than `ENOUGH` of a kind count as so many: the chance is then a little too low.
    """
    ones, others = min(ones, ENOUGH), min(others, ENOUGH)
    if share < other_share:
        share, other_share = 1 - share, 1 - other_share
    if min(ones, others) < 1:
        return 0.0
    seen, rest, ways = _found(ones, others, level)
    chances = np.exp(
        ways
        + (xlogy(seen, share) + xlog1py(ones - seen, -share))
        + (xlogy(rest, other_share) + xlog1py(others - rest, -other_share))
    )
    return float(chances.sum())


@lru_cache(maxsize=64)
def _found(ones: int, others: int, level: float) -> tuple[Floats, Floats, Floats]:
    """Return the tables that Fisher's test finds: seen of each kind, and log ways to come about."""
    seen = np.arange(ones + 1.0)[:, None]
    rest = np.arange(ones + others + 1.0)[None, :] - seen
    possible = (rest >= 0) & (rest <= others)
    rest = np.clip(rest, 0, others)
    ways = _log_ways(ones, seen) + _log_ways(others, rest)
    weight = np.where(possible, np.exp(ways - ways.max(axis=0, where=possible, initial=0)), 0)
    tail = np.cumsum(weight[::-1], axis=0)[::-1] / weight.sum(axis=0)
    found = possible & (tail <= level / 2)
    return np.broadcast_to(seen, found.shape)[found], rest[found], ways[found]


def _log_ways(of: int, chosen: Floats) -> Floats:
    ways: Floats = gammaln(of + 1) - gammaln(chosen + 1) - gammaln(of - chosen + 1)
    return ways


def smallest_share(
    ones: int, others: int, other_share: float, level: float, power: float = 0.8
) -> float | None:
    """Return the smallest share, to a hundredth, that Fisher's test would find with `power`.

    None when not even one that always shows would be found; see `chance_found`.
    """
    shares = np.arange(np.floor(100 * other_share) + 1, 101) / 100
    low, high = 0, len(shares)
    while low < high:
        middle = (low + high) // 2
        enough = chance_found(ones, others, float(shares[middle]), other_share, level) >= power
        low, high = (low, middle) if enough else (middle + 1, high)
    return float(shares[low]) if low < len(shares) else None


def more_needed(
    ones: int,
    others: int,
    share: float,
    other_share: float,
    level: float,
    *,
    power: float = 0.8,
    most: int = 256,
) -> int | None:
    """Return about how many more of the first kind find the two shares different with `power`.

    0 when there are enough; None when `most` more would not do, so that the others are too few
    or the difference is too small. The chance rises in a saw, so the answer is good to a few.
    """

    def enough(more: int) -> bool:
        return chance_found(ones + more, others, share, other_share, level) >= power

    if enough(0):
        return 0
    high = 1
    while high < most and not enough(high):
        high *= 2
    if high >= most and not enough(most):
        return None
    low, high = high // 2, min(high, most)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
