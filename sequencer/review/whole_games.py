"""Factors that hold for a whole game, such as the catcher: games are shuffled, not pitches.

Where hitters differ, the side a hitter stands on is such a factor too: hitters are shuffled.
"""

import dataclasses
from collections.abc import Iterator
from math import lgamma
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import SMALLEST_VARIANCE, Held, Question, cross, held_by
from sequencer.review.screen import DRAWS, Tested, bars_of, decide

#: Share of pitches in games where the factor changes from which on pitches of a game are compared
#: with one another. Common practice, no source.
MIXED_FROM: Final = 0.3
#: Fewer orders of the games than this could never reach .05 of one question in twelve.
FEWEST_ORDERS: Final = 12 / 0.05
_BATCH: Final = 250


def is_whole(question: Question, unit: Codes) -> bool:
    """Tell whether the factor is constant within nearly every unit, (pitches of the log,)."""
    table = _by_unit(unit[question.rows], question)
    mixed = (table > 0).sum(axis=1) > 1
    return float(table[mixed].sum()) < MIXED_FROM * len(question)


def majority(
    question: Question,
    log: Coded,
    unit: Codes,
    held: tuple[Held, ...],
    also_held: tuple[Held, ...] = (),
    also: tuple[Codes, ...] = (),
) -> Question:
    """Keep the pitches of each unit's usual class, usual rates going by what is held."""
    own = unit[question.rows]
    usual = _by_unit(own, question).argmax(axis=1)
    keep = usual[own] == question.classes
    rows = question.rows[keep]
    return dataclasses.replace(
        question,
        rows=rows,
        classes=question.classes[keep],
        labels=question.labels[keep],
        factors=held_by(held, log.only(rows), also_held, tuple(one[rows] for one in also)),
    )


def orders(question: Question, unit: Codes) -> float:
    """Return in how many different ways the factor could have fallen on the units."""
    sizes = np.bincount(_class_of_units(question, unit)[0])
    log_orders = lgamma(sizes.sum() + 1) - sum(lgamma(size + 1) for size in sizes.tolist())
    return float(np.exp(min(log_orders, 700.0)))


def answer_by_unit(
    question: Question, unit: Codes, rng: np.random.Generator, allowed: float
) -> Tested | None:
    """Shuffle the factor over whole units; a label's surplus in a game moves with its game.

    Parameters
    ----------
    question : Question
        As `majority` returns it.
    unit : ndarray, shape (pitches of the log,)
        Games, or hitters.
    rng : numpy Generator
    allowed : float
        False alarms allowed this question.

    Returns
    -------
    Tested or None
        None when no contrast could move.
    """
    classes, place = _class_of_units(question, unit)
    games = len(classes)
    # what each game's pitches add to every contrast, were the game of each class: (games, C, A)
    surplus = _surplus(question, place, games)
    seen = surplus[np.arange(games), :, classes].sum(axis=0)
    mean, variance = _moments(surplus, classes)
    counted = question.usual.told_apart(question.classes, question.weights).variance
    kept = np.flatnonzero((variance > 1e-9) & (counted >= SMALLEST_VARIANCE))
    if not kept.size:
        return None

    def shuffled() -> Iterator[NDArray[np.float64]]:
        for _ in range(DRAWS // _BATCH):
            dealt = rng.permuted(np.broadcast_to(classes, (_BATCH, games)), axis=1)
            moved = surplus[np.arange(games)[None, :], :, dealt].sum(axis=1)[:, kept]
            yield np.asarray((moved - mean[kept]) / np.sqrt(variance[kept]), dtype=float)

    usually = np.zeros(question.shape)
    np.add.at(usually, question.classes, question.usual.rates)
    bars = bars_of(question, kept, usually, variance[kept], allowed)
    tested = decide(kept, seen[kept], mean[kept], variance[kept], bars, shuffled())
    expected = np.einsum("ab,cab->c", usually, question.weights[kept])
    return dataclasses.replace(tested, count=seen[kept] + expected, mean=expected)


def _by_unit(own: Codes, question: Question) -> NDArray[np.float64]:
    return cross(own, question.classes, (int(own.max()) + 1, question.shape[0]))


def _class_of_units(question: Question, unit: Codes) -> tuple[Codes, Codes]:
    """Return the class of each unit present, and each pitch's place among these units."""
    _, first, place = np.unique(unit[question.rows], return_index=True, return_inverse=True)
    return question.classes[first], place.astype(np.int64)


def _surplus(question: Question, place: NDArray[np.int64], games: int) -> NDArray[np.float64]:
    labels = question.shape[1]
    residual = np.eye(labels)[question.labels] - question.usual.rates
    by_game = np.zeros((games, labels))
    np.add.at(by_game, place, residual)
    return np.asarray(np.einsum("gb,cab->gca", by_game, question.weights), dtype=float)


def _moments(
    surplus: NDArray[np.float64], classes: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return mean and variance over random matchings of games and classes, (contrasts,)."""
    games = len(classes)
    share = np.bincount(classes, minlength=surplus.shape[2]) / games
    by_game = surplus @ share
    by_class = surplus.mean(axis=0)
    centred = surplus - by_game[:, :, None] - by_class[None] + by_game.mean(axis=0)[None, :, None]
    variance = (centred**2 @ share).sum(axis=0) * games / max(games - 1, 1)
    return by_game.sum(axis=0), variance
