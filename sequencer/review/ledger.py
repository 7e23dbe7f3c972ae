"""The ledger: run value of every pitch, split so that its parts add up exactly.

Of one frozen set of tables (`prices`): the call (what it was worth, less the plan's value), the
execution (where it went, less the call), the umpire (how it was called, less how pitches there
are), and the outcome (what happened, less where it went). A pitch without a target has call and
execution as one; one without a place has the rest as one. Where a plan is given, a miss is held
against this pitcher's own usual one and a call against the plan; else both against the level's.

The ledger cannot see whether calls could be read: any call of a plan's mix is worth about nought.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.count import COUNTS
from sequencer.review.coded import Coded
from sequencer.review.level_prices import usual_values
from sequencer.review.placing import spelled
from sequencer.review.prices import Values

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
Bools = NDArray[np.bool_]

PARTS: Final = ("call", "execution", "call_and_execution", "umpire", "outcome", "unplaced")
GROUPS: Final = ("game", "pitcher", "catcher", "caller", "pitch", "count")
#: Games from which a spread goes by games, below by at-bats; as everywhere in a review.
BY_GAME_FROM: Final = 8
CANNOT_SEE: Final = (
    "The ledger cannot see whether calls could be read: every call of a good mix is worth about "
    "nought to it, read or not."
)


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
    came : ndarray of int
        Place in `came_to.STATES` of what the pitch came to, -1 where not known.
    by_plan : ndarray of bool
        Whether a call is held against a plan, and a miss against the pitcher's own.
    """

    runs: Floats
    parts: dict[str, Floats]
    came: Codes
    by_plan: Bools


def ledger_of(frame: "pd.DataFrame", log: Coded, values: Values | None = None) -> Ledger:
    """Work out the ledger of every pitch of a log.

    Parameters
    ----------
    frame : DataFrame
        The log `log` was coded from.
    log : Coded
    values : Values, optional
        What every pitch was worth on its way, such as `reports.ledger_values` has it from plans;
        by the level's own tables when not given.
    """
    values = usual_values(frame, log) if values is None else values
    runs = values.reached - values.before
    return Ledger(runs, _split(values, ~np.isnan(runs)), values.came, values.by_plan)


def _split(of: Values, counted: Bools) -> dict[str, Floats]:
    placed, called = ~np.isnan(of.place) & counted, ~np.isnan(of.call) & counted
    umpire = np.where(np.isnan(of.taken), 0.0, of.reached - of.taken)
    parts = {
        "call": (called, of.call - of.before),
        "execution": (placed & called, of.place - of.call),
        "call_and_execution": (placed & ~called, of.place - of.before),
        "umpire": (placed, umpire),
        "outcome": (placed, of.reached - of.place - umpire),
        "unplaced": (counted & ~placed, of.reached - np.where(called, of.call, of.before)),
    }
    return {name: np.where(known, runs, np.nan) for name, (known, runs) in parts.items()}


def totals(ledger: Ledger, frame: "pd.DataFrame", log: Coded) -> list[dict[str, object]]:
    """Add the ledger up by game, pitcher, catcher, caller, pitch and count.

    Returns
    -------
    list of dict
        `by`, `name`, `pitches`, `runs`, and every part (None when it is known of no pitch); the
        parts that are not None add up to `runs`. `se` has the standard error of the runs and of
        each part, of the sum over as many such pitches (None where there is but one game or
        at-bat), by drawing what `se_by` says: game, or at-bat where games are too few.
    """
    counted = np.flatnonzero(~np.isnan(ledger.runs))
    found: list[dict[str, object]] = []
    for by in GROUPS:
        code, names = _groups(by, frame, log)
        rows = counted[code[counted] >= 0]
        found += _Sums(code[rows], names, log, rows).entries(by, ledger)
    return found


def _groups(by: str, frame: "pd.DataFrame", log: Coded) -> tuple[Codes, tuple[str, ...]]:
    """Return the group of each pitch, -1 for none, and the names of groups."""
    if by != "count":
        return spelled(frame, by).only(log.row).numbered()
    legal = (log.balls >= 0) & (log.strikes >= 0)
    return np.where(legal, 3 * log.balls + log.strikes, -1), tuple(map(str, COUNTS))


class _Sums:
    """Sums over groups of pitches, and how far others like them would spread."""

    def __init__(self, code: Codes, names: tuple[str, ...], log: Coded, rows: Codes) -> None:
        self._code, self._names, self._rows = code, names, rows
        pairs = (_pairs(code, cluster[rows], len(names)) for cluster in (log.game, log.at_bat))
        self._by_game, self._by_at_bat = pairs
        self._pitches = np.bincount(code, minlength=len(names))
        self._games = np.bincount(self._by_game[1], minlength=len(names))

    def entries(self, by: str, ledger: Ledger) -> Iterator[dict[str, object]]:
        """Go through the groups in their order."""
        columns = {"runs": ledger.runs, **ledger.parts}
        sums = {name: self._of(column[self._rows]) for name, column in columns.items()}
        for group in np.flatnonzero(self._pitches).tolist():
            yield {
                "by": by,
                "name": self._names[group],
                "pitches": int(self._pitches[group]),
                **{name: _known(total[group]) for name, (total, _) in sums.items()},
                "se": {name: _known(spread[group]) for name, (_, spread) in sums.items()},
                "se_by": "game" if self._games[group] >= BY_GAME_FROM else "at-bat",
            }

    def _of(self, runs: Floats) -> tuple[Floats, Floats]:
        """Return the sum of each group, nan where nothing is known, and its standard error."""
        known = ~np.isnan(runs)
        runs, size = np.where(known, runs, 0.0), known.astype(np.float64)
        total, pitches = (
            np.bincount(self._code, weights, len(self._names)) for weights in (runs, size)
        )
        mean = total / np.maximum(pitches, 1.0)
        by_game, by_at_bat = (
            _spread(pair, group, runs, size, mean)
            for pair, group in (self._by_game, self._by_at_bat)
        )
        spread = np.where(self._games >= BY_GAME_FROM, by_game, by_at_bat)
        unknown = pitches == 0
        return np.where(unknown, np.nan, total), np.where(unknown, np.nan, spread)


def _pairs(code: Codes, cluster: Codes, groups: int) -> tuple[Codes, Codes]:
    """Return the cluster of each pitch, numbered within groups, and the group of each cluster."""
    each, pair = np.unique(cluster * max(groups, 1) + code, return_inverse=True)
    return pair, each % max(groups, 1)


def _spread(pair: Codes, group: Codes, runs: Floats, size: Floats, mean: Floats) -> Floats:
    """Return the standard error of each group's sum, given its pitches, drawn by clusters.

    The usual linearised one of a ratio times a size (Cochran 1977, Sampling Techniques, chapter 6).
    """
    pitches = np.bincount(pair, size, len(group))
    away = np.bincount(pair, runs, len(group)) - pitches * mean[group]
    clusters = np.bincount(group, pitches > 0, len(mean))
    square = np.bincount(group, away**2, len(mean))
    some = np.where(clusters > 1, clusters / np.maximum(clusters - 1.0, 1.0), np.nan)
    return np.asarray(np.sqrt(some * square))


def _known(value: float) -> float | None:
    """Return a number, None where there is none."""
    return None if np.isnan(value) else float(value)
