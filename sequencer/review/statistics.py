"""Small statistics scipy has not: adjusted p, bias-corrected information, agreement, areas."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sequencer.review.exact import exact_test

Floats = NDArray[np.float64]

#: Standard deviations to either side of 95 % of a normal law.
Z95: Final = 1.959963984540054


def benjamini_hochberg(p: ArrayLike) -> Floats:
    """Return Benjamini-Hochberg adjusted p-values (q).

    Parameters
    ----------
    p : array_like, shape (tests,)
        P-values in any order.

    Returns
    -------
    ndarray, shape (tests,)
        The smallest false discovery rate at which each test is rejected.

    Notes
    -----
    Benjamini and Hochberg (1995), Journal of the Royal Statistical Society B 57, 289-300.
    """
    given = np.asarray(p, dtype=float)
    order = np.argsort(given, kind="stable")
    scaled = given[order] * len(given) / np.arange(1, len(given) + 1)
    q = np.empty_like(given)
    q[order] = np.minimum(1.0, np.minimum.accumulate(scaled[::-1])[::-1])
    return q


def entropy(counts: ArrayLike) -> float:
    """Return the Miller-Madow entropy of counts, in bits.

    Notes
    -----
    Plug-in entropy + (non-empty bins - 1) / (2 n) nats. Miller (1955), "Note on the bias of
    information estimates".
    """
    filled = np.asarray(counts, dtype=float).ravel()
    filled = filled[filled > 0]
    if not filled.size:
        return 0.0
    share = filled / filled.sum()
    nats = -(share * np.log(share)).sum() + (filled.size - 1) / (2 * filled.sum())
    return float(nats / np.log(2))


def mutual_information(table: ArrayLike, *, corrected: bool = True) -> float:
    """Return the mutual information of a table of counts, in bits.

    Parameters
    ----------
    table : array_like, shape (rows, columns)
        Counts.
    corrected : bool
        Take the Miller-Madow correction, (K_xy - K_x - K_y + 1) / (2 n) nats over non-empty
        bins, from the plug-in value; the answer may then be below zero.
    """
    counts = np.asarray(table, dtype=float)
    total = counts.sum()
    if total == 0:
        return 0.0
    rows, columns = counts.sum(axis=1), counts.sum(axis=0)
    filled = counts > 0
    expected = np.outer(rows, columns) / total
    nats = (counts[filled] * np.log(counts[filled] / expected[filled])).sum() / total
    if corrected:
        spare = filled.sum() - (rows > 0).sum() - (columns > 0).sum() + 1
        nats -= spare / (2 * total)
    return float(nats / np.log(2))


def g_statistic(table: ArrayLike) -> float:
    """Return the likelihood-ratio statistic of a table, 2 n times its plug-in information in nats.

    Under independence about chi-square with (rows - 1)(columns - 1) degrees of freedom.
    """
    total = float(np.asarray(table, dtype=float).sum())
    return 2 * total * mutual_information(table, corrected=False) * float(np.log(2))


def fisher_exact(table: ArrayLike) -> tuple[float, float]:
    """Return Fisher's exact p of a 2 x 2 table: (more in the first cell, either way)."""
    more, either, _ = exact_test(np.asarray(table)[None])
    return more, either


def wilson(right: float, total: float, z: float = Z95) -> tuple[float, float]:
    """Return Wilson's interval of a share, of counts or of weights; 0 to 1 of nothing.

    Notes
    -----
    Wilson (1927), Journal of the American Statistical Association 22, 209-212.
    """
    if total == 0:
        return 0.0, 1.0
    share, over = right / total, 1 + z**2 / total
    middle = (share + z**2 / (2 * total)) / over
    half = z * np.sqrt(share * (1 - share) / total + z**2 / (4 * total**2)) / over
    return max(0.0, float(middle - half)), min(1.0, float(middle + half))


def area_interval(area: float, ones: int, others: int, z: float = Z95) -> tuple[float, float]:
    """Return an interval of an area under the ROC curve (Mann-Whitney U / (ones * others)).

    The areas from which the one seen is z standard deviations away: never empty at 0 and 1.

    Notes
    -----
    Newcombe (2006), Statistics in Medicine 25, 559-573, method 5.
    """
    from scipy.optimize import brentq

    many = (ones + others) / 2 - 1

    def off(true: float) -> float:
        spread = true * (1 - true) * (1 + many * ((1 - true) / (2 - true) + true / (1 + true)))
        return float((area - true) ** 2 - z**2 * spread / (ones * others))

    # The area itself is a root when it is 0 or 1: not the one meant.
    low = brentq(off, 0.0, area * (1 - 1e-9)) if area > 0 else 0.0
    high = brentq(off, area + (1 - area) * 1e-9, 1.0) if area < 1 else 1.0
    return float(low), float(high)


class Kappa(NamedTuple):
    """Agreement beyond chance of two observers: kappa, its standard error, a 95 % interval."""

    kappa: float
    error: float
    low: float
    high: float


def cohen_kappa(table: ArrayLike) -> Kappa | None:
    """Return Cohen's kappa of a table of counts (first observer down, second across).

    Parameters
    ----------
    table : array_like, shape (k, k)

    Returns
    -------
    Kappa or None
        None where there is nothing to agree on: nobody ever said anything but one word. The
        interval is kappa and 1.96 standard errors; where all agree, and the error is nought, its
        low end is that of Wilson's interval of the share agreed, with agreement by chance held.

    Notes
    -----
    Cohen (1960), Educational and Psychological Measurement 20, 37-46; standard error of Fleiss,
    Cohen and Everitt (1969), Psychological Bulletin 72, 323-327.
    """
    counts = np.asarray(table, dtype=float)
    total = counts.sum()
    if not total:
        return None
    share = counts / total
    first, second = share.sum(axis=1), share.sum(axis=0)
    agreed, by_chance = float(np.trace(share)), float(first @ second)
    if by_chance > 1 - 1e-12:
        return None
    kappa = (agreed - by_chance) / (1 - by_chance)
    margins = second[:, None] + first[None, :]
    on = (np.diag(share) * (1 - np.diag(margins) * (1 - kappa)) ** 2).sum()
    off = (1 - kappa) ** 2 * ((share * margins**2).sum() - (np.diag(share * margins**2)).sum())
    variance = (on + off - (kappa - by_chance * (1 - kappa)) ** 2) / (1 - by_chance) ** 2
    error = float(np.sqrt(max(variance, 0.0) / total))
    low, high = kappa - Z95 * error, min(1.0, kappa + Z95 * error)
    if agreed == 1:
        low = (wilson(int(total), int(total))[0] - by_chance) / (1 - by_chance)
    return Kappa(kappa, error, max(-1.0, low), high)


def permutation_p(at_least: int, draws: int) -> float:
    """Return the p-value of a permutation test: never zero.

    Parameters
    ----------
    at_least : int
        Shuffles whose statistic was at least the observed one.
    draws : int
        Shuffles drawn.

    Notes
    -----
    (1 + k) / (1 + n): the order as it happened is itself one of the orders. Phipson and Smyth
    (2010), Statistical Applications in Genetics and Molecular Biology 9(1), 39.
    """
    return (1 + at_least) / (1 + draws)


def smallest_found(
    pitches: int,
    condition_share: float = 0.2,
    *,
    base: float = 0.25,
    level: float = 0.05 / 12,
    power: float = 0.8,
) -> float:
    """Return the smallest habit that would be found, as points of share over `base`.

    A habit raises a label's share from `base` in the other pitches to `base` + the answer under
    the condition; a one-sided test of two shares at `level` finds it with `power` (normal
    approximation, pooled variance under no habit). 100 less `base` when nothing would be found.

    Parameters
    ----------
    pitches : int
        Pitches asked about.
    condition_share : float
        Share of them that meet the condition.

    Notes
    -----
    `level` is that of one family of twelve: an assumption that only one habit is there.
    """
    from scipy.optimize import brentq
    from scipy.special import ndtri

    inside = pitches * condition_share
    outside = pitches - inside
    if min(inside, outside) < 1:
        return 100 * (1 - base)
    alpha, beta = -ndtri(level), ndtri(power)

    def short_by(habit: float) -> float:
        pooled = base + habit * condition_share
        by_chance = pooled * (1 - pooled) * (1 / inside + 1 / outside)
        share = base + habit
        with_habit = share * (1 - share) / inside + base * (1 - base) / outside
        return float(habit - alpha * np.sqrt(by_chance) - beta * np.sqrt(with_habit))

    if short_by(1 - base) < 0:
        return 100 * (1 - base)
    return 100 * float(brentq(short_by, 0.0, 1 - base))
