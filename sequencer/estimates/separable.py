"""Are five pitches five? Which pairs of a pitcher's types a hitter can tell apart.

Fisher's discriminant names held-out pitches of each pair by speed and break. It sees more than a
hitter does and has all day, so what it cannot tell apart nobody can; what it can, a hitter may.
Places are judged on their own and never settle it: they say where the pitches were thrown.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.baseball.pitches import TYPES
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.fisher import held_out_right
from sequencer.estimates.pitcher import Alike, PitcherBelief
from sequencer.estimates.places import numbers, words

if TYPE_CHECKING:
    import pandas as pd

TOLD: Final = "told apart"
NOT_TOLD: Final = "not told apart"
UNKNOWN: Final = "cannot be known"
#: Share named rightly, both types alike, from which two pitches are two (assumption: halfway from
#: guessing to always; one inch of break or one mile an hour alone stays far below).
MARK: Final = 0.75
#: Pitches of each type, measured, below which nothing is said; and folds of the cross-validation.
FEWEST: Final = 12
FOLDS: Final = 6
#: Rows that pull the pooled covariance halfway to a round one, for each column (assumption).
RIDGE_ROWS: Final = 2.0
#: What a radar or a tape can have read (assumptions): nobody throws over 110 miles an hour or
#: breaks a ball by more than 40 inches. A reading further than so many robust standard deviations
#: from the middle of its type is a slip as well, but never one nearer than so much.
POSSIBLE: Final = {
    "speed_mph": (25.0, 110.0),
    "break_side_in": (-40.0, 40.0),
    "break_up_in": (-40.0, 40.0),
}
SLIP_SD: Final = 6.0
SLIP_LEAST: Final = 12.0
#: Columns that say what a pitch looks like, and where it was thrown.
SHAPE: Final = tuple(POSSIBLE)
PLACE: Final = ("side_in", "height_in")
#: A column is used when this share of the pair's pitches have it, else the rows would be few.
_ENOUGH: Final = 0.5
_COARSE: Final = ("fastball", "breaking ball", "off-speed")
#: Pitches whose point is to be slower than the fastball; a splitter or a knuckleball also moves.
_SLOWER: Final = frozenset({"changeup", "off-speed"})
_NORMAL_95: Final = 1.6449


@dataclass(frozen=True, slots=True)
class Pair:
    """What is known of two types.

    Attributes
    ----------
    first, second : str
    verdict : str
        told apart, not told apart, or cannot be known.
    accuracy : float or None
        Share of held-out pitches named rightly by speed and break, both types counting alike; None
        where they were not measured.
    interval : tuple of float or None
        Central 90 %.
    by_place : float or None
        The same by place alone.
    rows : tuple of int
        Measured pitches of each type.
    columns : tuple of str
        What was measured.
    why : str
        For what cannot be known, in a coach's words.
    """

    first: str
    second: str
    verdict: str
    accuracy: float | None = None
    interval: tuple[float, float] | None = None
    by_place: float | None = None
    rows: tuple[int, int] = (0, 0)
    columns: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Separable:
    """Every pair of a pitcher's types, and what was left out."""

    pairs: tuple[Pair, ...]
    notes: tuple[str, ...] = ()

    def pair(self, first: str, second: str) -> Pair:
        """Return one pair, in either order; raises KeyError when it was not asked."""
        for one in self.pairs:
            if {one.first, one.second} == {first, second}:
                return one
        raise KeyError((first, second))

    @property
    def alike(self) -> tuple[Alike, ...]:
        """The pairs a hitter cannot tell apart."""
        return tuple(Alike(p.first, p.second) for p in self.pairs if p.verdict == NOT_TOLD)

    @property
    def says(self) -> str:
        """Whether so many pitches are so many, in one sentence; empty for a single pitch."""
        if not self.pairs:
            return ""
        same = [f"the {p.first} and the {p.second}" for p in self.pairs if p.verdict == NOT_TOLD]
        unknown = [p for p in self.pairs if p.verdict == UNKNOWN]
        if same:
            return f"No hitter could tell {', nor '.join(same)} apart."
        if len(unknown) == len(self.pairs):
            return f"Whether his pitches look different cannot be known: {unknown[0].why}."
        if unknown:
            told = len(self.pairs) - len(unknown)
            return f"{told} of {len(self.pairs)} pairs are told apart, the rest cannot be known."
        return "Every pitch of his is told from every other."


def separable(frame: "pd.DataFrame | None", pitches: Sequence[str]) -> Separable:
    """Return which pairs of types are told apart.

    Parameters
    ----------
    frame : DataFrame or None
        Pitches of one pitcher, games and bullpens, columns of their logs; any may be missing.
    pitches : sequence of str
        His types. A coarse word (fastball) is not held against a fine one of its family, which it
        may be.
    """
    types = list(dict.fromkeys(pitches))
    notes: tuple[str, ...]
    if frame is None or frame.empty:
        table, notes = {pitch: np.empty((0, 5)) for pitch in types}, ()
    else:
        table, notes = _measured(frame, types)
    pairs = [
        _pair(first, second, table[first], table[second])
        for first, second in combinations(types, 2)
        if not _may_be_one(first, second)
    ]
    return Separable(tuple(pairs), notes)


def with_alike(belief: PitcherBelief, found: Separable) -> PitcherBelief:
    """Return a pitcher whose pitches that look the same are one to a plan, and who is told so."""
    thrown = {pitch.pitch for pitch in belief.arsenal}
    alike = tuple(a for a in found.alike if {a.first, a.second} <= thrown)
    return replace(belief, alike=alike, notes=(*belief.notes, *found.notes))


def _may_be_one(first: str, second: str) -> bool:
    """Return whether a coarse chart word may mean the same pitch as the other word."""
    return bool({first, second} & set(_COARSE)) and TYPES[first] == TYPES[second]


def _measured(
    frame: "pd.DataFrame", types: Iterable[str]
) -> tuple[dict[str, Floats], tuple[str, ...]]:
    """Return speed, breaks and place of each type's pitches, slips nan, and what they were."""
    kinds = np.array(words(frame, "pitch"), dtype=np.str_)
    counts = np.array([word == "" for word in words(frame, "intent")], dtype=np.bool_)
    table, slips = {}, 0
    whole = np.column_stack([numbers(frame, name) for name in (*SHAPE, *PLACE)])
    for pitch in types:
        rows = whole[(kinds == pitch) & counts]
        for column, (low, high) in enumerate(POSSIBLE.values()):
            wrong = _slips(rows[:, column], low, high)
            slips += int(wrong.sum())
            rows[wrong, column] = np.nan
        table[pitch] = rows
    return table, _slips_said(slips)


def _slips_said(slips: int) -> tuple[str, ...]:
    if slips == 0:
        return ()
    if slips == 1:
        return ("1 reading of speed or break cannot be right and is left out.",)
    return (f"{slips} readings of speed or break cannot be right and are left out.",)


def _slips(values: Floats, low: float, high: float) -> Bools:
    """Return which readings nothing thrown can have given."""
    wrong = np.isfinite(values) & ((values < low) | (values > high))
    kept = values[np.isfinite(values) & ~wrong]
    if len(kept) >= FEWEST:
        middle = np.median(kept)
        spread = 1.4826 * np.median(np.abs(kept - middle))
        far = np.abs(values - middle) > max(SLIP_SD * spread, SLIP_LEAST)
        wrong |= np.isfinite(values) & far
    return np.asarray(wrong)


def _pair(first: str, second: str, a: Floats, b: Floats) -> Pair:
    """Judge one pair by speed and break, and measure it by place."""
    by_place = _accuracy(a[:, 3:], b[:, 3:])
    place = None if by_place is None else by_place[0]
    used = _columns(a[:, :3], b[:, :3])
    shape = _accuracy(a[:, used], b[:, used]) if used else None
    if shape is None:
        why = _why(a, b, place is not None)
        return Pair(first, second, UNKNOWN, by_place=place, why=why)
    names = tuple(SHAPE[i] for i in used)
    low, high = shape.interval
    verdict, why = UNKNOWN, "too few pitches were measured to be sure"
    if low > MARK:
        verdict, why = TOLD, ""
    elif high < MARK and _all_there_is(first, second, names):
        verdict, why = NOT_TOLD, ""
    elif high < MARK:
        why = f"they are alike in what is logged, but {_missing(names)} is not"
    return Pair(first, second, verdict, shape.share, shape.interval, place, shape.rows, names, why)


def _all_there_is(first: str, second: str, columns: tuple[str, ...]) -> bool:
    """Return whether these columns leave nothing else that could tell the two apart.

    Speed and both breaks do; speed alone does for a pitch that lives by being slower.
    """
    by_speed = "speed_mph" in columns and (
        {TYPES[first], TYPES[second]} == {"fast", "off-speed"} and bool({first, second} & _SLOWER)
    )
    return by_speed or set(columns) == set(SHAPE)


def _missing(columns: tuple[str, ...]) -> str:
    return "break" if "speed_mph" in columns else "speed"


def _columns(a: Floats, b: Floats) -> list[int]:
    """Return the columns that enough pitches of both types have."""
    return [
        i
        for i in range(a.shape[1])
        if all(
            np.isfinite(rows[:, i]).sum() >= max(FEWEST, _ENOUGH * _most(rows)) for rows in (a, b)
        )
    ]


def _most(rows: Floats) -> int:
    """Return how many pitches the best filled column has."""
    return int(np.isfinite(rows).sum(axis=0).max()) if len(rows) else 0


def _why(a: Floats, b: Floats, placed: bool) -> str:
    if min(_most(a[:, :3]), _most(b[:, :3])) == 0:
        where = ", and places do not say what a pitch looks like" if placed else ""
        return f"no speed or break is logged{where}"
    return f"speed or break is logged for fewer than {FEWEST} of one of them"


class _Named(NamedTuple):
    """Balanced share of held-out pitches named rightly, its central 90 %, rows of each type."""

    share: float
    interval: tuple[float, float]
    rows: tuple[int, int]


def _accuracy(a: Floats, b: Floats) -> _Named | None:
    """Return how well the two are told apart, or None for too few."""
    a, b = (rows[np.isfinite(rows).all(axis=1)] for rows in (a, b))
    if min(len(a), len(b)) < FEWEST or a.shape[1] == 0:
        return None
    x = np.concatenate([a, b])
    kind: Ints = np.repeat(np.arange(2, dtype=np.intp), [len(a), len(b)])
    ridge = RIDGE_ROWS * x.shape[1] / (RIDGE_ROWS * x.shape[1] + len(x))
    right = held_out_right(x, kind, folds=FOLDS, ridge=ridge)
    shares = np.array([right[kind == i].mean() for i in range(2)])
    rows = np.array([len(a), len(b)])
    # Jeffreys: a type named rightly every time is not thereby known without doubt.
    held = (shares * rows + 0.5) / (rows + 1.0)
    doubt = _NORMAL_95 * 0.5 * float(np.sqrt((held * (1.0 - held) / (rows + 1.0)).sum()))
    middle = float(held.mean())
    interval = (max(middle - doubt, 0.0), min(middle + doubt, 1.0))
    return _Named(float(shares.mean()), interval, (len(a), len(b)))
