"""Is there a pattern? One permutation p for each question, false alarms kept to their rate.

The statistic of a question is the largest of its directed contrasts: the count of a label under
a condition, less its mean over shuffles, over its standard deviation over shuffles, both exact.
Labels are shuffled only among pitches alike in what the pattern holds.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.question import SMALLEST_VARIANCE, Question, cross
from sequencer.review.statistics import benjamini_hochberg, permutation_p

Floats = NDArray[np.float64]
Shuffler = Callable[[int], Floats]

#: Shuffles of a question that stays in doubt.
SHUFFLES: Final = 4000
#: Stop once this many shuffles did as well as the pitcher: p is then known to within a sixth
#: (sequential Monte Carlo test of Besag and Clifford 1991, Biometrika 78, 301-304).
STOP_AFTER: Final = 40
#: Labels moved in one go: a megabyte, so that it stays in the processor's cache.
_CHUNK: Final = 1 << 17
_STRATUM_SHIFT: Final = np.uint64(44)
_LABEL_MASK: Final = np.uint64(31)
_RANDOM_MASK: Final = np.uint64((1 << 44) - 32)
#: q from which on a pattern is told as one.
FLAG: Final = 0.05


@dataclass(frozen=True)
class Tested:
    """A question answered.

    Attributes
    ----------
    kept : ndarray, shape (contrasts,)
        Places in the question's contrasts of those that could move at all.
    count, mean, variance, z : ndarray, shape (contrasts,)
        Seen, expected over shuffles, variance over shuffles, and distance in standard deviations.
    p : float
        Of the whole question; 1 when nothing could move.
    stepped : ndarray, shape (contrasts,)
        P of each contrast with all the others looked at counted in (step-down).
    shuffles : int
        Shuffles drawn.
    """

    kept: NDArray[np.int64]
    count: Floats
    mean: Floats
    variance: Floats
    z: Floats
    p: float
    stepped: Floats
    shuffles: int

    @property
    def strongest(self) -> int:
        """Place of the strongest contrast among those kept."""
        return int(np.argmax(self.z))


def answer(question: Question, rng: np.random.Generator) -> Tested | None:
    """Shuffle labels within strata and return what the question's answer is worth.

    Returns
    -------
    Tested or None
        None when no contrast could move.
    """
    mean, variance = moments(question)
    kept = np.flatnonzero(variance >= SMALLEST_VARIANCE)
    if not kept.size:
        return None
    weights = question.weights[kept].reshape(len(kept), -1)
    seen = weights @ cross(question.classes, question.labels, question.shape).ravel()
    deck = Deck(question)

    def shuffled(draws: int) -> Floats:
        return _tables(question, deck, draws, rng) @ weights.T

    return decide(kept, seen, mean[kept], variance[kept], shuffled, len(question))


def decide(
    kept: NDArray[np.int64],
    seen: Floats,
    mean: Floats,
    variance: Floats,
    shuffled: Shuffler,
    size: int,
) -> Tested:
    """Draw shuffles until the p-value is settled, and step down over the contrasts.

    Parameters
    ----------
    kept, seen, mean, variance : ndarray, shape (contrasts,)
    shuffled : callable
        Number of draws -> counts, shape (draws, contrasts).
    size : int
        Labels moved by one shuffle, to size the batches.
    """
    spread = np.sqrt(variance)
    z = (seen - mean) / spread
    drawn: list[Floats] = []
    at_least = total = 0
    for draws in _batches(size):
        batch = (shuffled(draws) - mean) / spread
        drawn.append(batch)
        hits = np.cumsum(batch.max(axis=1) >= z.max() - 1e-9)
        if at_least + hits[-1] >= STOP_AFTER:
            last = int(np.searchsorted(hits, STOP_AFTER - at_least))
            at_least, total = STOP_AFTER - 1, total + last
            break
        at_least, total = at_least + int(hits[-1]), total + draws
    p = permutation_p(at_least, total)
    stepped = np.maximum(step_down(z, np.concatenate(drawn)), p)
    return Tested(kept, seen, mean, variance, z, p, stepped, total)


def _batches(size: int) -> Iterator[int]:
    """Yield sizes of batches of shuffles, SHUFFLES in all."""
    most = max(1, _CHUNK // max(size, 1))
    left = SHUFFLES
    while left:
        draws = min(most, left, 250)
        yield draws
        left -= draws


def step_down(z: Floats, shuffled: Floats) -> Floats:
    """Return the p of each contrast, the largest of those not yet passed being compared.

    Westfall and Young (1993), Resampling-Based Multiple Testing, free step-down of the maximum.

    Parameters
    ----------
    z : ndarray, shape (contrasts,)
    shuffled : ndarray, shape (draws, contrasts)
    """
    order = np.argsort(-z, kind="stable")
    rest = np.maximum.accumulate(shuffled[:, order[::-1]], axis=1)[:, ::-1]
    at_least = (rest >= z[order] - 1e-9).sum(axis=0)
    stepped = np.empty_like(z)
    stepped[order] = np.maximum.accumulate((1 + at_least) / (1 + len(shuffled)))
    return stepped


def moments(question: Question) -> tuple[Floats, Floats]:
    """Return the exact mean and variance of every contrast's count over shuffles, (contrasts,).

    Within a stratum of N pitches the count is a sum of weights over a random matching of classes
    and labels; its variance is that of the doubly centred weights over N - 1.
    """
    weights = question.weights
    strata, (classes, labels) = int(question.strata.max()) + 1, question.shape
    in_class = cross(question.strata, question.classes, (strata, classes))
    in_label = cross(question.strata, question.labels, (strata, labels))
    size = in_class.sum(axis=1)
    by_class = np.einsum("sb,cab->sca", in_label / size[:, None], weights)
    by_label = np.einsum("sa,cab->scb", in_class / size[:, None], weights)
    grand = np.einsum("sa,sca->sc", in_class / size[:, None], by_class)
    # sum of n_a m_b (w - r_a - c_b + g)^2 expanded, so that (strata, classes, labels) never is
    squares = np.einsum("sa,sb,cab->sc", in_class, in_label, weights**2, optimize=True)
    squares -= size[:, None] * np.einsum("sa,sca->sc", in_class, by_class**2)
    squares -= size[:, None] * np.einsum("sb,scb->sc", in_label, by_label**2)
    squares += (size**2)[:, None] * grand**2
    variance = squares / np.maximum(size - 1, 1)[:, None]
    return (grand * size[:, None]).sum(axis=0), np.maximum(variance, 0).sum(axis=0)


class Deck:
    """The labels of a question, to be dealt again within strata.

    One sort deals every stratum of every draw: the key is the stratum, then random bits, then the
    label, so that sorted keys hold the labels in a random order within each stratum.

    Attributes
    ----------
    order, place : ndarray, shape (pitches,)
        Pitches in the order of a deal's columns, and the column of each pitch.
    """

    def __init__(self, question: Question) -> None:
        self.order = np.argsort(question.strata, kind="stable")
        self.place = np.argsort(self.order)
        strata = question.strata[self.order].astype(np.uint64) << _STRATUM_SHIFT
        self._fixed = strata | question.labels[self.order].astype(np.uint64)

    def deal(self, draws: int, rng: np.random.Generator) -> NDArray[np.int64]:
        """Return labels dealt at random, (draws, pitches), columns as `order`."""
        keys: NDArray[np.uint64] = rng.bit_generator.random_raw((draws, len(self.order)))
        keys &= _RANDOM_MASK
        keys |= self._fixed
        keys.sort(axis=1)
        keys &= _LABEL_MASK
        return keys.view(np.int64)


def _tables(question: Question, deck: Deck, draws: int, rng: np.random.Generator) -> Floats:
    """Return tables of class by label over deals, (draws, classes * labels)."""
    classes, labels = question.shape
    cells = deck.deal(draws, rng)
    cells += question.classes[deck.order] * labels
    cells += (np.arange(draws) * (classes * labels))[:, None]
    counts = np.bincount(cells.ravel(), minlength=draws * classes * labels)
    return counts.reshape(draws, classes * labels).astype(float)


def across(p: list[float]) -> Floats:
    """Return q over all the questions asked of one pitcher (Benjamini-Hochberg)."""
    return benjamini_hochberg(p) if p else np.zeros(0)


def within(tested: Tested, q: float, asked: int, flagged: int) -> Floats:
    """Return q of each contrast of a flagged question.

    Inside a selected family the level is the share of families selected times the level (Benjamini
    and Bogomolov 2014, Journal of the Royal Statistical Society B 76, 297-318).
    """
    return np.minimum(1.0, np.maximum(q, tested.stepped * asked / max(flagged, 1)))
