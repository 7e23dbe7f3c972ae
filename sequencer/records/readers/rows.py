"""The rows of a big pitch log, each cell read and each row checked on its own.

The rules are the row reader's. They are asked once of every kind of row (the same words in the
columns they look at) and of every row of a kind they refuse, so that each gets its own sentence.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from sequencer.baseball.zone import MAP_HEIGHT_IN, MAP_SIDE_IN
from sequencer.errors import BadInput, CoachError
from sequencer.records.columns import PITCH_COLUMNS, Column, Value
from sequencer.records.readers.cells import FREE, Cells, in_range
from sequencer.records.readers.coded import Coded, Ints, Texts
from sequencer.records.readers.lines import check_pitch
from sequencer.records.readers.table import BadRow

Bools = np.ndarray[Any, np.dtype[np.bool_]]
Floats = np.ndarray[Any, np.dtype[np.float64]]

_NOTHING: Final = (None, "", ())
#: Columns whose words a check of one row looks at, and those it only asks to be filled.
_LOOKED_AT: Final = (
    *("balls", "strikes", "moves", "play", "result", "half", "home", "pitching", "imported"),
)
_FILLED: Final = (
    *("game", "at_bat", "pitch_no", "pitch", "pitcher", "pitcher_id"),
    *("hitter", "hitter_no", "hitter_id"),
)
_INCHES: Final = ("side_in", "height_in", "top_in", "bottom_in")


@dataclass(frozen=True, slots=True)
class Read:
    """One column: its different `values`, and for every row which of them it holds."""

    codes: Ints
    values: Sequence[Value]

    def known(self) -> Bools:
        """Return which rows hold anything."""
        filled = np.array([value not in _NOTHING for value in self.values], dtype=np.bool_)
        return filled[self.codes] if len(filled) else np.zeros(len(self.codes), np.bool_)

    def numbers(self) -> Floats:
        """Return the rows' numbers, nan where there is none."""
        numbers = [
            float(value) if isinstance(value, int | float) else np.nan for value in self.values
        ]
        return np.array([*numbers, np.nan])[self.codes]


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of a log by column, as they lie in the file or as taken from it."""

    path: Path
    lines: Ints
    columns: Mapping[str, Read]

    def __len__(self) -> int:
        return len(self.lines)

    def cells(self, row: int) -> dict[str, Value]:
        """Return one row as the row reader has it."""
        return {name: read.values[read.codes[row]] for name, read in self.columns.items()}

    def take(self, rows: Ints | Bools) -> "Rows":
        """Return only these rows, in this order."""
        columns = {name: Read(one.codes[rows], one.values) for name, one in self.columns.items()}
        return Rows(self.path, self.lines[rows], columns)

    def numbers(self, name: str) -> Floats:
        """Return a column's numbers, nan where the log has none."""
        if name not in self.columns:
            return np.full(len(self), np.nan)
        return self.columns[name].numbers()

    def alike(self, names: Iterable[str], *more: Ints | Bools) -> tuple[Ints, Ints]:
        """Return (the first row of every kind, the kind of every row), kinds as they are met.

        Rows of one kind hold the same in all the columns named and in `more`.
        """
        codes = [self.columns[name].codes for name in names if name in self.columns]
        return alike([*codes, *more], len(self))

    def refused(self, row: int, error: Exception | str) -> BadRow:
        """Return a row as one that was refused."""
        return BadRow(int(self.lines[row]), str(error), self.path.name)


def alike(codes: Iterable[Ints | Bools], rows: int) -> tuple[Ints, Ints]:
    """Return (the first row of every kind, the kind of every row): see `Rows.alike`."""
    import pandas as pd

    kind = np.zeros(rows, np.int64)
    for one in codes:
        kind = pd.factorize(kind * (int(one.max(initial=0)) + 1) + one)[0].astype(np.int64)
    return np.unique(kind, return_index=True)[1], kind


def read_rows(coded: Coded, bad: list[BadRow]) -> Rows:
    """Return the rows of a file whose every cell can be read and that can be pitches.

    The others go to `bad`, each with the first thing that is wrong with it.
    """
    columns = {column.name: column for column in PITCH_COLUMNS}
    good, read = np.ones(len(coded.lines), np.bool_), {}
    file = coded.head.path
    for name, texts in coded.columns.items():
        read[name], wrong = _read(columns[name], texts)
        if wrong:
            is_wrong = np.isin(texts.codes, list(wrong)) & good
            for row in np.flatnonzero(is_wrong):
                reason = wrong[int(texts.codes[row])]
                bad.append(BadRow(int(coded.lines[row]), reason, file.name))
            good &= ~is_wrong
    rows = Rows(file, coded.lines, read)
    return _checked(rows if good.all() else rows.take(good), bad)


def _read(column: Column, texts: Texts) -> tuple[Read, dict[int, str]]:
    """Return a column read, and what is wrong with which of its texts."""
    values: dict[Value, int] = {}
    renumbered = np.zeros(len(texts.texts), np.int64)
    wrong: dict[int, str] = {}
    for code, text in enumerate(texts.texts):
        try:
            value = text.strip() if column.kind in FREE else _value(column, text)
        except BadInput as error:
            wrong[code] = str(error)
        else:
            renumbered[code] = values.setdefault(value, len(values))
    codes = renumbered[texts.codes] if len(renumbered) else texts.codes
    return Read(codes, list(values)), wrong


def _value(column: Column, text: str) -> Value:
    return in_range(column.read(text), column.name)


def _checked(rows: Rows, bad: list[BadRow]) -> Rows:
    """Return the rows that can be a pitch of some game."""
    filled = [rows.columns[name].known() for name in _FILLED if name in rows.columns]
    first, kind = rows.alike(_LOOKED_AT, *filled)
    doubted = np.array(
        [not _passes(_elsewhere(rows.cells(row))) for row in first.tolist()], np.bool_
    )
    good = np.ones(len(rows), np.bool_)
    suspect = (doubted[kind] if len(first) else good) | _off_the_map(rows)
    for row in np.flatnonzero(suspect).tolist():
        try:
            check_pitch(rows.cells(row))
        except CoachError as error:
            bad.append(rows.refused(row, error))
            good[row] = False
    return rows if good.all() else rows.take(good)


def _elsewhere(cells: Cells) -> Cells:
    return {name: value for name, value in cells.items() if name not in _INCHES}


def _passes(cells: Cells) -> bool:
    try:
        check_pitch(cells)
    except CoachError:
        return False
    return True


def _off_the_map(rows: Rows) -> Bools:
    """Return the rows whose inches may be refused: see `cells.check_place`."""
    side, height, top, bottom = (rows.numbers(name) for name in _INCHES)
    low, high = MAP_HEIGHT_IN
    off = (np.abs(side) > MAP_SIDE_IN) | (height < low) | (height > high)
    no_zone = (bottom <= 0) | (bottom >= top) | (top >= 80)
    return np.asarray(off | no_zone, dtype=np.bool_)
