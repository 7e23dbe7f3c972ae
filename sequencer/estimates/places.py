"""Where logged pitches crossed and were asked for, in the frame each estimate needs."""

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.baseball import zone
from sequencer.baseball.zone import BALL_RADIUS_IN, HALF_WIDTH_IN, Zone
from sequencer.errors import BadInput
from sequencer.estimates.arrays import Floats

if TYPE_CHECKING:
    import pandas as pd

#: Standard deviation of the error of a place in inches, to the side and in height, by who saw it
#: (assumptions): from behind the plate both are seen well, from a dugout only the height.
SEEN_ERROR_IN: Final = {
    "measured": (0.5, 0.5),
    "behind plate": (2.0, 2.0),
    "video": (2.0, 2.5),
    "dugout": (5.0, 3.0),
    "": (3.0, 3.0),
}
#: Part of an inch to which people give places: finer ones a machine measured (assumption).
_BY_EYE_IN: Final = 0.5
#: How much of a logged zone's departure from the usual one is played: listings are noisy, and
#: umpires and hitters follow the rest (fitted: of 0, .3, .5 and 1 on two sources of the open data
#: with listed zones, .3 to .5 tells called strikes and swings best; 1 loses .02 and .006 nats).
PLAYED: Final = 0.4
#: A cell is a third of the zone or as wide a strip beside it: evenly spread over it.
_CELL_PART: Final = (2.0 / 3.0) / np.sqrt(12.0)


class Place(NamedTuple):
    """Catcher's inches of many pitches and the variance of seeing them; nan where unknown."""

    inches: Floats
    error: Floats


def zone_of_rows(frame: "pd.DataFrame", level_zone: Zone) -> Floats:
    """Return top and bottom of each row's zone, (n, 2), the level's where the log does not say."""
    edges = np.column_stack([numbers(frame, "top_in"), numbers(frame, "bottom_in")])
    known = np.isfinite(edges).all(axis=1, keepdims=True) & (edges[:, :1] > edges[:, 1:])
    return np.where(known, edges, np.array(level_zone))


def played(edges: Floats, level_zone: Zone) -> Floats:
    """Return the zones that places measured in inches are held against, (n, 2); see `PLAYED`.

    They are of the ball's centre: a ball that touches the zone is in it, above as at the sides.
    """
    usual = np.array(level_zone)
    return touched(usual + PLAYED * (edges - usual))


def touched(edges: Floats) -> Floats:
    """Return the edges, (n, 2), that zones have for the ball's centre: where it only touches."""
    return np.asarray(edges + np.array([BALL_RADIUS_IN, -BALL_RADIUS_IN]))


def numbers(frame: "pd.DataFrame", column: str) -> Floats:
    """Return a column as numbers, nan where it is empty or absent."""
    if column not in frame:
        return np.full(len(frame), np.nan)
    kept = frame[column]
    if isinstance(kept.dtype, np.dtype) and kept.dtype.kind in "fi":
        return kept.to_numpy(np.float64)
    import pandas as pd

    return np.asarray(pd.to_numeric(kept, errors="coerce"), dtype=np.float64)


def words(frame: "pd.DataFrame", column: str) -> list[str]:
    """Return a column as words, empty where it is empty or absent."""
    if column not in frame:
        return [""] * len(frame)
    return [word if isinstance(word, str) else "" for word in frame[column].tolist()]


def seen_from(frame: "pd.DataFrame") -> list[str]:
    """Return how each place was seen, in the words of `SEEN_ERROR_IN`.

    Where the log does not say, inches finer than a half inch were measured; where most of such a
    log's inches are, the others only happen to fall on one.
    """
    said = words(frame, "seen_from")
    inches = np.column_stack([numbers(frame, "side_in"), numbers(frame, "height_in")])
    untold = np.array([word == "" for word in said], dtype=np.bool_)
    untold &= np.isfinite(inches).all(axis=1)
    parts = np.where(untold[:, None], inches, 0.0) / _BY_EYE_IN
    measured = np.asarray((np.abs(parts - np.rint(parts)) > 1e-6).any(axis=1))
    finer = untold if 2 * measured.sum() > untold.sum() else measured
    return ["measured" if fine else word for fine, word in zip(finer.tolist(), said, strict=True)]


def _errors(frame: "pd.DataFrame") -> Floats:
    """Return the variance of seeing each pitch, (n, 2)."""
    seen = [SEEN_ERROR_IN.get(word, SEEN_ERROR_IN[""]) for word in seen_from(frame)]
    return np.array(seen).reshape(-1, 2) ** 2


def crossed(frame: "pd.DataFrame", level_zone: Zone, side_column: str = "bats") -> Place:
    """Return where pitches crossed, (n, 2) catcher's inches: measured, else the cell's centre."""
    edges = zone_of_rows(frame, level_zone)
    inches = np.column_stack([numbers(frame, "side_in"), numbers(frame, "height_in")])
    error = _errors(frame)
    by_cell = ~np.isfinite(inches).all(axis=1, keepdims=True)
    cells = centres(words(frame, "cell"), words(frame, side_column), edges)
    size = np.column_stack([np.full(len(frame), HALF_WIDTH_IN), (edges[:, 0] - edges[:, 1]) / 2])
    within = (size * _CELL_PART) ** 2
    return Place(np.where(by_cell, cells, inches), np.where(by_cell, error + within, error))


class Boxes(NamedTuple):
    """Sides of the box each pitch was seen in, (n, 2) catcher's inches, and the error of seeing.

    Both sides are one where inches were measured, infinite where a word leaves them open, nan where
    nothing is known; `error` holds variances.
    """

    low: Floats
    high: Floats
    error: Floats


def boxes(frame: "pd.DataFrame", level_zone: Zone, side_column: str = "bats") -> Boxes:
    """Return the box in which each pitch was seen to cross: its inches, else all of its cell.

    A cell off the plate has no far side and a bench's word (above, off-in) only one side: a pitch
    two feet outside is entered as one that just missed, and its middle would hide how wild he is.
    """
    edges = zone_of_rows(frame, level_zone)
    inches = np.column_stack([numbers(frame, "side_in"), numbers(frame, "height_in")])
    low, high = inches.copy(), inches.copy()
    cells, sides = words(frame, "cell"), words(frame, side_column)
    for i in np.flatnonzero(~np.isfinite(inches).all(axis=1)):
        low[i], high[i] = _box(cells[i], sides[i], Zone(*edges[i]))
    return Boxes(low, high, _errors(frame))


#: Sides of rows and columns in zone halves, from the middle: thirds of the zone, then all beyond.
_ROW_SIDES: Final = {
    "above": (1.0, np.inf),
    "up": (1 / 3, 1.0),
    "belt": (-1 / 3, 1 / 3),
    "down": (-1.0, -1 / 3),
    "below": (-np.inf, -1.0),
}
_COLUMN_SIDES: Final = {
    "off-left": (-np.inf, -1.0),
    "left": (-1.0, -1 / 3),
    "middle": (-1 / 3, 1 / 3),
    "right": (1 / 3, 1.0),
    "off-right": (1.0, np.inf),
}
_ANYWHERE: Final = (-np.inf, np.inf)
_UNKNOWN: Final = (np.full(2, np.nan), np.full(2, np.nan))


def _box(cell: str, bats: str, edges: Zone) -> tuple[Floats, Floats]:
    """Return both corners of a cell, or of what a bench's word leaves, in catcher's inches."""
    try:
        word = zone.to_catcher(cell, bats) if bats in ("R", "L") else cell
    except BadInput:
        return _UNKNOWN
    if word in ("off-left", "off-right"):
        row, column = "", word
    elif word in ("above", "below"):
        row, column = word, ""
    else:
        row, _, column = word.partition("-")
        if row not in _ROW_SIDES or column not in _COLUMN_SIDES:
            return _UNKNOWN
    across, up = _COLUMN_SIDES.get(column, _ANYWHERE), _ROW_SIDES.get(row, _ANYWHERE)
    sides, heights = np.array(across) * HALF_WIDTH_IN, np.array(up) * edges.half_height_in
    low, high = np.column_stack([sides, heights + edges.middle_in])
    return low, high


def centres(places: list[str], sides: list[str], edges: Floats) -> Floats:
    """Return catcher's inches of places in words, (n, 2); nan where a word names no place."""
    out = np.full((len(places), 2), np.nan)
    for i, (place, bats) in enumerate(zip(places, sides, strict=True)):
        if place and place != "unknown":
            out[i] = _centre(place, bats, Zone(*edges[i]))
    return out


def _centre(place: str, bats: str, edges: Zone) -> tuple[float, float]:
    try:
        return zone.centre_of(zone.to_catcher(place, bats) if bats in ("R", "L") else place, edges)
    except BadInput:
        return np.nan, np.nan


def relative(inches: Floats, edges: Floats, bats: list[str]) -> Floats:
    """Return (u, v), (n, 2): hitter-relative zone halves of catcher's inches."""
    away = np.array([zone.away_sign(side) if side in ("R", "L") else np.nan for side in bats])
    middle, half = edges.mean(1), (edges[:, 0] - edges[:, 1]) / 2
    return np.column_stack([away * inches[:, 0] / HALF_WIDTH_IN, (inches[:, 1] - middle) / half])
