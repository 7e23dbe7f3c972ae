"""From rows to effective entries: undo, redo, correct, remove and insert folded in."""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from sequencer.errors import IllegalEntry
from sequencer.records.game import Entry, Row

Placed = tuple[int, Entry]


def standing(rows: Iterable[Row]) -> tuple[list[Row], list[Row]]:
    """Return the rows that stand, and those a redo would bring back (the next one last)."""
    kept: list[Row] = []
    undone: list[Row] = []
    for row in rows:
        if row.action == "undo":
            act = _last_act(kept)
            undone += reversed(kept[act:])
            del kept[act:]
        elif row.action == "redo":
            while undone:
                kept.append(undone.pop())
                if not (undone and undone[-1].joined):
                    break
        else:
            kept.append(row)
            undone.clear()
    return kept, undone


def _last_act(kept: list[Row]) -> int:
    """Return where the last act begins; past the end when all there is came with the game."""
    first = len(kept) - 1
    while first >= 0 and kept[first].joined:
        first -= 1
    return first if first >= 0 else len(kept)


def effective(rows: Iterable[Row]) -> tuple[Placed, ...]:
    """Fold undo, redo, correct, remove and insert in: the entries of the game in playing order.

    Returns
    -------
    tuple of (int, Entry)
        Each with the row it was first written in.

    Raises
    ------
    IllegalEntry
        If a correction leaves an entry that does not read.
    """
    placed: list[Placed] = []
    for row in standing(rows)[0]:
        if row.action == "add":
            placed.append((row.seq, row.entry))
        elif row.action == "insert":
            placed.insert(_index(placed, row.target), (row.seq, row.entry))
        else:
            at = _index(placed, row.target)
            if at < len(placed):
                seq, entry = placed.pop(at)
                if row.action == "correct":
                    placed.insert(at, (seq, changed(entry, row.changes)))
    return tuple(placed)


def _index(placed: list[Placed], target: int | None) -> int:
    return next((i for i, (seq, _) in enumerate(placed) if seq == target), len(placed))


def changed(entry: Entry, changes: Mapping[str, Any]) -> Entry:
    """Return an entry with some of its fields changed.

    Raises
    ------
    IllegalEntry
        If a field does not exist or cannot hold the value.
    """
    try:
        return type(entry).model_validate({**entry.model_dump(), **changes})
    except ValidationError as error:
        first = error.errors()[0]
        field = ".".join(str(part) for part in first["loc"])
        raise IllegalEntry(f"{field} cannot be changed to that: {first['msg']}.") from error
