"""How well a reader names each pitcher's next pitch, forward in time, against his favourite."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sequencer.estimates import scoring
from sequencer.estimates.arrays import Floats
from sequencer.estimates.next_pitch import Outsider, forward, watched_in

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Read:
    """How well the next pitch of one pitcher (or of all, name empty) is named, forward in time.

    Attributes
    ----------
    pitcher : str
    pitches : int
    nats, constant_nats : float
        Mean loss of the reader, and of always expecting his mix so far.
    gain, interval : float, pair or None
        Nats a pitch that the reader saves, and its 95 % interval with games drawn anew (at-bats
        where there are few).
    guess_rate, constant_guess_rate : float
        Share named right by the reader, and by always naming his favourite so far.
    """

    pitcher: str
    pitches: int
    nats: float
    constant_nats: float
    gain: float
    interval: tuple[float, float] | None
    guess_rate: float
    constant_guess_rate: float


def read_next(
    frame: "pd.DataFrame", *, seed: int = 0, outsiders: Mapping[str, Outsider] | None = None
) -> tuple[Read | None, tuple[Read, ...]]:
    """Return how well the next pitch is named: of all pitchers, and of each, most pitches first.

    Every pitcher is read alone, from the first pitch of the log to the last.

    Parameters
    ----------
    frame : DataFrame
        A pitch log in the order thrown.
    seed : int
        Of the intervals.
    outsiders : mapping, optional
        Further minds of the reader by name, as in `next_pitch.forward`.

    Returns
    -------
    Read or None, tuple of Read
        None and nothing where the log tells no pitch types.
    """
    parts = [(name, *_forward(own, outsiders)) for name, own in _pitchers(frame)]
    parts = sorted((p for p in parts if len(p[2])), key=lambda p: -len(p[2]))
    if not parts:
        return None, ()
    each = tuple(_read(name, told, at_bat, seed) for name, told, at_bat in parts)
    told = np.concatenate([part[1] for part in parts], axis=1)
    at_bat = np.concatenate([part[2] for part in parts])
    return _read("", told, at_bat, seed), each


def _pitchers(frame: "pd.DataFrame") -> Iterator[tuple[str, "pd.DataFrame"]]:
    key = "pitcher_id" if "pitcher_id" in frame else "pitcher"
    for _, own in frame.groupby(key, sort=False):
        yield str(own["pitcher"].iloc[0]), own


def _forward(
    own: "pd.DataFrame", outsiders: Mapping[str, Outsider] | None
) -> tuple[Floats, "np.ndarray[tuple[int], np.dtype[np.str_]]"]:
    """Return loss and right guesses of reader and constant, (4, pitches), and each one's at-bat."""
    watched = watched_in(own)
    seen, _ = watched.seen()
    found, at = forward(seen, outsiders=outsiders), np.arange(len(seen))
    both = (found.reader, found.constant)
    nats = [-np.log(chances[at, found.label]) for chances in both]
    right = [found.right(chances).astype(np.float64) for chances in both]
    return np.array([*nats, *right]), watched.at_bat


def _read(
    name: str, told: Floats, at_bat: "np.ndarray[tuple[int], np.dtype[np.str_]]", seed: int
) -> Read:
    game = np.array([word.rpartition(" ")[0] for word in at_bat], dtype=np.str_)
    groups, _ = scoring.groups_of(game, np.unique(at_bat, return_inverse=True)[1].astype(np.intp))
    nats, constant, right, constant_right = told.mean(axis=1)
    return Read(
        name,
        told.shape[1],
        float(nats),
        float(constant),
        float(constant - nats),
        scoring.interval(told[1] - told[0], groups, seed=seed),
        float(right),
        float(constant_right),
    )
