"""The pitch of a `log --plain` line: `PITCH, CELL, RESULT, name=value ...`, by column."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput
from sequencer.records.columns import MOMENT_COLUMNS, THROWN_COLUMNS, Column, Value, nearest
from sequencer.records.readers.cells import check_place, in_range

#: Columns of who, which `correct` may change too.
WHO: Final = ("hitter", "bats", "pitcher", "throws", "catcher")

#: What a person may say of a pitch; where it was logged is not his to say.
_THROWN: Final = MappingProxyType(
    {column.name: column for column in THROWN_COLUMNS if column.name != "imported"}
)
_MOMENT: Final = frozenset(column.name for column in MOMENT_COLUMNS)
_SIDES: Final = {
    "bats": Column("bats", "word", "side he hit from", ("R", "L")),
    "throws": Column("throws", "word", "hand he threw with", ("R", "L")),
}
_POSITIONS: Final = ("pitch", "cell", "result")


def split(line: str) -> list[str]:
    """Split a line at its commas; a comma between quotes is kept, a doubled quote is one quote."""
    parts, part, quoted, i = [], "", False, 0
    while i < len(line):
        char = line[i]
        if quoted and line[i : i + 2] == '""':
            part, i = part + '"', i + 1
        elif char == '"':
            quoted = not quoted
        elif char == "," and not quoted:
            parts.append(part.strip())
            part = ""
        else:
            part += char
        i += 1
    if quoted:
        raise BadInput("a quote is not closed")
    return [*parts, part.strip()]


def pitch_cells(line: str) -> dict[str, Value]:
    """Return the columns of a pitch line.

    Raises
    ------
    BadInput
        If it is not a pitch, or a word is unknown, in a sentence with the nearest word.
    """
    parts = split(line)
    named = [i for i, part in enumerate(parts) if "=" in part]
    first = named[0] if named else len(parts)
    if first != len(_POSITIONS) or len(named) != len(parts) - first:
        raise BadInput(
            "a pitch is PITCH, CELL, RESULT, then name=value: "
            "changeup, down-away, ball, target=away"
        )
    cells = {name: _cell(name, text) for name, text in zip(_POSITIONS, parts, strict=False)}
    for part in parts[first:]:
        name, value = _named(part, _refuse_moment)
        if name in cells:
            raise BadInput(f"{name} is said twice")
        cells[name] = value
    check(cells)
    return cells


def _named(part: str, refuse: Callable[[str], None]) -> tuple[str, Value]:
    name, _, text = (piece.strip() for piece in part.partition("="))
    name = name.lower()
    refuse(name)
    return name, _cell(name, text)


def _refuse_moment(name: str) -> None:
    if name in _THROWN:
        return
    if name in _MOMENT:
        raise BadInput(
            f"{name} is not said with a pitch: it follows from the game, or say at, pitcher, "
            "catcher, count or score on a line of its own"
        )
    _refuse_name(name, tuple(_THROWN))


def _refuse_name(name: str, names: tuple[str, ...]) -> None:
    near = nearest(name, names)
    hint = f"did you mean '{near}'?" if near else f"there are {', '.join(names)}"
    raise BadInput(f"unknown name '{name}'; {hint}")


def _cell(name: str, text: str) -> Value:
    value = in_range(_THROWN[name].read(text), name)
    return "unknown" if name in ("pitch", "cell") and value == "" else value


def check(cells: Mapping[str, Value]) -> None:
    """Refuse what a pitch cannot be, whatever the situation.

    Raises
    ------
    BadInput
        If a play is missing or does not go with the result, or the place is off the map.
    """
    result, play = cells.get("result"), cells.get("play")
    if not result:
        raise BadInput("a pitch needs its result")
    if result == "in play" and not play:
        raise BadInput("in play needs play=, such as play=single or play=out")
    if play and result != "in play" and cells.get("third_strike") != "dropped":
        raise BadInput("play= goes with in play; a caught foul is in play with spray=foul ground")
    check_place(cells)


def corrected_cells(text: str) -> dict[str, Value]:
    """Return the columns a correction changes: those of a pitch, and `WHO`.

    Raises
    ------
    BadInput
        As for a pitch; or for a column that follows from the game.
    """
    cells: dict[str, Value] = {}
    for part in split(text):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if not equals:
            raise BadInput(f"'{part}' is not name=value")
        cells[name.lower()] = _corrected(name.lower(), value)
    return cells


def _corrected(name: str, text: str) -> Value:
    if name in _SIDES:
        side = _SIDES[name].read(text.upper())
        if not side:
            raise BadInput(f"{name} is R or L")
        return side
    if name in WHO:
        if not text:
            raise BadInput(f"say who the {name} was")
        return text
    if name in _MOMENT:
        raise BadInput(
            f"{name} follows from the game: insert the entry that was missed, or say count or score"
        )
    if name not in _THROWN:
        _refuse_name(name, (*_THROWN, *WHO))
    return _cell(name, text)
