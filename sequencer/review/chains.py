"""The pitches before as a factor: today's label is tomorrow's condition, so both move together.

Holding the labels before in place while the others are drawn again would let no log be drawn in
which a pitch and the one after it differ from what was seen together: in small cells every pitcher
would seem to change too often (measured). Here every pitch is drawn, and what came before is read
from the draw. What is counted is how a pitch and those before it depart from the usual at once, so
that what the usual rates were fitted from moves it little.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final, Self

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import SMALLEST_VARIANCE, Held, Question, held_by
from sequencer.review.screen import (
    MANY,
    Dealer,
    Tested,
    bars_of,
    batches_of,
    by_label,
    decide,
    free,
    normals,
    ones_of,
    widened,
)
from sequencer.review.usual import Usual

Floats = NDArray[np.float64]

#: Counts that all vary by so much are drawn as normal (their skewness is a few hundredths).
HARDLY_SKEWED: Final = 50.0


@dataclass(frozen=True, eq=False)
class Chain:
    """A pitcher's labels in order, and how often each would usually come.

    Attributes
    ----------
    rows : ndarray, shape (pitches,)
        Positions in the coded log of every pitch whose label is known.
    labels : ndarray, shape (pitches,)
    usual : Usual
    before : ndarray, shape (run, links)
        Places of the pitches before; the last the farthest back.
    after : ndarray, shape (links,)
        Places of the pitches that come after them.
    """

    rows: Codes
    labels: Codes
    usual: Usual
    before: Codes
    after: Codes

    @classmethod
    def of(
        cls,
        question: Question,
        log: Coded,
        also_held: tuple[Held, ...] = (),
        also: tuple[Codes, ...] = (),
    ) -> Self:
        """Return the chain a question about the pitches before is put to."""
        label = log.label(question.pattern.label)
        known = np.unique(label[question.rows])
        known = np.union1d(known, np.unique(log.previous[question.rows]))
        rows = np.flatnonzero(np.isin(label, known))
        labels = np.searchsorted(known, label[rows]).astype(np.int64)
        held = question.pattern.held
        factors = held_by(held, log.only(rows), also_held, tuple(one[rows] for one in also))
        links = np.where(
            (np.diff(log.order[rows], prepend=-2) == 1)
            & (np.diff(log.at_bat[rows], prepend=-2) == 0),
            np.arange(len(rows)) - 1,
            -1,
        )
        before, after = [], np.arange(len(rows))
        back = after
        for _ in range(question.pattern.run):
            back = np.where(back >= 0, links[back], -1)
            before.append(back)
        complete = before[-1] >= 0
        usual = Usual.of(factors, labels, question.shape[1])
        return cls(rows, labels, usual, np.stack(before)[:, complete], after[complete])

    def counter(self, weights: Floats) -> Callable[[NDArray[np.int8]], Floats]:
        """Return what tells, of logs of labels (draws, pitches), each contrast: (draws, contrasts).

        How a pitch and those before it depart from the usual at once, added up over pitches:
        counted pairs, less what either side alone makes usual.
        """
        labels = weights.shape[1]
        earlier, now = self.rates()
        by_earlier = by_label(np.matmul(now, weights.transpose(0, 2, 1)))
        by_now = by_label(np.matmul(earlier, weights))
        even = np.einsum("ab,cab->c", earlier.T @ now, weights)
        paired = np.pad(weights, ((0, 0), (0, 1), (0, 0))).reshape(len(weights), -1)

        def counted(drawn: NDArray[np.int8]) -> Floats:
            alike, then = self._alike(drawn, labels), drawn[:, self.after]
            pairs = alike.astype(np.int32) * labels + then
            bins = paired.shape[1]
            pairs += np.arange(len(drawn), dtype=np.int32)[:, None] * bins
            counts = np.bincount(pairs.ravel(), minlength=bins * len(drawn)).reshape(-1, bins)
            usually = ones_of(alike, labels) @ by_earlier + ones_of(then, labels) @ by_now
            return np.asarray(counts @ paired.T - usually + even, dtype=float)

        return counted

    def rates(self) -> tuple[Floats, Floats]:
        """(links, labels): how often what came before is of each label, and what comes then."""
        rates = self.usual.rates
        return np.prod(rates[self.before], axis=0), rates[self.after]

    def _alike(self, drawn: NDArray[np.int8], labels: int) -> NDArray[np.int8]:
        """(draws, links): the label of the pitches before, one past the last where they differ."""
        first = drawn[:, self.before[0]]
        for back in self.before[1:]:
            first = np.where(drawn[:, back] == first, first, np.int8(labels))
        return first

    def added(self, weights: Floats) -> Floats:
        """Return what each pitch that comes after another adds to a contrast, (links,)."""
        labels, (earlier, now) = weights.shape[1], self.rates()
        alike = self._alike(self.labels.astype(np.int8)[None], labels)[0]
        before = np.eye(labels + 1)[alike][:, :labels] - earlier
        then = np.eye(labels)[self.labels[self.after]] - now
        return np.asarray(np.einsum("ia,ab,ib->i", before, weights, then), dtype=float)

    def covariance(self, weights: Floats) -> Floats:
        """Return how contrasts vary by chance, (contrasts, contrasts); exact given the rates."""
        earlier, now = self.rates()
        # sum over pitches of (diag(q) - q q') x (diag(p) - p p'), never formed pitch by pitch
        both = (earlier[:, :, None] * earlier[:, None, :]).reshape(len(earlier), -1)
        pairs = (now[:, :, None] * now[:, None, :]).reshape(len(now), -1)
        labels = now.shape[1]
        by_q = (both.T @ now).reshape(labels, labels, labels)
        by_p = (earlier.T @ pairs).reshape(labels, labels, labels)
        by_both = (both.T @ pairs).reshape((labels,) * 4)
        moved = np.einsum("ab,cab,dab->cd", earlier.T @ now, weights, weights, optimize=True)
        moved -= np.einsum("xyb,cxb,dyb->cd", by_q, weights, weights, optimize=True)
        moved -= np.einsum("axy,cax,day->cd", by_p, weights, weights, optimize=True)
        moved += np.einsum("xyuv,cxu,dyv->cd", by_both, weights, weights, optimize=True)
        return np.asarray(moved, dtype=float)

    def skewness(self, weights: Floats) -> Floats:
        """Return the third cumulant of each contrast, (contrasts,), as if pitches were apart."""
        earlier, now = self.rates()
        by_now = np.matmul(earlier, weights).transpose(2, 0, 1)
        by_earlier = np.matmul(now, weights.transpose(0, 2, 1)).transpose(2, 0, 1)
        even = (by_now * now.T[:, None]).sum(axis=0)
        none = np.zeros_like(even)
        third = np.zeros(len(weights))
        for a in range(now.shape[1] + 1):
            last = a == now.shape[1]
            share = 1.0 - earlier.sum(axis=1) if last else earlier[:, a]
            for b in range(now.shape[1]):
                counts = 0.0 if last else weights[:, a, b, None]
                more = counts - by_now[b] - (none if last else by_earlier[a]) + even
                third += (more * more * more) @ (share * now[:, b])
        return third


def answer_by_chain(
    question: Question, chain: Chain, dealer: Dealer, allowed: float
) -> Tested | None:
    """Draw a whole log at a time, each pitch then being the one before its successor.

    Parameters
    ----------
    question : Question
        Its classes are the labels before, in the same codes.
    chain : Chain
    dealer : Dealer
        Of the chain's usual rates.
    allowed : float
        False alarms allowed this question.

    Returns
    -------
    Tested or None
        None when no contrast could move.
    """
    every = question.weights
    together = chain.covariance(every)
    kept = np.flatnonzero(np.diagonal(together) >= SMALLEST_VARIANCE)
    if not kept.size:
        return None
    weights, together = every[kept], together[np.ix_(kept, kept)]
    chance = np.diagonal(together)
    spread = np.sqrt(chance)
    counted = chain.counter(weights)

    def drawn() -> Iterator[Floats]:
        if chance.min() >= MANY:
            even = chance.min() >= HARDLY_SKEWED
            lean = np.zeros_like(spread) if even else chain.skewness(weights) / spread**3
            yield from normals(together / np.outer(spread, spread), lean, dealer.rng)
            return
        for number, draws in enumerate(batches_of(len(chain.labels))):
            yield counted(dealer.batch(number, draws)) / spread

    more = counted(chain.labels.astype(np.int8)[None])[0]
    count = np.einsum("ab,cab->c", question.table, weights)
    earlier, now = chain.rates()
    bars = bars_of(question, kept, earlier.T @ now, chance, allowed)
    size = len(chain.labels)
    variance, left = chance * widened(chain.usual, size), free(chain.usual, size)
    return decide(kept, count, count - more, variance, bars, drawn(), left)
