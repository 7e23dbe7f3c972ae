"""The cells of one row: read, ranged and made a record's fields, or refused in a sentence."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from sequencer.baseball import zone
from sequencer.errors import BadInput
from sequencer.records.columns import THROWN_COLUMNS, Column, Value
from sequencer.records.pitch import Pitch
from sequencer.records.readers.table import BadRow, Table

Cells = Mapping[str, Value]

#: Least and most a number may be; outside it is a slip of the pen. Counts and outs: the game's
#: rules; the rest: assumptions, wider than any pitch thrown.
RANGES: Final[Mapping[str, tuple[float, float]]] = {
    "game_no": (1, 9),
    "inning": (1, 99),
    "outs": (0, 2),
    "score_us": (0, 199),
    "score_them": (0, 199),
    "at_bat": (1, 9_999_999),
    "pitch_no": (1, 99),
    "after_at_bat": (0, 9_999_999),
    "after_pitch": (0, 99),
    "slot": (1, 99),
    "pitches": (0, 299),
    "shakes": (0, 20),
    "set": (1, 999),
    "throw": (1, 999),
    "speed_mph": (15, 115),
    "top_in": (20, 70),
    "bottom_in": (5, 40),
    "break_side_in": (-60, 60),
    "break_up_in": (-100, 60),
    "exit_mph": (0, 130),
    "launch_deg": (-90, 90),
    "contact_value": (0, 2.5),
}
#: Kinds of column whose texts are taken as they are.
FREE: Final = frozenset({"text", "base"})
_THROWN: Final = tuple(column.name for column in THROWN_COLUMNS if column.name != "imported")


@dataclass(slots=True)
class CellReader:
    """Reads rows of one table; a text met before is not read again."""

    columns: Sequence[Column]
    _by_name: dict[str, Column] = field(default_factory=dict)
    _read: dict[str, dict[str, Value]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Index the columns."""
        self._by_name = {column.name: column for column in self.columns}
        self._read = {c.name: {} for c in self.columns if c.kind not in FREE}

    def rows(self, table: Table) -> tuple[list[tuple[int, Cells]], list[BadRow]]:
        """Return (the rows that could be read, the rows that could not), each with its line."""
        good: list[tuple[int, Cells]] = []
        bad = list(table.bad)
        for line, texts in table.rows:
            try:
                good.append((line, self._row(texts)))
            except BadInput as error:
                bad.append(BadRow(line, str(error), table.path.name))
        return good, bad

    def _row(self, texts: Mapping[str, str]) -> Cells:
        cells: dict[str, Value] = {}
        for name, text in texts.items():
            memo = self._read.get(name)
            if memo is None:
                if name in self._by_name:
                    cells[name] = text.strip()
            elif text in memo:
                cells[name] = memo[text]
            else:
                cells[name] = memo[text] = in_range(self._by_name[name].read(text), name)
        return cells


def in_range(value: Value, name: str) -> Value:
    """Return a value, or raise BadInput if it is outside what its column can hold."""
    limits = RANGES.get(name)
    if limits and isinstance(value, int | float) and not limits[0] <= value <= limits[1]:
        raise BadInput(f"{name} {value:g} cannot be; it is {limits[0]:g} to {limits[1]:g}")
    return value


def needed(cells: Cells, names: Iterable[str]) -> None:
    """Raise BadInput naming the first of `names` that is empty."""
    for name in names:
        if cells.get(name) in (None, "", ()):
            raise BadInput(f"{name} is empty; every row needs it")


def exported(cells: Cells) -> bool:
    """Say whether a row comes from an export of ours, which was checked when it was logged."""
    return cells.get("imported") is not None


def text_of(cells: Cells, name: str) -> str:
    """Return a text cell, "" when the file has no such column."""
    value = cells.get(name)
    return value if isinstance(value, str) else ""


def noted_tells(cells: Cells) -> tuple[str, ...]:
    """Return the words of a row's tells, seen or watched for, without what was measured."""
    noted = [cells.get(name) for name in ("tells", "tells_watched")]
    lists = (value for value in noted if isinstance(value, tuple))
    return tuple(text.partition("=")[0].strip() for texts in lists for text in texts)


def number_of(cells: Cells, name: str) -> int | None:
    """Return a whole number's cell, None when it is empty or absent."""
    value = cells.get(name)
    return value if isinstance(value, int) else None


def check_place(cells: Cells) -> None:
    """Refuse inches off the map and a zone that cannot be; either inch alone is enough.

    Raises
    ------
    BadInput
        In a sentence with the numbers.
    """
    side, height = cells.get("side_in"), cells.get("height_in")
    if side is not None or height is not None:
        zone.check_location(_inches(side, 0.0), _inches(height, 30.0))
    top, bottom = cells.get("top_in"), cells.get("bottom_in")
    if top is not None and bottom is not None:
        zone.zone_of(_inches(top, 0.0), _inches(bottom, 0.0))


def _inches(value: Value, otherwise: float) -> float:
    return float(value) if isinstance(value, int | float) else otherwise


def to_catcher(cells: Cells, name: str, bats: str) -> str:
    """Return a place as the catcher saw it; with no side known, as from a right-handed hitter."""
    word = text_of(cells, name)
    return zone.to_catcher(word, bats or "R") if word else ""


def needs_side(word: str) -> bool:
    """Say whether a place names the hitter's side (in, away)."""
    return not {"in", "away"}.isdisjoint(word.split("-"))


def names_catcher(word: str) -> bool:
    """Say whether a place names the catcher's side (left, right)."""
    return not {"left", "right"}.isdisjoint(word.split("-"))


def pitch_of(cells: Cells, bats: str) -> Pitch:
    """Return the pitch of a row (without what it observed), its places in the catcher's frame."""
    fields: dict[str, Any] = {
        name: cells[name] for name in _THROWN if cells.get(name) not in (None, "")
    }
    for place in ("cell", "target"):
        fields[place] = to_catcher(cells, place, bats)
    if fields["target"] == "unknown":
        fields["target"] = ""
    if "entered" not in cells:
        fields["entered"] = entered_in(cells)
    return Pitch(**fields)


def entered_in(cells: Cells) -> str:
    """Return whose words a row's places are in; a file of its own says so in `entered`."""
    words = (text_of(cells, "cell"), text_of(cells, "target"))
    if any(names_catcher(word) for word in words):
        return "catcher"
    return "hitter" if any(words) else ""
