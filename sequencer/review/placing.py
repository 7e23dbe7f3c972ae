"""Columns of words as a review reads them, and the cell each pitch crossed in.

A log has a million pitches and a few thousand words: each distinct word is held once, and every
pitch has the place of its own.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import zone
from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS

if TYPE_CHECKING:
    import pandas as pd

Words = NDArray[np.str_]
Codes = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Spelled:
    """A column of words.

    Attributes
    ----------
    words : ndarray, shape (distinct,)
        Each word once, in the order of the alphabet; some may be of no pitch.
    code : ndarray, shape (pitches,)
        Place in `words` of each pitch's word.
    """

    words: Words
    code: Codes

    @classmethod
    def of(cls, words: Iterable[str], code: Codes) -> "Spelled":
        """Put words of the same spelling together."""
        distinct, place = np.unique(np.array(list(words), dtype=np.str_), return_inverse=True)
        return cls(distinct, place.astype(np.int64)[code] if len(distinct) else code)

    def __len__(self) -> int:
        return len(self.code)

    def only(self, rows: NDArray[np.bool_] | Codes) -> "Spelled":
        """Return the words of some pitches."""
        return Spelled(self.words, self.code[rows])

    def each(self) -> Words:
        """Return the word of every pitch, (pitches,)."""
        return self.words[self.code] if len(self.code) else self.words[:0]

    def isin(self, known: Iterable[str]) -> NDArray[np.bool_]:
        """Tell which pitches have one of several words, (pitches,)."""
        return np.isin(self.words, list(known))[self.code]

    def placed(self, place: Mapping[str, int]) -> Codes:
        """Return what each pitch's word stands for, -1 for a word that is not known, (pitches,)."""
        found = [place.get(word, -1) for word in self.words.tolist()]
        return np.array(found, dtype=np.int64)[self.code]

    def blank(self, where: NDArray[np.bool_]) -> "Spelled":
        """Leave some pitches without a word."""
        return Spelled.of([*self.words.tolist(), ""], np.where(where, len(self.words), self.code))

    def otherwise(self, other: "Spelled") -> "Spelled":
        """Return these words, and another column's where there are none."""
        code = np.where(self.isin([""]), len(self.words) + other.code, self.code)
        return Spelled.of([*self.words.tolist(), *other.words.tolist()], code)

    def then(self, other: "Spelled", between: str = "\n") -> "Spelled":
        """Return each word followed by another column's."""
        pair, code = _distinct(self.code * len(other.words) + other.code)
        first, second = np.divmod(pair, max(len(other.words), 1))
        words = np.char.add(np.char.add(self.words[first], between), other.words[second])
        return Spelled.of(words.tolist(), code)

    def first_seen(self) -> Codes:
        """Return where each word is met first, past the end for a word of no pitch, (distinct,)."""
        first = np.full(len(self.words), len(self.code), dtype=np.int64)
        # of several pitches of a word the last one written is the first one thrown
        first[self.code[::-1]] = np.arange(len(self.code))[::-1]
        return first

    def numbered(self) -> tuple[Codes, tuple[str, ...]]:
        """Return a number for each word in the order they are met, "" being -1, and the words."""
        first = self.first_seen()
        order = np.argsort(first, kind="stable")
        order = order[(first[order] < len(self.code)) & (self.words[order] != "")]
        rank = np.full(len(self.words), -1, dtype=np.int64)
        rank[order] = np.arange(len(order))
        return rank[self.code], tuple(self.words[order].tolist())


def _distinct(code: Codes) -> tuple[Codes, Codes]:
    """Return the distinct numbers, as they are met, and which of them each is."""
    import pandas as pd

    place, distinct = pd.factorize(code)
    return distinct, place.astype(np.int64)


def spelled(frame: "pd.DataFrame", column: str) -> Spelled:
    """Return a column as words; "" where it is empty or the log has no such column."""
    if column not in frame.columns:
        return Spelled(np.array([""], dtype=np.str_), np.zeros(len(frame), dtype=np.int64))
    import pandas as pd

    values = frame[column]
    if values.dtype == object and pd.api.types.infer_dtype(values, skipna=True) != "string":
        # 1, 1.0 and True are one value and three words
        values = values.where(values.isna(), values.map(str))
    if isinstance(values.dtype, pd.CategoricalDtype):
        code, distinct = values.cat.codes.to_numpy(), values.cat.categories
    else:
        code, distinct = pd.factorize(values)
    # what is empty is coded -1, the last of the words
    said: list[Any] = distinct.astype(object).tolist()
    return Spelled.of([*map(str, said), ""], code.astype(np.int64))


def texts(frame: "pd.DataFrame", column: str) -> Words:
    """Return a column as words, one for each pitch; "" where it is empty or not there."""
    return spelled(frame, column).each()


def cells(frame: "pd.DataFrame") -> Words:
    """Return the cell of every pitch, as `crossed` has it."""
    return crossed(frame).each()


#: Hitter's words of every cell, by side he hits from, row and column to the catcher.
_SIDES: Final = ("R", "L")
_CELLS: Final = tuple(
    zone.to_hitter(f"{row}-{column}", bats)
    for bats in _SIDES
    for row in zone.ROWS
    for column in zone.CATCHER_COLUMNS
)


def crossed(frame: "pd.DataFrame") -> Spelled:
    """Return the cell of every pitch, "" where neither a cell nor inches (and a side) are known.

    Inches are cut at the hitter's own zone where the log has it, else at his level's. A pitch off
    the map is wild, not charted wrong: its place says nothing of a choice, and it has none.

    Raises
    ------
    BadInput
        If a hitter's zone cannot be.
    """
    charted = spelled(frame, "cell")
    side, height = _inches(frame, "side_in"), _inches(frame, "height_in")
    bats = spelled(frame, "bats").placed({side: i for i, side in enumerate(_SIDES)})
    missing = charted.isin([""]) & (bats >= 0) & np.isfinite(side) & np.isfinite(height)
    rows = np.flatnonzero(missing)
    if not len(rows):
        return charted
    side, height = side[rows], height[rows]
    top, bottom = _zones(frame, rows)
    lowest, highest = zone.MAP_HEIGHT_IN
    there = (np.abs(side) <= zone.MAP_SIDE_IN) & (lowest <= height) & (height <= highest)
    up = _fifth((height - (top + bottom) / 2) / ((top - bottom) / 2))
    cell = (bats[rows] * len(zone.ROWS) + 4 - up) * len(zone.COLUMNS)
    cell += _fifth(side / zone.HALF_WIDTH_IN)
    code = charted.code.copy()
    code[rows] = len(charted.words) + np.where(there, cell, len(_CELLS))
    return Spelled.of([*charted.words.tolist(), *_CELLS, ""], code)


def _fifth(value: Floats) -> Codes:
    """Return 0 to 4 as `zone.cell_of` cuts: beyond -1, to -1/3, the middle third, to 1, beyond."""
    size = np.abs(value)
    ring = (size > 1 / 3 + 1e-9).astype(np.int64) + (size > 1 + 1e-9)
    return 2 + np.where(value > 0, ring, -ring)


def _zones(frame: "pd.DataFrame", rows: Codes) -> tuple[Floats, Floats]:
    """Return top and bottom of the zone of some pitches, inches."""
    top, bottom = _inches(frame, "top_in")[rows], _inches(frame, "bottom_in")[rows]
    own = np.isfinite(top) & np.isfinite(bottom)
    for row in np.flatnonzero(own & ~((bottom > 0) & (bottom < top) & (top < 80)))[:1].tolist():
        zone.zone_of(float(top[row]), float(bottom[row]))
    level = spelled(frame, "level").only(rows)
    known = [LEVELS.get(word, LEVELS[DEFAULT_LEVEL]).zone for word in level.words.tolist()]
    usual = np.array(known)[level.code]
    return np.where(own, top, usual[:, 0]), np.where(own, bottom, usual[:, 1])


def _inches(frame: "pd.DataFrame", column: str) -> Floats:
    if column not in frame.columns:
        return np.full(len(frame), np.nan)
    import pandas as pd

    numbers = pd.to_numeric(frame[column], errors="coerce")
    return numbers.to_numpy(dtype=np.float64, na_value=np.nan)
