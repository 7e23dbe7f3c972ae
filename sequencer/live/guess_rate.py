"""Guess rate tonight: what a reader of today's pitches, and of past games, would have named."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from sequencer.baseball.pitches import TYPES
from sequencer.estimates.arrays import Floats
from sequencer.estimates.next_pitch import SAME, Watched, forward
from sequencer.estimates.reading import Expected, Reading
from sequencer.records.state import Logged

#: Pitches before a guess rate says anything. Common practice, no source.
FEWEST: Final = 20
#: Likelihood ratio, of the reader to one who sees only what is thrown, from which he is being read.
#: A pitcher who draws from his mix reaches it on one night in this many at most (Ville 1939: a
#: running ratio is a martingale).
BEING_READ: Final = 20.0
#: Largest ratio that is told as such.
_MOST: Final = 1e6


@dataclass(frozen=True)
class GuessRate:
    """How tonight's pitches would have been named.

    Attributes
    ----------
    pitches : int
        Pitches of a known type tonight.
    named, constant : float or None
        Share that the reader, and that always naming the pitch thrown most so far, had right;
        None before there are enough pitches.
    evidence : tuple of float
        After each pitch, how many times likelier the reader made tonight's pitches than one who
        sees only what he throws, of late and in all; 1 says nothing, below 1 that he is not read.
    being_read : bool
        The evidence stands at `BEING_READ` or more.
    says : str
    """

    pitches: int
    named: float | None
    constant: float | None
    evidence: tuple[float, ...]
    being_read: bool
    says: str


def watched(log: Iterable[Logged], game: str, pitcher: str) -> Watched:
    """Return one pitcher's logged pitches as a dugout saw them.

    Parameters
    ----------
    log : iterable of Logged
        Of one game, in order.
    game : str
        Its id.
    pitcher : str
        Person id. Pitches of unknown type, pitch-outs and intentional balls are left out.
    """
    kept = [
        each
        for each in log
        if each.before.pitcher == pitcher and not each.pitch.intent and _known(each.pitch.pitch)
    ]
    return Watched(
        np.array([each.pitch.pitch for each in kept], dtype=np.str_),
        np.array([each.before.balls for each in kept], dtype=np.int64),
        np.array([each.before.strikes for each in kept], dtype=np.int64),
        np.array([each.before.bats for each in kept], dtype=np.str_),
        np.array([each.before.pitcher for each in kept], dtype=np.str_),
        np.array([f"{game} {each.before.at_bat}" for each in kept], dtype=np.str_),
        np.full(len(kept), game),
    )


def _known(pitch: str) -> bool:
    return pitch in TYPES and pitch != "unknown"


def guess_rate(today: Watched, past: Watched | None = None) -> GuessRate:
    """Return the guess rate tonight.

    Parameters
    ----------
    today : Watched
        Tonight's pitches so far, of one pitcher.
    past : Watched, optional
        His pitches of earlier games, which the other dugout may have seen.
    """
    before = len(past) if past is not None else 0
    seen, _types = (past.then(today) if past is not None else today).seen()
    found = forward(seen)
    ratio = np.diff(found.evidence(), prepend=0.0)
    right = [found.right(each) for each in (found.reader, found.constant)]
    return _rate(ratio[before:], right[0][before:], right[1][before:])


class Tonight:
    """One pitcher's guess rate from pitch to pitch: `guess_rate`, without reading anything twice.

    Parameters
    ----------
    past : Watched, optional
        His pitches of earlier games, which the other dugout may have seen.
    """

    def __init__(self, past: Watched | None = None) -> None:
        self._past = Watched.none() if past is None else past
        self._known = self._past.types()
        self._types: tuple[str, ...] = ()
        self._start(self._known)

    def _start(self, types: tuple[str, ...]) -> None:
        """Read the past, if tonight's types ask for it, and forget tonight."""
        if types != self._types or not types:
            self._types = types
            self._before = Reading.of(self._past.seen(types)[0])
        self._reading = self._before
        self._read: list[_Read] = []

    def rate(self, today: Watched) -> GuessRate:
        """Return the guess rate after all of tonight's pitches so far.

        Parameters
        ----------
        today : Watched
            Also those given before; where one of them was undone or corrected, or a type has come
            or gone, tonight is read anew.
        """
        types = tuple(sorted({*self._known, *today.types()}))
        pitches = _as_seen(today, types)
        before = [each.pitch for each in self._read]
        if types != self._types or pitches[: len(before)] != before:
            self._start(types)
        for label, now in pitches[len(self._read) :]:
            self._read.append(_Read.of(self._reading.expect(now), label, now))
            self._reading = self._reading.after(now, label)
        told = [(each.ratio, each.named, each.constant) for each in self._read]
        return _rate(*np.array(told, dtype=np.float64).reshape(-1, 3).T)


class _Read(NamedTuple):
    """A pitch of tonight, and how it was read."""

    pitch: tuple[int, dict[str, int]]
    ratio: float
    named: float
    constant: float

    @classmethod
    def of(cls, expected: Expected, label: int, now: dict[str, int]) -> "_Read":
        ratio = math.log(expected.reader[label]) - math.log(expected.blind[label])
        named, constant = (_right(each, label) for each in (expected.reader, expected.constant))
        return cls((label, now), ratio, named, constant)


def _right(chances: list[float], label: int) -> float:
    """Return how often naming the likeliest pitch would have been right; see `Forward.right`."""
    best = (1.0 - SAME) * max(chances)
    return (chances[label] >= best) / sum(chance >= best for chance in chances)


def _as_seen(today: Watched, types: tuple[str, ...]) -> list[tuple[int, dict[str, int]]]:
    """Return each pitch's label, and the codes of what was seen before it."""
    seen, _ = today.seen(types)
    columns = [column.tolist() for column in seen.columns.values()]
    rows = zip(*columns, strict=True)
    known = (dict(zip(seen.columns, row, strict=True)) for row in rows)
    return list(zip(seen.label.tolist(), known, strict=True))


def _rate(ratio: Floats, named: Floats, constant: Floats) -> GuessRate:
    """Return the guess rate from tonight's log likelihood ratios and right guesses."""
    pitches = len(ratio)
    if not pitches:
        return GuessRate(0, None, None, (), False, "No pitch of a known type yet.")
    evidence = np.exp(np.minimum(np.cumsum(ratio), np.log(_MOST)))
    rates = float(named.mean()), float(constant.mean())
    read = bool(evidence[-1] >= BEING_READ)
    shown = pitches >= FEWEST
    return GuessRate(
        pitches=pitches,
        named=rates[0] if shown else None,
        constant=rates[1] if shown else None,
        evidence=tuple(evidence.tolist()),
        being_read=read,
        says=_says(pitches, *rates, read),
    )


def _says(pitches: int, named: float, constant: float, read: bool) -> str:
    if pitches < FEWEST:
        return f"{pitches} pitches: too few to say whether he is being read."
    rate = (
        f"A reader names {100 * named:.0f} of 100 tonight; always saying his usual pitch "
        f"names {100 * constant:.0f}."
    )
    return f"{rate} {'He is being read: change something.' if read else 'No sign he is read.'}"
