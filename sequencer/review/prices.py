"""What every pitch of a log was worth on its way: before it, when it was called, where it went.

Prices are of one frozen set of tables: a level's own (`level_prices`), against its usual hitter and
with its usual miss, or a solved plan's (`reports.ledger_values`), which has this pitcher's miss and
the looks of the plan.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Protocol

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import levels
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.zone import TARGETS
from sequencer.estimates.entries import Entries, entries_of
from sequencer.estimates.hitter_rows import FAMILY_ORDER
from sequencer.review.came_to import AFTER_BALL, AFTER_STRIKE, UNKNOWN, came_to
from sequencer.review.coded import Coded
from sequencer.review.place_runs import PlaceRuns
from sequencer.review.placing import Spelled, spelled

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
Bools = NDArray[np.bool_]

#: Sides hitters hit from, in the order of `Pitches.bats`.
SIDES: Final = ("R", "L")
_COLUMNS: Final = (
    *("level", "bats", "throws", "result", "play", "bunt", "pitch", "called", "target"),
    *("target_when", "cell", "side_in", "height_in", "seen_from", "top_in", "bottom_in"),
)
_FAMILY: Final = {word: FAMILY_ORDER.index(family) for word, family in TYPES.items()}
_TARGET: Final = {word: place for place, word in enumerate(TARGETS)}
_TAKEN: Final = ("ball", "called strike")


@dataclass(frozen=True, eq=False)
class Values:
    """Runs of each pitch on its way, every array of shape (pitches,).

    All are runs to the hitting side relative to before the at-bat, of one set of tables; nan where
    the log does not say.

    Attributes
    ----------
    before : ndarray
        Of the count (with a plan, the plan's value).
    call : ndarray
        Once it was called: over where it may go.
    place : ndarray
        Once it went there: over what may come of it.
    taken : ndarray
        Of a pitch that was taken there and called, over how it may be called.
    reached : ndarray
        Of what it came to.
    came : ndarray of int
        Place in `came_to.STATES` of what it came to, -1 where not known.
    by_plan : ndarray of bool
        Whether the tables are a plan's.
    """

    before: Floats
    call: Floats
    place: Floats
    taken: Floats
    reached: Floats
    came: Codes
    by_plan: Bools

    @classmethod
    def empty(cls, pitches: int) -> "Values":
        """Return values to be filled in; nothing is known."""
        before, call, place, taken, reached = np.full((5, pitches), np.nan)
        unknown = np.full(pitches, UNKNOWN)
        return cls(before, call, place, taken, reached, unknown, np.zeros(pitches, dtype=np.bool_))


class Prices(Protocol):
    """Tables of pitches from one side to hitters of one side.

    `states` (states,): runs of what a pitch can lead to, see `came_to.STATES`; `place`: the tables
    of a family; `call`: expected runs of a call by count, (12,), None for one without.
    """

    @property
    def states(self) -> Floats: ...  # noqa: D102

    def place(self, family: str) -> PlaceRuns: ...  # noqa: D102

    def call(self, pitch: str, target: str) -> Floats | None: ...  # noqa: D102


@dataclass(frozen=True, eq=False)
class Pitches:
    """What prices hang on, every array of shape (pitches,).

    Attributes
    ----------
    count, came : ndarray
        Places in `COUNTS`, -1 for none such, and in `came_to.STATES`, -1 where not known.
    taken : ndarray of bool
        Taken and called.
    level : Spelled
    bats : ndarray
        Place in `SIDES`, -1 where not known.
    same : ndarray
        1 when thrown from the side he hits from, 0 when not, .5 when unknown.
    family : ndarray
        Place in `FAMILY_ORDER` of what was thrown.
    asked : Spelled
        Type asked for, else thrown.
    target : ndarray
        Place in `TARGETS`, -1 where none was set before the result.
    entries : Entries
        Where it was seen to cross.
    """

    count: Codes
    came: Codes
    taken: Bools
    level: Spelled
    bats: Codes
    same: Floats
    family: Codes
    asked: Spelled
    target: Codes
    entries: Entries

    def fill(self, values: Values, own: Codes, prices: Prices) -> None:
        """Fill in the values of some pitches, in place.

        Parameters
        ----------
        values : Values
        own : ndarray of int
            Positions of pitches that these prices are of.
        prices : Prices
        """
        own = own[self.count[own] >= 0]
        count, came, states = self.count[own], self.came[own], prices.states
        values.before[own], values.came[own] = states[count], came
        values.reached[own] = np.where(came >= 0, states[came], np.nan)
        for family, mine in apart(self.family[own], own):
            self._where(values, mine, prices.place(FAMILY_ORDER[family]), states)
        values.call[own] = np.nan
        asked = own[self.target[own] >= 0]
        for code, mine in apart(self.asked.code[asked] * len(TARGETS) + self.target[asked], asked):
            word, target = divmod(code, len(TARGETS))
            runs = prices.call(str(self.asked.words[word]), TARGETS[target])
            if runs is not None:
                values.call[mine] = runs[self.count[mine]]

    def _where(self, values: Values, own: Codes, place: PlaceRuns, states: Floats) -> None:
        """Fill in what pitches of one family were worth where they went."""
        values.place[own] = place.runs_of(self.entries.take(own), self.count[own])
        taken = own[self.taken[own]]
        count = self.count[taken]
        strike = place.called_of(self.entries.take(taken), count)
        ball = states[AFTER_BALL[count]]
        values.taken[taken] = ball + strike * (states[AFTER_STRIKE[count]] - ball)


def apart(code: Codes, own: Codes) -> Iterator[tuple[int, Codes]]:
    """Go through the pitches of each code."""
    if not len(own):
        return
    order = np.argsort(code, kind="stable")
    codes, starts = np.unique(code[order], return_index=True)
    yield from zip(codes.tolist(), np.split(own[order], starts[1:]), strict=True)


def pitches_of(frame: "pd.DataFrame", log: Coded) -> Pitches:
    """Return what the prices of a log's pitches hang on.

    Parameters
    ----------
    frame : DataFrame
        The log `log` was coded from.
    log : Coded
    """
    rows = frame[[name for name in _COLUMNS if name in frame]].iloc[log.row]
    result, thrown = spelled(rows, "result"), spelled(rows, "pitch")
    legal = (log.balls >= 0) & (log.balls <= 3) & (log.strikes >= 0) & (log.strikes <= 2)
    count = np.where(legal, 3 * log.balls + log.strikes, -1)
    bats, throws = (
        spelled(rows, column).placed({side: i for i, side in enumerate(SIDES)})
        for column in ("bats", "throws")
    )
    family = thrown.placed(_FAMILY)
    late = spelled(rows, "target_when").isin(["after"])
    level = spelled(rows, "level")
    return Pitches(
        count=count,
        came=came_to(count, result, spelled(rows, "play"), spelled(rows, "bunt")),
        taken=result.isin(_TAKEN),
        level=level,
        bats=bats,
        same=np.where((bats >= 0) & (throws >= 0), bats == throws, 0.5).astype(np.float64),
        family=np.where(family >= 0, family, FAMILY_ORDER.index("unknown")),
        asked=spelled(rows, "called").otherwise(thrown),
        target=np.where(late, -1, spelled(rows, "target").placed(_TARGET)),
        entries=_entries(rows, level, bats),
    )


def _entries(rows: "pd.DataFrame", level: Spelled, bats: Codes) -> Entries:
    """Return where pitches were seen, each in its level's zone."""
    if "side_in" in rows and (bats < 0).any():
        # inches to the side of him whose side is not known are neither in nor away
        rows = rows.assign(side_in=rows["side_in"].where(bats >= 0))
    at = level_of(level)
    groups = list(apart(at, np.arange(len(at)))) or [(_USUAL, np.arange(0))]
    found = [
        entries_of(
            rows.iloc[own],
            levels.LEVELS[NAMES[code]].zone,
            np.where(bats[own] == SIDES.index("L"), "L", "R").tolist(),
        )
        for code, own in groups
    ]
    back = np.argsort(np.concatenate([own for _, own in groups]))
    return Entries(*(np.concatenate(parts)[back] for parts in zip(*found, strict=True)))


#: Levels, as `level_of` numbers them.
NAMES: Final = tuple(levels.LEVELS)
_USUAL: Final = NAMES.index(levels.DEFAULT_LEVEL)


def level_of(level: Spelled) -> Codes:
    """Return which of the levels each pitch was thrown at, the usual one where it is not said."""
    found = level.placed({name: i for i, name in enumerate(NAMES)})
    return np.where(found >= 0, found, _USUAL)
