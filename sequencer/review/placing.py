"""Where each pitch crossed, as a cell in the hitter's words: as charted, else from inches."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS
from sequencer.baseball.zone import Zone, cell_of, to_hitter, zone_of
from sequencer.errors import BadInput

if TYPE_CHECKING:
    import pandas as pd

Words = NDArray[np.str_]


def texts(frame: "pd.DataFrame", column: str) -> Words:
    """Return a column as words; "" where it is empty or the log has no such column."""
    if column not in frame.columns:
        return np.full(len(frame), "", dtype=np.str_)
    values = frame[column]
    words = values.astype(object).where(values.notna(), "").to_numpy()
    return np.array([str(word) for word in words], dtype=np.str_)


def cells(frame: "pd.DataFrame") -> Words:
    """Return the cell of every pitch, "" where neither a cell nor inches (and a side) are known.

    Inches are cut at the hitter's own zone where the log has it, else at his level's.
    """
    charted = texts(frame, "cell")
    side, height = _inches(frame, "side_in"), _inches(frame, "height_in")
    bats = texts(frame, "bats")
    missing = (charted == "") & np.isin(bats, ("R", "L")) & np.isfinite(side) & np.isfinite(height)
    if not missing.any():
        return charted
    top, bottom = _inches(frame, "top_in"), _inches(frame, "bottom_in")
    level = texts(frame, "level")
    found = charted.astype(object)
    for row in np.flatnonzero(missing).tolist():
        zone = _zone(float(top[row]), float(bottom[row]), str(level[row]))
        found[row] = _cell(float(side[row]), float(height[row]), zone, str(bats[row]))
    return found.astype(np.str_)


def _inches(frame: "pd.DataFrame", column: str) -> NDArray[np.float64]:
    if column not in frame.columns:
        return np.full(len(frame), np.nan)
    import pandas as pd

    numbers = pd.to_numeric(frame[column], errors="coerce")
    return numbers.to_numpy(dtype=np.float64, na_value=np.nan)


def _zone(top: float, bottom: float, level: str) -> Zone:
    if np.isfinite(top) and np.isfinite(bottom):
        return zone_of(top, bottom)
    return LEVELS.get(level, LEVELS[DEFAULT_LEVEL]).zone


def _cell(side: float, height: float, zone: Zone, bats: str) -> str:
    try:
        return to_hitter(cell_of(side, height, zone), bats)
    except BadInput:
        # a pitch off the map is wild, not charted wrong: its place says nothing of a choice
        return ""
