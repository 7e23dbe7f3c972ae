"""The reading opponent: what someone who watched every earlier pitch would have named."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.estimates.next_pitch import Forward, Outsider, Seen, forward, known_before
from sequencer.review.coded import COUNT_GROUPS, Coded
from sequencer.review.effect import Resampler

#: Pitches a reader watches before he is scored. Common practice, no source.
WATCHED_FIRST: Final = 20
#: Fewer scored pitches than this say nothing of a reader. Common practice, no source.
FEWEST_SCORED: Final = 30


@dataclass(frozen=True)
class Where:
    """How often the next pitch would have been named in one kind of count.

    Attributes
    ----------
    counts : str
    scored : int
    best_constant, guess_rate : float
        As of the whole.
    interval : (float, float)
        95 % interval of the guess rate.
    """

    counts: str
    scored: int
    best_constant: float
    guess_rate: float
    interval: tuple[float, float]


@dataclass(frozen=True)
class Reader:
    """How often the next pitch would have been named.

    Attributes
    ----------
    best_constant, guess_rate : float or None
        Share of pitches named right by always naming the pitch thrown most so far, and by the
        reader. None when too few pitches can be scored.
    interval : (float, float) or None
        95 % interval of the guess rate.
    skill, skill_interval
        Guess rate less best constant; at most zero, within its interval, when nothing can be read.
    bits : float or None
        What the reader knew more than the constant, bits per pitch.
    scored : int
    says : str
    where : tuple of Where
        The same by kind of count, those with pitches enough.
    """

    best_constant: float | None
    guess_rate: float | None
    interval: tuple[float, float] | None
    skill: float | None
    skill_interval: tuple[float, float] | None
    bits: float | None
    scored: int
    says: str
    where: tuple[Where, ...] = ()


def seen_of(log: Coded) -> tuple[Seen, NDArray[np.int64]]:
    """Return what a dugout saw of a coded log, and the positions of these pitches."""
    rows = np.flatnonzero((log.pitch >= 0) & (log.balls >= 0) & (log.strikes >= 0))
    known, label = np.unique(log.pitch[rows], return_inverse=True)
    label, group = label.astype(np.int64), log.pitcher[rows]
    game = (log.game[rows] + 1) * (int(group.max(initial=-1)) + 2) + group + 1
    columns = known_before(label, log.balls[rows], log.strikes[rows], log.at_bat[rows], game)
    columns |= {name: getattr(log, name)[rows] for name in ("bats", "outs", "bases")}
    return Seen(label, max(len(known), 1), columns, group), rows


def read(
    log: Coded, rng: np.random.Generator, outsiders: Mapping[str, Outsider] | None = None
) -> Reader:
    """Let the reader watch a log from its first pitch to its last and score him.

    Parameters
    ----------
    log : Coded
        Pitches in order, of one pitcher or of one caller.
    rng : numpy Generator
        For the intervals.
    outsiders : mapping, optional
        Further minds by name, such as `estimates.boosted.mind`.
    """
    seen, rows = seen_of(log)
    scored = max(len(seen) - WATCHED_FIRST, 0)
    if scored < FEWEST_SCORED:
        says = f"Too few pitches to say how well he is read ({scored} after the first twenty)."
        return Reader(None, None, None, None, None, None, scored, says)
    chances = forward(seen, outsiders=outsiders)
    late = slice(WATCHED_FIRST, None)
    named = chances.right(chances.reader)[late]
    constant = chances.right(chances.constant)[late]
    watched = log.only(rows[late])
    resampler = Resampler(watched, rng)
    at = np.arange(scored)
    where = tuple(_where(watched, named, constant, resampler))
    return Reader(
        best_constant=float(constant.mean()),
        guess_rate=float(named.mean()),
        interval=_share(resampler.interval(at, named)),
        skill=float((named - constant).mean()),
        skill_interval=_share(resampler.interval(at, named - constant)),
        bits=_bits(chances, late),
        scored=scored,
        says=_says(float(named.mean()), float(constant.mean())) + _best(where, float(named.mean())),
        where=where,
    )


def _where(
    log: Coded, named: NDArray[np.float64], constant: NDArray[np.float64], resampler: Resampler
) -> Iterator[Where]:
    """Yield the kinds of count with pitches enough to score a reader in."""
    for group, counts in enumerate(COUNT_GROUPS):
        here = np.flatnonzero(log.count_group == group)
        if len(here) >= FEWEST_SCORED:
            rate = float(named[here].mean())
            # what he names more or less than so many, per 100 pitches of the log
            low, high = resampler.interval(here, named[here] - rate)
            share = 100 * len(here) / len(log)
            interval = max(rate + low / share, 0.0), min(rate + high / share, 1.0)
            yield Where(counts, len(here), float(constant[here].mean()), rate, interval)


def _best(where: tuple[Where, ...], named: float) -> str:
    """Say where the reader guesses best, if that is better than he guesses by and large."""
    better = [each for each in where if each.interval[0] > named]
    if not better:
        return ""
    best = max(better, key=lambda each: each.guess_rate)
    return (
        f" He is read best {_IN[best.counts]}: {100 * best.guess_rate:.0f} of 100, his usual "
        f"pitch {100 * best.best_constant:.0f}."
    )


_IN: Final = {
    "first pitch": "on the first pitch",
    "hitter's": "in hitter's counts",
    "pitcher's": "in pitcher's counts",
    "even": "at 1-1 and 2-2",
    "full": "at 3-2",
}


def _share(per_100: tuple[float, float]) -> tuple[float, float]:
    return per_100[0] / 100, per_100[1] / 100


def _bits(chances: Forward, late: slice) -> float:
    at = np.arange(len(chances.label))
    ratio = chances.reader[at, chances.label] / chances.constant[at, chances.label]
    return float(np.log2(ratio[late]).mean())


def _says(named: float, constant: float) -> str:
    return (
        f"Someone who has watched every pitch names {100 * named:.0f} of 100; "
        f"always saying his usual pitch names {100 * constant:.0f}."
    )
