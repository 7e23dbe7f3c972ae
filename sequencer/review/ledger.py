"""The ledger: run value of every pitch, split so that its parts add up exactly.

Parts: the call (what asking for that place is worth), execution (where it went, less that), the
umpire, and the outcome (what happened, less where it went). What a place is worth in a count comes
from this log. A pitch without a target has call and execution as one; one without a place has
only its total. The ledger cannot see whether calls could be read.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import zone
from sequencer.baseball.count import COUNTS, Count, after
from sequencer.baseball.count_runs import count_values_at
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS
from sequencer.errors import BadInput
from sequencer.review.coded import Coded
from sequencer.review.placing import cells, texts

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]

#: Pitches a place's own mean must outweigh before it is believed half. Assumption: run values of
#: single pitches spread .2 runs or so, the means of places differ by .03.
PRIOR_PITCHES: Final = 50.0
#: Where a pitch can be, as the ledger tells places apart.
PLACES: Final = ("middle", "zone", "off the plate")
PARTS: Final = ("call", "execution", "call_and_execution", "umpire", "outcome", "unplaced")
GROUPS: Final = ("game", "pitcher", "catcher", "caller", "pitch", "count")


@dataclass(frozen=True)
class Ledger:
    """Runs of each pitch and its parts; every array has shape (pitches,).

    Attributes
    ----------
    runs : ndarray
        Of the pitch, to the hitting side; nan where the log does not say what happened.
    parts : dict
        Name in PARTS -> runs; a part that is not known is nan, and the known ones add up to
        `runs`.
    """

    runs: Floats
    parts: dict[str, Floats]


def of_pitches(frame: "pd.DataFrame", log: Coded, call_runs: Floats | None = None) -> Ledger:
    """Work out the ledger of every pitch of a log.

    Parameters
    ----------
    frame : DataFrame
        The log `log` was coded from.
    log : Coded
    call_runs : ndarray, shape (pitches,), optional
        What each call is worth against the plan's value, nan where it is not known; from planning
        tables. Without it a call is worth what its target's place is.
    """
    frame = frame.iloc[log.row]
    text = {name: texts(frame, name) for name in _COLUMNS}
    values = _Values(text["level"])
    runs = np.array(
        [
            values.of_pitch(int(b), int(s), result, play, str(bunt) in _YES)
            for b, s, result, play, bunt in zip(
                log.balls, log.strikes, text["result"], text["play"], text["bunt"], strict=True
            )
        ],
        dtype=float,
    ).reshape(len(log))
    place = _places(cells(frame))
    target = np.where(text["target_when"] == "after", -1, _places(text["target"]))
    means = _place_means(runs, place, log)
    where = np.where(place >= 0, means[place, log.balls, log.strikes], np.nan)
    asked = np.where(target >= 0, means[target, log.balls, log.strikes], np.nan)
    if call_runs is not None:
        asked = np.where(np.isnan(call_runs), asked, call_runs)
    umpire = _umpire(text["result"], place, log, values)
    return Ledger(runs, _split(runs, where, asked, umpire))


def _split(runs: Floats, where: Floats, asked: Floats, umpire: Floats) -> dict[str, Floats]:
    placed, called = ~np.isnan(where) & ~np.isnan(runs), ~np.isnan(asked)
    both = placed & called
    return {
        "call": np.where(both, asked, np.nan),
        "execution": np.where(both, where - asked, np.nan),
        "call_and_execution": np.where(placed & ~called, where, np.nan),
        "umpire": np.where(placed, umpire, np.nan),
        "outcome": np.where(placed, runs - where - umpire, np.nan),
        "unplaced": np.where(placed, np.nan, runs),
    }


def totals(ledger: Ledger, frame: "pd.DataFrame", log: Coded) -> list[dict[str, object]]:
    """Add the ledger up by game, pitcher, catcher, caller, pitch and count.

    Returns
    -------
    list of dict
        `by`, `name`, `pitches`, `runs`, and every part (None when it is known of no pitch); the
        parts that are not None add up to `runs`.
    """
    counted = ~np.isnan(ledger.runs)
    found: list[dict[str, object]] = []
    for by in GROUPS:
        names = _names(by, frame, log)
        present = names[counted].tolist()
        for name in sorted(set(present)) if by == "count" else dict.fromkeys(present):
            if name:
                found.append({"by": by, "name": name, **_sum(ledger, counted & (names == name))})
    return found


def _sum(ledger: Ledger, rows: NDArray[np.bool_]) -> dict[str, object]:
    sums: dict[str, object] = {"pitches": int(rows.sum()), "runs": float(ledger.runs[rows].sum())}
    for part in PARTS:
        known = ledger.parts[part][rows]
        known = known[~np.isnan(known)]
        sums[part] = float(known.sum()) if known.size else None
    return sums


_COLUMNS: Final = ("result", "play", "bunt", "target", "target_when", "level")


def _names(by: str, frame: "pd.DataFrame", log: Coded) -> NDArray[np.str_]:
    if by == "count":
        pairs = zip(log.balls.tolist(), log.strikes.tolist(), strict=True)
        return np.array([f"{balls}-{strikes}" for balls, strikes in pairs], dtype=np.str_)
    return texts(frame.iloc[log.row], by)


#: How a flag that is set reads, whatever the log holds it as.
_YES: Final = frozenset({"1", "1.0", "True", "yes", "true"})


class _Values:
    """Run values of counts and of how they end, at the level the log is of."""

    def __init__(self, levels: NDArray[np.str_]) -> None:
        known = [level for level in dict.fromkeys(levels.tolist()) if level in LEVELS]
        self._runs_per_game = LEVELS[(known or [DEFAULT_LEVEL])[0]].runs_per_game
        self._counts = count_values_at(self._runs_per_game)

    def of_pitch(self, balls: int, strikes: int, result: str, play: str, bunt: bool) -> float:
        """Return what a pitch was worth, nan where that cannot be known."""
        at = Count(balls, strikes)
        if not at.legal:
            return float("nan")
        try:
            count, end = after(at, result, bunt=bunt)
        except BadInput:
            return float("nan")
        if result == "unknown" or (end == "in play" and not play):
            return float("nan")
        reached = self._end(play if end == "in play" else end) if end else self._counts[count]
        return reached - self._counts[at]

    def called(self, at: Count, result: str) -> float:
        """Return what a taken pitch is worth when called `result`."""
        return self.of_pitch(at.balls, at.strikes, result, "", False)

    def _end(self, event: str) -> float:
        return event_value(event, self._runs_per_game)


def _places(cells: NDArray[np.str_]) -> NDArray[np.int64]:
    """Return the place in PLACES of every cell or target, -1 when unknown."""
    inside = {f"{row}-{column}" for row in zone.ROWS[1:4] for column in zone.COLUMNS[1:4]}
    known = {word: 2 for word in zone.WORDS if word != "unknown"}
    known.update(dict.fromkeys((*inside, "in", "away", "high", "low"), 1))
    known.update({f"{height}-{side}": 1 for height in ("high", "low") for side in ("in", "away")})
    known.update({"middle": 0, "belt-middle": 0})
    unique, code = np.unique(cells, return_inverse=True)
    return np.array([known.get(str(word), -1) for word in unique], dtype=np.int64)[code]


def _place_means(runs: Floats, place: NDArray[np.int64], log: Coded) -> Floats:
    """Return the mean runs of each place in each count, (places, 4, 3), shrunk to the place's."""
    known = (place >= 0) & ~np.isnan(runs)
    at = (place[known], log.balls[known], log.strikes[known])
    total, size = np.zeros((len(PLACES), 4, 3)), np.zeros((len(PLACES), 4, 3))
    np.add.at(total, at, runs[known])
    np.add.at(size, at, 1.0)
    of_place = total.sum(axis=(1, 2)) / (size.sum(axis=(1, 2)) + PRIOR_PITCHES)
    means: Floats = (total + PRIOR_PITCHES * of_place[:, None, None]) / (size + PRIOR_PITCHES)
    return means


def _umpire(
    results: NDArray[np.str_], place: NDArray[np.int64], log: Coded, values: _Values
) -> Floats:
    """Return what the call cost against the book's zone: nought unless a taken pitch was missed."""
    cost = np.zeros(len(log))
    swing = {at: values.called(at, "ball") - values.called(at, "called strike") for at in COUNTS}
    stolen = (results == "ball") & (place >= 0) & (place <= 1)
    given = (results == "called strike") & (place == 2)
    for i in np.flatnonzero(stolen | given).tolist():
        at = Count(int(log.balls[i]), int(log.strikes[i]))
        cost[i] = swing.get(at, 0.0) * (1 if stolen[i] else -1)
    return cost
