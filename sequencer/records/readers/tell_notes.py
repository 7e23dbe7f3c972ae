"""Notes of tells: what someone saw of the pitches of a log, most often on video."""

from pathlib import Path

from sequencer.errors import BadInput
from sequencer.records.base import Record
from sequencer.records.columns import TELL_NOTE_COLUMNS
from sequencer.records.readers.cells import CellReader, Cells, needed, number_of, text_of
from sequencer.records.readers.table import BadRow, checked, only, read_table

#: Refused rows that one message names.
_TOLD = 3


class TellNote(Record):
    """What one observer noted of one pitch: `at_bat` and `pitch_no`, or `order` in the game."""

    game: str
    observer: str
    at_bat: int | None = None
    pitch_no: int | None = None
    order: int | None = None
    tells: tuple[str, ...] = ()
    tells_watched: tuple[str, ...] = ()

    @property
    def where(self) -> str:
        """The pitch in words."""
        if self.at_bat is None or self.pitch_no is None:
            return f"pitch {self.order} of game {self.game}"
        return f"at-bat {self.at_bat} pitch {self.pitch_no} of game {self.game}"


def read_notes(path: str | Path) -> tuple[TellNote, ...]:
    """Return the notes of a CSV, JSON lines or Parquet file of `TELL_NOTE_COLUMNS`.

    Raises
    ------
    BadInput
        If the file cannot be read, has no column of its own, or a row names no pitch or no
        observer, notes nothing, or notes a pitch that its observer has noted before; the first
        rows are named with their lines.
    """
    table = only(checked(read_table(path), TELL_NOTE_COLUMNS, quiet=True), TELL_NOTE_COLUMNS)
    rows, bad = CellReader(TELL_NOTE_COLUMNS).rows(table)
    notes: dict[tuple[object, ...], tuple[int, TellNote]] = {}
    for line, cells in rows:
        try:
            note = _note(cells)
            key = (note.observer.casefold(), note.game, note.at_bat, note.pitch_no, note.order)
            if key in notes:
                raise BadInput(
                    f"{note.observer} has noted {note.where} in line {notes[key][0]} already; "
                    "keep one of the two"
                )
            notes[key] = line, note
        except BadInput as error:
            bad.append(BadRow(line, str(error), table.path.name))
    if bad:
        raise BadInput(_told(sorted(bad, key=lambda row: row.line)))
    return tuple(note for _, note in notes.values())


def _note(cells: Cells) -> TellNote:
    needed(cells, ("game", "observer"))
    at_bat, pitch_no, order = (number_of(cells, name) for name in ("at_bat", "pitch_no", "order"))
    if order is None and (at_bat is None or pitch_no is None):
        raise BadInput("no pitch is named; give at_bat and pitch_no, or order in the game")
    if order is not None and order < 1:
        raise BadInput(f"order {order} cannot be; the first pitch of a game is 1")
    tells, watched = (_words(cells, name) for name in ("tells", "tells_watched"))
    if not tells and not watched:
        raise BadInput("nothing was watched; fill tells or tells_watched, or leave the row out")
    return TellNote(
        game=text_of(cells, "game"),
        observer=text_of(cells, "observer"),
        at_bat=at_bat,
        pitch_no=pitch_no,
        order=order,
        tells=tells,
        tells_watched=watched,
    )


def _words(cells: Cells, name: str) -> tuple[str, ...]:
    value = cells.get(name)
    return value if isinstance(value, tuple) else ()


def _told(bad: list[BadRow]) -> str:
    """Return one sentence that names the first rows that were refused."""
    named = "; ".join(f"{row.file} line {row.line}: {row.reason}" for row in bad[:_TOLD])
    return named + (f"; and {len(bad) - _TOLD} more" if len(bad) > _TOLD else "")
