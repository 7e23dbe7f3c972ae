"""Bias and spread of throws about their targets, from places seen only so well.

A throw is known to have been *seen* inside a box (a point when inches were measured, a cell or a
half-plane when a bench said so), and seeing itself errs. The misses behind are a normal with a
share of lost throws that spread wider; mean and covariance have a normal-inverse-Wishart prior.
Expectation-maximisation (Dempster, Laird and Rubin 1977) finds them without ever subtracting one
variance from another, so none can be negative; what could not be seen is taken off the surety by
Louis (1982).
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.pitcher import LOST_WIDER
from sequencer.estimates.shrinkage import shrunk

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Share of lost pitches, and the throws that it weighs (assumptions).
LOST: Final = 0.03
LOST_THROWS: Final = 60.0
#: Throws that the level's spread weighs. One pitch of a professional differs in strikes by .23 in
#: log odds (`strikes.PITCHER_SD` and `TYPE_SD`), which fall by 2.1 for one in the log of the spread
#: (the league's steps, aimed at quarters and the middle): were all of it spread, spreads would
#: differ by 11 per cent, a weight of 24. No open log has targets to tell more; that it holds below
#: the professionals is an assumption.
PRIOR_THROWS: Final = 25.0
#: Throws that no bias weighs (assumption: biases of a pitcher's pitch spread about 3 inches). It
#: cannot be estimated from data at hand: without targets a pitcher's aim and his bias are one.
BIAS_THROWS: Final = 11.0
#: Nodes of the integral over a box, one direction, and how far it reaches in standard deviations.
_NODES: Final = 9
_RULE: Final = np.polynomial.legendre.leggauss(_NODES)
_REACH: Final = 4.5
_ROUNDS: Final = 60
#: Settled when bias and spread move by less than this share of the prior spread in a round.
_SETTLED: Final = 2e-4
_SCALES: Final = (1.0, LOST_WIDER**2)


class Throws(NamedTuple):
    """Charted throws of one type, inches from the target: sides of the box seen, error of seeing.

    `low` and `high` (n, 2) are equal where inches were measured and may be infinite; `error`
    (n, 2) holds variances, inches squared.
    """

    low: Floats
    high: Floats
    error: Floats

    @classmethod
    def measured(cls, miss: Floats, error: Floats | float = 0.0) -> "Throws":
        """Return throws whose misses (n, 2) were seen in inches."""
        return cls(miss, miss, np.broadcast_to(np.asarray(error, dtype=np.float64), miss.shape))

    @classmethod
    def none(cls) -> "Throws":
        """Return no throws."""
        return cls.measured(np.empty((0, 2)))

    @classmethod
    def joined(cls, parts: "Sequence[Throws]") -> "Throws":
        """Return all throws of several logs."""
        held = [cls.none(), *parts]
        return cls(*(np.concatenate(column) for column in zip(*held, strict=True)))


class Spread(NamedTuple):
    """What is believed of the misses.

    Attributes
    ----------
    mean, mean_cov : arrays (2,), (2, 2)
        The bias and how surely it is known.
    cov : array (2, 2)
        Mean of the posterior of the covariance of one throw.
    freedom : float
        Throws behind `cov`: the prior's and his own, less what was not seen of them.
    lost : float
        Share of lost throws.
    """

    mean: Floats
    mean_cov: Floats
    cov: Floats
    freedom: float
    lost: float


def spread_of(
    throws: Throws,
    prior_cov: Floats,
    *,
    prior_mean: Floats | None = None,
    mean_weight: float = BIAS_THROWS,
    freedom: float = PRIOR_THROWS,
    lost: float = LOST,
    lost_weight: float = LOST_THROWS,
) -> Spread:
    """Return the posterior of bias, covariance and share of lost throws.

    Parameters
    ----------
    throws : Throws
    prior_cov : array (2, 2)
        Covariance of the prior, inches squared; it weighs `freedom` throws.
    prior_mean : array (2,), optional
        Mean of the prior, nought when not given; it weighs `mean_weight` throws.
    lost, lost_weight : float
        Prior share of lost throws and the throws that it weighs; a weight of infinity fixes it.
    """
    centre = np.zeros(2) if prior_mean is None else np.asarray(prior_mean, dtype=np.float64)
    seen, times = _distinct(throws)
    found = _Now(centre, prior_cov, lost)
    scale = float(np.sqrt(np.trace(prior_cov) / 2.0))
    prior = _Prior(centre, prior_cov, mean_weight, freedom, lost, lost_weight)
    for _ in range(_ROUNDS if times.size else 0):
        before, found = found, _maximised(_expected(seen, found), times, prior)
        moved = np.abs(found.mean - before.mean).max() / scale
        if max(moved, np.abs(found.cov - before.cov).max() / scale**2) < _SETTLED:
            break
    return _summed_up(seen, times, found, prior)


class _Now(NamedTuple):
    mean: Floats
    cov: Floats
    lost: float


class _Prior(NamedTuple):
    mean: Floats
    cov: Floats
    mean_weight: float
    freedom: float
    lost: float
    lost_weight: float


class _Expected(NamedTuple):
    """By part (held, lost) and distinct throw: chance, mean (2,) and covariance of the true miss.

    Means are about nought, not about the bias.
    """

    chance: Floats
    mean: Floats
    cov: Floats


def _distinct(throws: Throws) -> tuple[Throws, Ints]:
    """Return throws that differ, and how often each was thrown: cells come again and again."""
    rows = np.hstack([throws.low, throws.high, throws.error])
    if not len(rows):
        return throws, np.zeros(0, dtype=np.intp)
    rows, times = np.unique(rows, axis=0, return_counts=True)
    return Throws(rows[:, :2], rows[:, 2:4], rows[:, 4:]), times


class _Look(NamedTuple):
    """One part's view of some throws: rows, pull of the seen place, nodes (n, q, 2), weights."""

    rows: Bools
    pull: Floats
    doubt: Floats
    log: Floats
    nodes: Floats
    weight: Floats


def _looks(seen: Throws, now: _Now, scale: float) -> Iterator[_Look]:
    """Look at the throws seen as points, then at those seen in boxes."""
    own = now.cov * scale
    point = (seen.low == seen.high).all(axis=1)
    for rows, look in ((point, _at_points), (~point, _in_boxes)):
        if rows.any():
            some = Throws(*(column[rows] for column in seen))
            seeing = own + some.error[:, :, None] * np.eye(2)
            pull = own @ _inverse(seeing)
            yield _Look(rows, pull, own - pull @ own, *look(some, now.mean, seeing))


def _expected(seen: Throws, now: _Now) -> _Expected:
    """Return what each throw may have been, held or lost."""
    n = len(seen.low)
    log, mean, cov = np.empty((2, n)), np.empty((2, n, 2)), np.empty((2, n, 2, 2))
    for part, scale in enumerate(_SCALES):
        for one in _looks(seen, now, scale):
            at = np.einsum("nq,nqi->ni", one.weight, one.nodes)
            away = one.nodes - at[:, None]
            about = np.einsum("nq,nqi,nqj->nij", one.weight, away, away)
            log[part, one.rows] = one.log
            mean[part, one.rows] = now.mean + np.einsum("nij,nj->ni", one.pull, at - now.mean)
            cov[part, one.rows] = one.doubt + one.pull @ about @ np.swapaxes(one.pull, 1, 2)
    log += np.log([[1.0 - now.lost], [max(now.lost, 1e-12)]])
    chance = np.exp(log - np.logaddexp(log[0], log[1]))
    return _Expected(chance, mean, cov)


def _at_points(some: Throws, mean: Floats, seeing: Floats) -> tuple[Floats, Floats, Floats]:
    """Return log density of each throw, and the one place where it was seen."""
    one = some.low[:, None]
    return _log_normal(some.low - mean, seeing), one, np.ones(one.shape[:2])


def _in_boxes(some: Throws, mean: Floats, seeing: Floats) -> tuple[Floats, Floats, Floats]:
    """Return log chance of each box, nodes inside it and their chances."""
    y, log_weight = _nodes(some, mean, np.sqrt(np.einsum("nii->ni", seeing)))
    log = log_weight + _log_normal(y - mean, seeing[:, None])
    top = log.max(axis=1, keepdims=True)
    weight = np.exp(log - top)
    total = weight.sum(axis=1, keepdims=True)
    return (np.log(total) + top)[:, 0], y, weight / total


def _nodes(some: Throws, mean: Floats, sd: Floats) -> tuple[Floats, Floats]:
    """Return Gauss-Legendre nodes (n, q, 2) of each box and their log weights (n, q)."""
    low = np.clip(some.low, mean - _REACH * sd, None)
    high = np.clip(some.high, None, mean + _REACH * sd)
    # A box out of reach keeps the edge that looks to the mean, and a standard deviation of depth.
    low, high = np.where(low > high, high - sd, low), np.where(low > high, low + sd, high)
    low, high = np.maximum(low, some.low), np.minimum(high, some.high)
    x, w = _RULE
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    side = middle[:, None] + half[:, None] * x[None, :, None]
    first, second = np.meshgrid(np.arange(_NODES), np.arange(_NODES), indexing="ij")
    y = np.stack([side[:, first.ravel(), 0], side[:, second.ravel(), 1]], axis=-1)
    area = np.log(half.prod(axis=1))
    return y, area[:, None] + np.log(w[first.ravel()] * w[second.ravel()])


def _inverse(cov: Floats) -> Floats:
    """Return the inverses of (n, 2, 2) covariances, many times faster than in general."""
    a, b, d = cov[:, 0, 0], cov[:, 0, 1], cov[:, 1, 1]
    turned = np.stack([d, -b, -b, a], axis=-1) / (a * d - b * b)[:, None]
    return turned.reshape(-1, 2, 2)


def _log_normal(away: Floats, cov: Floats) -> Floats:
    """Return the log density of (..., 2) places about nought under covariances (..., 2, 2)."""
    a, b, d = cov[..., 0, 0], cov[..., 0, 1], cov[..., 1, 1]
    det = a * d - b * b
    x, y = away[..., 0], away[..., 1]
    distance = (d * x * x - 2.0 * b * x * y + a * y * y) / det
    return np.asarray(-0.5 * (distance + np.log(det)) - np.log(2.0 * np.pi))


def _maximised(seen: _Expected, times: Ints, prior: _Prior) -> _Now:
    """Return mean, covariance and lost share that fit what is expected, the prior with it."""
    n = float(times.sum())
    weight = seen.chance * times / np.array(_SCALES)[:, None]
    total = weight.sum() + prior.mean_weight
    mean = (np.einsum("pn,pni->i", weight, seen.mean) + prior.mean_weight * prior.mean) / total
    away = seen.mean - mean
    scatter = np.einsum("pn,pnij->ij", weight, seen.cov)
    scatter += np.einsum("pn,pni,pnj->ij", weight, away, away)
    shift = mean - prior.mean
    scatter += prior.freedom * prior.cov + prior.mean_weight * np.outer(shift, shift)
    if np.isinf(prior.lost_weight):
        lost = prior.lost
    else:
        slipped = float(seen.chance[1] @ times)
        lost = shrunk(slipped / n if n else 0.0, n, prior.lost, prior.lost_weight)
    return _Now(mean, scatter / (prior.freedom + n), lost)


def _summed_up(seen: Throws, times: Ints, now: _Now, prior: _Prior) -> Spread:
    """Return the posterior, with the surety that imperfect seeing leaves."""
    inverse = np.linalg.inv(now.cov)
    expected = _expected(seen, now)
    weight = expected.chance / np.array(_SCALES)[:, None]
    known = (prior.mean_weight + float((weight @ times).sum())) * inverse
    known -= inverse @ _score_doubt(expected, expected.mean - now.mean, times) @ inverse
    mean_cov = np.asarray(np.linalg.inv((known + known.T) / 2.0), dtype=np.float64)
    own = np.clip(_throws_worth(seen, expected.chance, times, now, prior), 0.0, times.sum())
    return Spread(now.mean, mean_cov, now.cov, prior.freedom + float(own), now.lost)


def _score_doubt(seen: _Expected, away: Floats, times: Ints) -> Floats:
    """Return the summed covariance of (miss - bias) / scale given what was seen, (2, 2)."""
    scale = np.array(_SCALES)[:, None]
    part = seen.cov + away[..., :, None] * away[..., None, :]
    square = np.einsum("pn,pnij,n->ij", seen.chance / scale**2, part, times)
    middle = np.einsum("pn,pni->ni", seen.chance / scale, away)
    return np.asarray(square - np.einsum("n,ni,nj->ij", times, middle, middle))


def _throws_worth(seen: Throws, chance: Floats, times: Ints, now: _Now, prior: _Prior) -> float:
    """Return how many throws seen exactly would tell as much of the spread as these.

    One such throw tells one unit of the log of the covariance's size: half its squared distance in
    spreads is the score, whose variance given what was seen is what is missing. What the doubt
    about the share of lost throws takes comes off as well.
    """
    middle, square = (np.empty_like(chance) for _ in range(2))
    inverse = np.linalg.inv(now.cov)
    for part, scale in enumerate(_SCALES):
        for one in _looks(seen, now, scale):
            away = (one.nodes - now.mean) @ np.swapaxes(one.pull, 1, 2)
            turned = inverse @ one.doubt
            half = np.einsum("nqi,ij,nqj->nq", away, inverse, away)
            half += np.einsum("nii->n", turned)[:, None]
            spread = 2.0 * np.einsum("nij,nji->n", turned, turned)[:, None]
            spread = spread + 4.0 * np.einsum("nqi,nij,jk,nqk->nq", away, turned, inverse, away)
            middle[part, one.rows] = (one.weight * half).sum(axis=1) / (2.0 * scale)
            square[part, one.rows] = (one.weight * (half**2 + spread)).sum(axis=1) / (4 * scale**2)
    mean = (chance * middle).sum(axis=0)
    missing = times @ ((chance * square).sum(axis=0) - mean**2)
    if np.isinf(prior.lost_weight):
        return float(times.sum() - missing)
    shared = times @ (chance[1] * (middle[1] - mean))
    least = (times.sum() + prior.lost_weight) * now.lost * (1.0 - now.lost)
    told = max(least - float(times @ (chance[0] * chance[1])), 1e-9)
    return float(times.sum() - missing - shared**2 / told)
