"""The book as data frames: one declared column after another, with the same types everywhere.

Texts are pandas strings kept by Python, numbers NumPy's, so that a frame does not change with
what else is installed.
"""

import datetime as dt
import gc
import tempfile
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from sequencer.baseball.pitches import family
from sequencer.errors import BadInput
from sequencer.records import tables
from sequencer.records.columns import BULLPEN_COLUMNS, EVENT_COLUMNS, PITCH_COLUMNS, Column
from sequencer.records.readers import bad_rows, read_by_column, read_files
from sequencer.records.state import State
from sequencer.records.store import Book, open_book

if TYPE_CHECKING:
    import pandas as pd

#: Columns a frame adds to the pitch log's: all follow from the log.
ADDED_COLUMNS: Final = (
    Column("catcher_id", "text", "the book's own key of the catcher"),
    Column("n", "int", "number of the pitch in the game, from 1"),
    Column("slot", "int", "place of the hitter in the order, from 1"),
    Column("family", "text", "family of the type thrown"),
    Column("called_family", "text", "family of the type asked for, empty when none was"),
    Column("end", "text", "how the at-bat ended on this pitch, empty while it goes on"),
    Column("runs", "int", "runs that scored on the pitch"),
    Column("outs_after", "int", "outs after the pitch, 3 when it ended the half"),
    Column("bases_after", "text", "bases taken after the pitch: 13 is first and third"),
)
FRAME_COLUMNS: Final = PITCH_COLUMNS + ADDED_COLUMNS

#: Numbers that every row has; others may be missing and are floats.
ALWAYS: Final = frozenset(
    {
        *("game_no", "inning", "outs", "score_us", "score_them", "balls", "strikes", "at_bat"),
        *("pitch_no", "n", "slot", "runs", "outs_after", "after_at_bat", "after_pitch", "order"),
    }
)
#: Refused rows after which no more games of a log are asked what is wrong with them.
_ENOUGH: Final = 1000
_FLAGS: Final = frozenset({"bunt", "imported"})


def pitch_frame(
    book: Book,
    *,
    team: str | None = None,
    pitcher: str | None = None,
    since: dt.date | str | None = None,
    game: str | None = None,
) -> "pd.DataFrame":
    """Return every pitch of the book as a frame of `FRAME_COLUMNS`, in playing order.

    Places are in the hitter's words, inches in the catcher's view; merged people are one.

    Parameters
    ----------
    team : str, optional
        Only pitches that this team's pitchers threw.
    pitcher : str, optional
        Only pitches of this pitcher: a name or an id.
    since : date or ISO text, optional
        Only games of this day or later.
    game : str, optional
        Only the game of this name or id.
    """
    frame = _pitches(tables.states(book, game=game, since=_day(since)))
    if team is not None:
        frame = frame[frame["us"].where(frame["pitching"] == "us", frame["them"]) == team]
    if pitcher is not None:
        named = frame["pitcher"].map(str.casefold) == pitcher.casefold()
        frame = frame[named | (frame["pitcher_id"] == pitcher)]
    return frame.reset_index(drop=True)


def games_frame(book: Book, games: Collection[str]) -> "pd.DataFrame":
    """Return the pitches of some games of the book (ids), as `pitch_frame` would have them."""
    return _pitches(tables.states(book, games=games))


def game_frame(state: State, only: Collection[str] = ()) -> "pd.DataFrame":
    """Return the pitches of a game as it stands, as `pitch_frame` would have them.

    Parameters
    ----------
    state : State
    only : collection of str, optional
        The columns wanted; all of them when empty.
    """
    columns = [column for column in FRAME_COLUMNS if not only or column.name in only]
    return _pitches((state,), tuple(columns))


def _day(since: dt.date | str | None) -> dt.date | None:
    if since is None or isinstance(since, dt.date):
        return since
    try:
        return dt.date.fromisoformat(since)
    except ValueError as error:
        raise BadInput(f"'{since}' is not a date; write it as 2026-04-18") from error


def _pitches(
    states: Iterable[State], columns: tuple[Column, ...] = FRAME_COLUMNS
) -> "pd.DataFrame":
    """Return the pitches of games, one after another: columns grow game by game."""
    held: dict[str, list[Any]] = {column.name: [] for column in columns}
    with _uncollected():
        for state in states:
            cells = tables.pitch_columns(state, tables.naming(state, exact=False)) | _added(state)
            for name, values in held.items():
                values.extend(cells[name])
        return _of_columns(columns, held)


@contextmanager
def _uncollected() -> Iterator[None]:
    """Leave garbage uncollected for a while.

    Games are let go as they are read and nothing of them goes in circles: looking through all the
    pitches for what does would be a third of the time.
    """
    collecting = gc.isenabled()
    try:
        gc.disable()
        yield
    finally:
        if collecting:
            gc.enable()


def _added(state: State) -> dict[str, Sequence[Any]]:
    pitch = tables.across(("pitch", "called"), [logged.pitch for logged in state.log])
    before = tables.across(("catcher", "slot"), [logged.before for logged in state.log])
    after = tables.across(("end", "runs", "outs", "bases"), [logged.after for logged in state.log])
    return {
        "catcher_id": before["catcher"],
        "n": [logged.n for logged in state.log],
        "slot": before["slot"],
        "family": list(map(_family, pitch["pitch"])),
        "called_family": list(map(_family, pitch["called"])),
        "end": after["end"],
        "runs": after["runs"],
        "outs_after": after["outs"],
        "bases_after": [
            "".join(str(i) for i, on in enumerate(bases, 1) if on) for bases in after["bases"]
        ],
    }


def _family(pitch: str) -> str:
    return family(pitch) if pitch else ""


def event_frame(book: Book, *, game: str | None = None) -> "pd.DataFrame":
    """Return every event of the book (or of one game) as a frame of `EVENT_COLUMNS`."""
    rows = (
        row
        for state in tables.states(book, game=game)
        for row in tables.event_rows(state, tables.naming(state, exact=False))
    )
    return _frame(rows, EVENT_COLUMNS)


def bullpen_frame(book: Book, *, pitcher: str | None = None) -> "pd.DataFrame":
    """Return every throw of the book's bullpens (or of one pitcher, by name or id)."""
    rows = (
        row
        for row in tables.bullpen_rows(book, exact=False)
        if "throw" in row and pitcher in (None, row["pitcher"], row["pitcher_id"])
    )
    return _frame(rows, BULLPEN_COLUMNS)


def read_log(
    path: str | Path,
    *,
    events: str | Path | None = None,
    mapping: str | Path | None = None,
    keep_good: bool = False,
    replayed: bool = False,
    each_alone: bool = False,
    **said: Any,
) -> "pd.DataFrame":
    """Return the pitches of a log, without a book of one's own.

    Read by column unless the games are to be `replayed`: the columns of the pitch log are then as
    `pitch_frame` would have them, but for what only a replay tells. Of outs, bases, score, inning
    and half there is what the file has, and of `ADDED_COLUMNS` n, family and called_family; a
    runner whom the file calls 1 stays without a name. Either way the same rows are refused, with
    the same reasons.

    Parameters
    ----------
    events, mapping, keep_good, said
        As for `readers.import_file`.
    replayed : bool
        Return all of `FRAME_COLUMNS`, at some twenty times the time. So is a folder of an export,
        and a log with events.
    each_alone : bool
        Take each pitch with its count as it stands; a log may hold parts of at-bats, in any order.

    Raises
    ------
    BadInput
        If the file, or a row of it unless `keep_good`, cannot be read; the first bad rows are
        named.
    """
    path = Path(path)
    replayed = replayed or events is not None or path.is_dir()
    with (
        tempfile.TemporaryDirectory(prefix="sequencer-", ignore_cleanup_errors=True) as folder,
        open_book(Path(folder) / "book.db") as book,
    ):
        if replayed:
            whole, reading = True, read_files(book, path, events=events, mapping=mapping, **said)
        else:
            enough = None if keep_good else _ENOUGH
            reading, log, whole = read_by_column(
                book, path, mapping=mapping, enough=enough, each_alone=each_alone, **said
            )
    if reading.bad and not keep_good:
        raise BadInput(bad_rows(reading.bad, whole=whole))
    if not replayed:
        from sequencer.records.log_frame import log_frame

        return log_frame(log)
    states = sorted(reading.states, key=lambda state: tables.by_day(state.game))
    return _pitches(states)


def _frame(rows: Iterable[Mapping[str, Any]], columns: tuple[Column, ...]) -> "pd.DataFrame":
    kept = list(rows)
    return _of_columns(columns, {c.name: [row.get(c.name) for row in kept] for c in columns})


def _of_columns(columns: tuple[Column, ...], held: dict[str, list[Any]]) -> "pd.DataFrame":
    """Return the frame of columns, which are let go one by one."""
    import pandas as pd

    made = {column.name: series(column, held.pop(column.name)) for column in columns}
    return pd.DataFrame(made, copy=False)


def series(column: Column, values: Sequence[Any]) -> "pd.Series[Any]":
    """Return a column's values as a series of the type that frames have for it."""
    import numpy as np
    import pandas as pd

    if column.kind == "date":
        return pd.Series(np.array(values, dtype="datetime64[D]").astype("datetime64[ns]"))
    if column.name in ALWAYS:
        return pd.Series(np.array([value or 0 for value in values], dtype=np.int64))
    if column.name in _FLAGS:
        return pd.Series(np.array([bool(value) for value in values], dtype=np.bool_))
    if column.kind in ("int", "float", "flag"):
        numbers = [np.nan if value is None else float(value) for value in values]
        return pd.Series(np.array(numbers, dtype=np.float64))
    texts = np.empty(len(values), dtype=object)
    texts[:] = [value if type(value) is str else Column.write(value) for value in values]
    return pd.Series(texts, dtype=pd.StringDtype("python", na_value=np.nan))
