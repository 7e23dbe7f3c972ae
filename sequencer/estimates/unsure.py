"""Pitches whose places are unsure: where each crossed, and what a league says over all of that.

A cell, or a dot seen from the dugout, may have been any place: each counts by how often the
league's pitches of that family go there in that count, times the chance of its being entered so
(see `blurred`). What happened on the way tells more: a pitch taken was likelier outside, and one
called a strike likelier within.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from types import MappingProxyType
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.arrays import Bools, Floats, Ints, expit
from sequencer.estimates.blurred import GRID, entered, summed, thrown
from sequencer.estimates.coefficients import STEPS
from sequencer.estimates.entries import SEEN_FROM, Entries
from sequencer.estimates.fit_data import Data
from sequencer.estimates.hitter_rows import FAMILY_ORDER
from sequencer.estimates.league import League
from sequencer.estimates.places import SEEN_ERROR_IN
from sequencer.estimates.steps import NOISE_RUNS, every, used
from sequencer.estimates.surface import Rows

#: Places that stand for one unsure pitch, and the turn up the plate from one to the next: a
#: Fibonacci lattice, the evenest so few points of a square (Niederreiter 1992, Random Number
#: Generation and Quasi-Monte Carlo Methods, chapter 5).
PLACES: Final = 13
_TURN: Final = 8
_ACROSS: Final = (np.arange(PLACES) + 0.5) / PLACES
_UP: Final = (np.arange(PLACES) * _TURN % PLACES + 0.5) / PLACES
#: What came before a step that a pitch has reached.
_BEFORE: Final[Mapping[str, Mapping[str, float]]] = MappingProxyType(
    {
        "swing": {},
        "hit_by_pitch": {"swing": 0.0},
        "called": {"swing": 0.0, "hit_by_pitch": 0.0},
        "miss": {"swing": 1.0},
        "foul": {"swing": 1.0, "miss": 0.0},
        "in_play": {"swing": 1.0, "miss": 0.0, "foul": 0.0},
    }
)
#: A step that a pitch did not reach, or of which the log does not say; and how finely runs in play
#: tell where a pitch was.
_OPEN: Final = -9.0
_RUNS_APART: Final = 0.1
#: No chance is taken to be less.
_LEAST: Final = 1e-9


def told(data: Data, league: League) -> dict[str, Floats]:
    """Return what a league says of each step on the rows that it is about (`steps.used`).

    Where a place is unsure it is the average over all it may have been, with what came before the
    step: a miss is averaged over places swung at.
    """
    said = every(data.rows, league)
    if data.entries is not None:
        _average(said, data.rows, data.entries, league)
    return {step: said[step][used(step, data)[0]] for step in STEPS}


def losses(data: Data, league: League) -> dict[str, float]:
    """Return the mean loss of each step on a log's rows: nats, and squared runs for `in_play`.

    A step without rows is nan.
    """
    found = {}
    for step, said in told(data, league).items():
        which, outcome = used(step, data)
        y = outcome[which]
        if step == "in_play":
            loss = (y - said) ** 2
        else:
            p = np.clip(said, 1e-9, 1.0 - 1e-9)
            loss = -(y * np.log(p) + (1.0 - y) * np.log1p(-p))
        found[step] = float(loss.mean()) if len(y) else float("nan")
    return found


def _average(said: dict[str, Floats], rows: Rows, entries: Entries, league: League) -> None:
    """Put averages in place of what is said of unsure pitches."""
    unsure = np.flatnonzero(~entries.measured)
    kinds = np.stack([*_kind(rows), entries.seen], axis=1)[unsure]
    for kind in np.unique(kinds, axis=0):
        own = unsure[(kinds == kind).all(axis=1)]
        where = entries.column[own], entries.row[own], rows.balls[own], rows.strikes[own]
        *what, seen = kind.tolist()
        across, up = entered(league.level, SEEN_ERROR_IN[SEEN_FROM[seen]])
        chances, goes = _chances(league, *what), thrown(league, FAMILY_ORDER[what[0]])
        for step, before in _BEFORE.items():
            weight = goes * _likely(chances, before)
            mean = summed(across, up, weight * chances[step]) / summed(across, up, weight)
            said[step][own] = mean[where]


def _kind(rows: Rows) -> tuple[Ints, Ints, Ints, Ints]:
    """Return what a step is told by beside place and count, as whole numbers."""
    return rows.family, (2 * rows.same).astype(np.intp), rows.left.astype(np.intp), rows.season


def _chances(league: League, family: int, same: int, left: int, season: int) -> dict[str, Floats]:
    """Return what a league says of every step at the dots, each (dots, dots, 4, 3)."""
    u, v = (x[..., None, None] for x in np.meshgrid(GRID, GRID, indexing="ij"))
    steps = league.steps(
        FAMILY_ORDER[family], u, v, np.arange(4.0)[:, None], np.arange(3.0), same / 2,
        left=left, season=season,
    )  # fmt: skip
    found = {step: np.asarray(getattr(steps, step)) for step in STEPS}
    return {
        step: value if step in ("in_play", "hit_by_pitch") else expit(value)
        for step, value in found.items()
    }


def _likely(chances: dict[str, Floats], came: Mapping[str, float]) -> Floats:
    """Return the likelihood of outcomes of steps at the dots, (dots, dots, 4, 3)."""
    found = np.ones_like(chances["swing"])
    for step, outcome in came.items():
        here = chances[step]
        if step == "in_play":
            chance = np.exp(-0.5 * ((outcome - here) / NOISE_RUNS) ** 2)
        else:
            chance = here if outcome == 1.0 else 1.0 - here
        found *= np.maximum(chance, _LEAST)
    return found


class Sample(NamedTuple):
    """Rows that a step is fitted on: pitches, or places of pitches.

    Attributes
    ----------
    rows, outcome : Rows, array (n,)
    pitch : int array (n,)
        Which pitch of the log each row is, or is a place of.
    weight : array (n,), optional
        How much of its pitch each row is; all of it when not given.
    """

    rows: Rows
    outcome: Floats
    pitch: Ints
    weight: Floats | None = None


@dataclass(frozen=True, slots=True)
class Places:
    """Where the pitches of a log crossed: m places of n pitches.

    Attributes
    ----------
    rows : Rows
        Every place that is unlike the others in anything a step is told by.
    at : int array (m,)
        Which of these each place is.
    pitch : int array (m,)
        Whose place it is, rising from 0 to n - 1: one of a measured pitch, else `PLACES`.
    weight : array (m,)
        How much of its pitch it is; one in all of each pitch.
    """

    rows: Rows
    at: Ints
    pitch: Ints
    weight: Floats

    def sample(self, which: Bools, outcome: Floats) -> Sample:
        """Return every place of the pitches that a step is about; see `steps.used`."""
        own = np.flatnonzero(which[self.pitch])
        pitch = self.pitch[own]
        return Sample(self.rows.take(self.at[own]), outcome[pitch], pitch, self.weight[own])

    def gathered(self, which: Bools, outcome: Floats) -> tuple[Rows, Floats, Floats]:
        """Return the same as places that differ: rows, mean outcome, and how many pitches each."""
        own = np.flatnonzero(which[self.pitch])
        at, weight = self.at[own], self.weight[own]
        total = np.asarray(np.bincount(at, weight, len(self.rows)), dtype=np.float64)
        came = np.bincount(at, weight * outcome[self.pitch[own]], minlength=len(self.rows))
        there = np.flatnonzero(total)
        return self.rows.take(there), came[there] / total[there], total[there]


def places_of(data: Data, entries: Entries, league: League) -> Places:
    """Return where the pitches of a log crossed, as far as the league and what came of them say.

    Each unsure pitch is at `PLACES` dots, equally likely: an even sample of all it may have been.
    """
    unsure = np.flatnonzero(~entries.measured)
    pitch = np.repeat(np.arange(len(data.rows)), np.where(entries.measured, 1, PLACES))
    several = ~entries.measured[pitch]
    rows = data.rows.take(pitch)
    u, v = rows.u.copy(), rows.v.copy()
    u[several], v[several] = _dots(data, entries, unsure, league)
    rows = replace(rows, u=u, v=v)
    first, at = _distinct(rows)
    return Places(rows.take(first), at, pitch, np.where(several, 1.0 / PLACES, 1.0))


def _dots(data: Data, entries: Entries, unsure: Ints, league: League) -> Floats:
    """Return u and v of the places of unsure pitches, (2, n * places)."""
    outcomes, came = np.unique(_came(data), axis=0, return_inverse=True)
    count = (data.rows.balls, data.rows.strikes)
    entry = (entries.seen, entries.column, entries.row)
    parts = np.stack([*_kind(data.rows), came.ravel(), *count, *entry], axis=1)
    keys, which = np.unique(parts[unsure], axis=0, return_inverse=True)
    found = []
    for kind, alike in groupby(keys.tolist(), key=lambda key: key[:4]):
        chances, goes = _chances(league, *kind), thrown(league, FAMILY_ORDER[kind[0]])
        for code, own in groupby(alike, key=lambda key: key[4]):
            weight = goes * _likely(chances, _named(outcomes[code]))
            found += [_points(weight, key[5:], league.level) for key in own]
    return np.asarray(np.array(found)[which.ravel()].swapaxes(0, 1).reshape(2, -1))


def _came(data: Data) -> Floats:
    """Return the outcome of every step of every pitch, (n, steps); `_OPEN` where there is none."""
    # A take says where a pitch was, whether or not its game kept swings.
    whole = replace(data, whole=np.ones_like(data.whole))
    found = np.full((len(data.rows), len(STEPS)), _OPEN)
    for i, step in enumerate(STEPS):
        which, outcome = used(step, whole)
        found[which, i] = outcome[which]
    runs = found[:, STEPS.index("in_play")]
    runs[:] = np.round(runs / _RUNS_APART) * _RUNS_APART
    return found


def _named(outcomes: Floats) -> dict[str, float]:
    return {step: x for step, x in zip(STEPS, outcomes.tolist(), strict=True) if x > _OPEN + 1.0}


def _points(weight: Floats, entry: list[int], level: str) -> Floats:
    """Return u and v of the places of an entry, (2, places), by the weight of the dots."""
    balls, strikes, seen, column, row = entry
    across, up = entered(level, SEEN_ERROR_IN[SEEN_FROM[seen]])
    weight = across[column][:, None] * up[row] * weight[:, :, balls, strikes]
    total = np.cumsum(weight.sum(1))
    i = np.searchsorted(total, _ACROSS * total[-1])
    along = np.cumsum(weight[i], axis=1)
    j = (along < _UP[:, None] * along[:, -1:]).sum(1)
    return np.stack([GRID[i], GRID[j]])


def _distinct(rows: Rows) -> tuple[Ints, Ints]:
    """Return the first of each kind of row, and which kind each row is."""
    count = rows.balls * 3 + rows.strikes
    key = np.zeros(len(rows), dtype=np.intp)
    for part in (rows.u, rows.v, *_kind(rows), count):
        number = np.unique(part, return_inverse=True)[1]
        key = np.unique(key * (int(number.max(initial=0)) + 1) + number, return_inverse=True)[1]
    return np.unique(key, return_index=True)[1], key
