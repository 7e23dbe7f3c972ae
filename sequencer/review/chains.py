"""The pitch before as a factor: today's label is tomorrow's condition, so both move together.

Holding the labels before in place while the others are dealt again would let a pitch be dealt its
own predecessor's label, which the pitcher could not have thrown again without throwing it twice: in
small strata every pitcher would seem to change too often. Here every pitch but the first of an
at-bat is dealt a label of its stratum, and what came before is read from the deal.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import Coded
from sequencer.review.question import SMALLEST_VARIANCE, Question, cross
from sequencer.review.screen import Deck, Tested, decide

Floats = NDArray[np.float64]

#: Deals that settle the mean and spread of each contrast before the test's own: enough for a
#: twentieth of the spread.
PILOT: Final = 400


def answer_by_chain(question: Question, log: Coded, rng: np.random.Generator) -> Tested | None:
    """Deal labels within strata, each pitch then being the one before its successor.

    Parameters
    ----------
    question : Question
        Its classes are the labels before, in the same codes.
    log : Coded
    rng : numpy Generator

    Returns
    -------
    Tested or None
        None when no contrast could move.
    """
    links = _links(question, log)
    weights = question.weights.reshape(len(question.contrasts), -1)
    deck = Deck(question)

    def dealt(draws: int) -> Floats:
        return _tables(question, deck, links, draws, rng) @ weights.T

    batch = max(1, (1 << 17) // len(question))
    pilot = np.concatenate([dealt(min(batch, PILOT - i)) for i in range(0, PILOT, batch)])
    mean, variance = pilot.mean(axis=0), pilot.var(axis=0, ddof=1)
    kept = np.flatnonzero(variance >= SMALLEST_VARIANCE)
    if not kept.size:
        return None
    seen = weights @ cross(question.classes, question.labels, question.shape).ravel()

    def shuffled(draws: int) -> Floats:
        return dealt(draws)[:, kept]

    return decide(kept, seen[kept], mean[kept], variance[kept], shuffled, len(question))


def _links(question: Question, log: Coded) -> NDArray[np.int64]:
    """Return each pitch's predecessor among the pitches dealt, -1 where that one stays as it is."""
    order, at_bat = log.order[question.rows], log.at_bat[question.rows]
    follows = (np.diff(order, prepend=-2) == 1) & (np.diff(at_bat, prepend=-2) == 0)
    return np.where(follows, np.arange(len(order)) - 1, -1)


def _tables(
    question: Question,
    deck: Deck,
    links: NDArray[np.int64],
    draws: int,
    rng: np.random.Generator,
) -> Floats:
    """Return tables of label before by label over deals, (draws, labels * labels)."""
    classes, labels = question.shape
    now = deck.deal(draws, rng)[:, deck.place]
    before = np.where(links >= 0, now[:, links], question.classes)
    cells = before * labels + now
    cells += (np.arange(draws) * (classes * labels))[:, None]
    counts = np.bincount(cells.ravel(), minlength=draws * classes * labels)
    return counts.reshape(draws, classes * labels).astype(float)
