"""Files in: pitch logs, hitters, bullpens and whole exports become records of a book."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from sequencer.errors import BadInput
from sequencer.records.columns import BULLPEN_COLUMNS, HITTER_COLUMNS, PITCH_COLUMNS, Column
from sequencer.records.readers.bullpens import read_bullpens
from sequencer.records.readers.drafting import draft_mapping as _draft_mapping
from sequencer.records.readers.folder import read_folder
from sequencer.records.readers.hitters import read_hitters
from sequencer.records.readers.mapping import load_mapping, mapped
from sequencer.records.readers.pitches import read_pitches
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import Roster
from sequencer.records.readers.table import BadRow, Table, read_table
from sequencer.records.store import Book

if TYPE_CHECKING:
    from sequencer.records.readers.columnar import Log

__all__ = [
    "READERS",
    "BadRow",
    "Imported",
    "Reader",
    "bad_rows",
    "draft_mapping",
    "import_file",
    "import_folder",
    "read_by_column",
    "read_files",
]


@dataclass(frozen=True, slots=True)
class Reader:
    """One kind of file: its columns, and how its table is added to a reading."""

    columns: tuple[Column, ...]
    read: Callable[[Reading, Table, Defaults], None]


#: Every kind of file that `import --kind` reads.
READERS: Final = MappingProxyType(
    {
        "pitches": Reader(PITCH_COLUMNS, read_pitches),
        "hitters": Reader(HITTER_COLUMNS, read_hitters),
        "bullpen": Reader(BULLPEN_COLUMNS, read_bullpens),
    }
)


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did: rows added, rows the book knew, rows refused, and warnings.

    When rows were refused and the good ones were not to be kept, nothing was written and
    `added` is 0.
    """

    added: int
    known: int
    bad: tuple[BadRow, ...] = ()
    warnings: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return it as JSON would hold it."""
        return {
            "added": self.added,
            "known": self.known,
            "bad": [{"line": b.line, "reason": b.reason, "file": b.file} for b in self.bad],
            "warnings": list(self.warnings),
        }


def import_file(
    book: Book,
    path: str | Path,
    *,
    events: str | Path | None = None,
    mapping: str | Path | None = None,
    kind: str = "pitches",
    keep_good: bool = False,
    us: str = "",
    them: str = "",
    date: dt.date | None = None,
    level: str = "",
    rules: str = "",
) -> Imported:
    """Read a file (or the folder of an export) into the book, in one transaction.

    Parameters
    ----------
    events : path, optional
        The events file that goes with a pitch log.
    mapping : path, optional
        A mapping file, when the columns and words are not ours.
    kind : str
        A key of `READERS`.
    keep_good : bool
        Keep the good rows when others are refused; otherwise it is all or nothing.
    us, them, date, level, rules
        What rows mean that do not say.

    Raises
    ------
    BadInput
        If a whole file cannot be read; nothing is written.
    """
    reading = read_files(
        book,
        path,
        events=events,
        mapping=mapping,
        kind=kind,
        us=us,
        them=them,
        date=date,
        level=level,
        rules=rules,
    )
    refused = bool(reading.bad) and not keep_good
    if not refused:
        reading.write()
    added = 0 if refused else reading.added
    return Imported(added, reading.known, tuple(reading.bad), tuple(reading.warnings))


def read_files(
    book: Book,
    path: str | Path,
    *,
    events: str | Path | None = None,
    mapping: str | Path | None = None,
    kind: str = "pitches",
    us: str = "",
    them: str = "",
    date: dt.date | None = None,
    level: str = "",
    rules: str = "",
) -> Reading:
    """Return what files amount to for a book, without writing to it; as `import_file`."""
    path = Path(path)
    if kind not in READERS:
        raise BadInput(f"unknown kind '{kind}'; it is one of {', '.join(READERS)}")
    reading = Reading(book, Roster(book))
    defaults = Defaults(us or _our_team(book), them or Defaults().them, date, level, rules)
    if path.is_dir():
        read_folder(reading, path, defaults)
    else:
        _read_file(reading, path, defaults, kind, events, mapping)
    reading.bad.sort(key=lambda row: (row.file, row.line))
    return reading


def read_by_column(
    book: Book,
    path: str | Path,
    *,
    mapping: str | Path | None = None,
    us: str = "",
    them: str = "",
    date: dt.date | None = None,
    level: str = "",
    rules: str = "",
    enough: int | None = None,
    each_alone: bool = False,
) -> "tuple[Reading, Log, bool]":
    """Return what a pitch log's rows amount to for an empty book, without replaying its games.

    The bad rows are in the reading. Last comes whether all of them are: a file that is wrong all
    through is not read to its end once `enough` rows were refused. With `each_alone` no pitch is
    held against those before it. The other arguments are as for `import_file`.
    """
    from sequencer.records.readers.columnar import read_columns

    reading = Reading(book, Roster(book))
    defaults = Defaults(us or Defaults().us, them or Defaults().them, date, level, rules)
    log, whole = read_columns(reading, Path(path), mapping, defaults, enough, each_alone)
    reading.bad.sort(key=lambda row: (row.file, row.line))
    return reading, log, whole


def import_folder(book: Book, folder: str | Path) -> Imported:
    """Read the folder of an export into the book, all of it.

    Raises
    ------
    BadInput
        If any row is refused, naming the first; nothing is written.
    """
    done = import_file(book, folder)
    if done.bad:
        raise BadInput(bad_rows(done.bad))
    return done


def bad_rows(bad: Sequence[BadRow], most: int = 3, *, whole: bool = True) -> str:
    """Return one sentence that names the first rows that were refused; `whole` says it is all."""
    named = "; ".join(f"{row.file} line {row.line}: {row.reason}" for row in bad[:most])
    least = "" if whole else "at least "
    more = f"; and {least}{len(bad) - most} more" if len(bad) > most else ""
    return f"{named}{more}"


def _our_team(book: Book) -> str:
    """Return our team when the book has just one of ours."""
    ours = [team.name for team in book.teams() if team.ours]
    return ours[0] if len(ours) == 1 else Defaults().us


def _read_file(
    reading: Reading,
    path: Path,
    defaults: Defaults,
    kind: str,
    events: str | Path | None,
    mapping: str | Path | None,
) -> None:
    reader = READERS[kind]
    table = read_table(path)
    if mapping is not None:
        table = mapped(table, load_mapping(mapping), reader.columns)
    if kind == "pitches":
        read_pitches(reading, table, defaults, read_table(events) if events is not None else None)
    elif events is not None:
        raise BadInput(f"an events file goes with a pitch log, not with {kind}")
    else:
        reader.read(reading, table, defaults)
    reading.warnings[:0] = table.warnings


def draft_mapping(path: str | Path, kind: str = "pitches") -> str:
    """Return the TOML of a first mapping for a file: sure guesses as lines, others as comments."""
    return _draft_mapping(path, READERS[kind].columns)
