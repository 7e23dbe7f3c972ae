"""Guess rate tonight: what a reader of today's pitches, and of past games, would have named."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.baseball.pitches import TYPES
from sequencer.estimates.next_pitch import Watched, forward
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
    seen, _names = (past.then(today) if past is not None else today).seen()
    if not len(today):
        return GuessRate(0, None, None, (), False, "No pitch of a known type yet.")
    chances = forward(seen)
    tonight = slice(before, None)
    running = chances.evidence()
    running = running[tonight] - (running[before - 1] if before else 0.0)
    evidence = np.exp(np.minimum(running, np.log(_MOST)))
    named = float(chances.right(chances.reader)[tonight].mean())
    constant = float(chances.right(chances.constant)[tonight].mean())
    read = bool(evidence[-1] >= BEING_READ)
    shown = len(today) >= FEWEST
    return GuessRate(
        pitches=len(today),
        named=named if shown else None,
        constant=constant if shown else None,
        evidence=tuple(evidence.tolist()),
        being_read=read,
        says=_says(len(today), named, constant, read),
    )


def _says(pitches: int, named: float, constant: float, read: bool) -> str:
    if pitches < FEWEST:
        return f"{pitches} pitches: too few to say whether he is being read."
    rate = (
        f"A reader names {100 * named:.0f} of 100 tonight; always saying his usual pitch "
        f"names {100 * constant:.0f}."
    )
    return f"{rate} {'He is being read: change something.' if read else 'No sign he is read.'}"
