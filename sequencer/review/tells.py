"""Tells: what an observer saw or measured that gives the pitch away, pitcher by pitcher."""

import dataclasses
import zlib
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from sequencer.baseball.tells import corrections
from sequencer.records.readers.tell_notes import TellNote, read_notes
from sequencer.review import tell_measured, tell_seen
from sequencer.review.agreement import Agreement, agreements
from sequencer.review.fixes import SETS, THROWS
from sequencer.review.screen import FLAG
from sequencer.review.statistics import benjamini_hochberg
from sequencer.review.tell_measured import Gauged, Measure, MeasuredTell, gauge, report
from sequencer.review.tell_rows import LOG, Seen, Watched, rows_of
from sequencer.review.tell_seen import Asked, Look, SeenTell, answer, ask
from sequencer.review.tell_words import told

if TYPE_CHECKING:
    import pandas as pd

__all__ = [
    "Agreement",
    "MeasuredTell",
    "PitcherTells",
    "SeenTell",
    "TellNote",
    "read_notes",
    "tells_of",
]


@dataclass(frozen=True)
class PitcherTells:
    """What gives one pitcher away.

    Attributes
    ----------
    pitcher : str
    watched, units : int
        Pitches and throws on which any tell was watched; the games and bullpens they are of.
    seen : tuple of SeenTell
        Every tell and type, the surest first.
    measured : tuple of MeasuredTell
    agreement : tuple of Agreement
    notes : tuple of str
        What to know before reading on.
    """

    pitcher: str
    watched: int
    units: int
    seen: tuple[SeenTell, ...]
    measured: tuple[MeasuredTell, ...]
    agreement: tuple[Agreement, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        return dataclasses.asdict(self)


def tells_of(
    frame: "pd.DataFrame",
    pens: "pd.DataFrame | None" = None,
    notes: Sequence[TellNote] | None = None,
    *,
    seed: int = 0,
) -> tuple[PitcherTells, ...]:
    """Return what was seen of every pitcher's tells, in the order they first appear.

    Seen, and watched and not seen, are counted; not watched is not. A tell is held against each
    type within games and bullpens, since both the mix and the observer change from day to day.
    What is flagged holds over everything asked of the pitcher (Benjamini-Hochberg).

    Parameters
    ----------
    frame : DataFrame
        A pitch log (`records.frames.pitch_frame` or `read_log`); only our own pitches are looked
        at. Not changed.
    pens : DataFrame, optional
        Bullpens (`records.frames.bullpen_frame`), every row a throw.
    notes : sequence of TellNote, optional
        What others saw of the log's pitches (`read_notes`). The first observer's count as the
        log's own; how far any two observers agree is told.
    seed : int
        The same rows and seed give the same answer, whoever else is in them.

    Raises
    ------
    BadInput
        If notes fit no pitch of the log, or name a game it has twice.
    """
    rows = rows_of(frame, pens, notes)
    used = (LOG, *rows.observers[:1])
    by_pitcher: dict[str, list[Watched]] = {}
    for row in rows.watched:
        by_pitcher.setdefault(row.pitcher, []).append(row)
    found = []
    for key, own in by_pitcher.items():
        kept = [(row, seen) for row in own if (seen := row.as_of(used))]
        told_of = [*_observed(rows.observers), *_lost(rows.unplaced)]
        found.append(_one(own, kept, told_of, zlib.crc32(f"{seed} {key}".encode())))
    return tuple(found)


_Kept = list[tuple[Watched, Seen]]


def _one(own: Sequence[Watched], kept: _Kept, notes: Iterable[str], seed: int) -> PitcherTells:
    asked, silent = _asked(kept)
    rng = np.random.default_rng(seed)
    gauged = _gauged(kept, rng)
    asks: list[Asked | Gauged] = [*asked, *gauged]
    counted = [each for each in asks if each.askable]
    adjusted = benjamini_hochberg([each.p for each in counted]).tolist() if counted else []
    q: dict[int, float] = {id(each): value for each, value in zip(counted, adjusted, strict=True)}
    level = FLAG / max(len(counted), 1)
    seen = [answer(each, q.get(id(each)), level, FLAG, seed) for each in asked]
    measured = [report(each, q.get(id(each)), level, FLAG) for each in gauged]
    seen = _told_once(seen, lambda at, types: tell_seen.p_without(asked[at], types))
    measured = _told_once(
        measured, lambda at, types: tell_measured.p_without(gauged[at], types, rng)
    )
    words = [word for _, noted in kept for word in noted.words]
    return PitcherTells(
        pitcher=own[0].name,
        watched=len(own),
        units=len({row.unit for row in own}),
        seen=tuple(_with_fix(each, kept) for each in sorted(seen, key=_surest)),
        measured=tuple(_with_fix(each, kept) for each in sorted(measured, key=_surest)),
        agreement=agreements(own),
        notes=(*notes, *corrections(words), *silent),
    )


def _surest(tell: SeenTell | MeasuredTell) -> tuple[float, float]:
    return (2.0 if tell.q is None else tell.q), (2.0 if tell.p is None else tell.p)


def _asked(kept: _Kept) -> tuple[list[Asked], list[str]]:
    """Return the tells that were both seen and not, by type; and a sentence for each other."""
    asked, silent = [], []
    for tell in dict.fromkeys(tell for _, noted in kept for tell in sorted(noted.watched)):
        looks: list[Look] = [
            (row.unit, row.pitch, tell in noted.seen)
            for row, noted in kept
            if tell in noted.watched
        ]
        shown = sum(look[2] for look in looks)
        types = {look[1] for look in looks}
        many = f"{len(looks)} pitch{'' if len(looks) == 1 else 'es'}"
        if not shown:
            silent.append(f"{told(tell)}: watched on {many}, never seen.")
        elif shown == len(looks):
            silent.append(
                f"{told(tell)}: noted only where it was seen ({many}); note it as watched where "
                "it was not, or nothing can be told."
            )
        elif len(types) == 1:
            silent.append(
                f"{told(tell)}: watched on one type only ({many}, {min(types)}); watch it on his "
                "others too."
            )
        else:
            asked += ask(tell, looks)
    return asked, silent


def _gauged(kept: _Kept, rng: np.random.Generator) -> list[Gauged]:
    gauged = []
    for tell in dict.fromkeys(tell for _, noted in kept for tell in noted.values):
        measures: list[Measure] = [
            (row.unit, row.pitch, noted.values[tell]) for row, noted in kept if tell in noted.values
        ]
        gauged += gauge(tell, measures, rng)
    return gauged


_Found = TypeVar("_Found", SeenTell, MeasuredTell)


def _told_once(
    found: list[_Found], p_without: Callable[[int, Collection[str]], float]
) -> list[_Found]:
    """Say which flagged types are only the other side of a surer one of the same tell."""
    once, kept = list(found), dict[str, list[str]]()
    for at in sorted(range(len(found)), key=lambda at: _surest(found[at])):
        each = found[at]
        surer = kept.setdefault(each.tell, [])
        if not each.flagged:
            continue
        if surer and p_without(at, surer) > FLAG:
            once[at] = dataclasses.replace(each, same_as=surer[0])
        else:
            surer.append(each.pitch)
    return once


def _with_fix(tell: _Found, kept: _Kept) -> _Found:
    """Return a flagged tell with the set that trains it away."""
    if not tell.flagged or tell.same_as:
        return tell
    rest = [row.pitch for row, _ in kept if row.pitch != tell.pitch]
    most = max(dict.fromkeys(rest), key=rest.count)
    fix = (
        f"Bullpen: {SETS} sets of {THROWS}, {tell.pitch} and {most} in turn, someone noting it on "
        "every throw, until it looks the same on both."
    )
    return dataclasses.replace(tell, fix=fix)


def _observed(observers: Sequence[str]) -> list[str]:
    if not observers:
        return []
    rest = f"; {' and '.join(observers[1:])} only beside them" if observers[1:] else ""
    return [f"Counted from the log and the notes of {observers[0]}{rest}."]


def _lost(unplaced: Sequence[TellNote]) -> list[str]:
    if not unplaced:
        return []
    one = len(unplaced) == 1
    return [
        f"{len(unplaced)} note{' fits' if one else 's fit'} no pitch of this log and "
        f"{'was' if one else 'were'} left out, the first of {unplaced[0].where}."
    ]
