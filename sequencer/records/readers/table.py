"""A file as a table of texts: CSV, JSON lines or Parquet in, one shape out.

Every kind of file becomes texts first, so that one set of rules reads and refuses cells.
"""

import csv
import datetime as dt
import io
import json
import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from sequencer.errors import BadInput
from sequencer.records.columns import Column, nearest


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that was refused: its line in the file, and why, in one sentence."""

    line: int
    reason: str
    file: str = ""


@dataclass(slots=True)
class Table:
    """The rows of one file as texts; rows that could not even be split are in `bad`."""

    path: Path
    columns: tuple[str, ...]
    rows: list[tuple[int, dict[str, str]]]
    bad: list[BadRow] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


def read_table(path: str | Path) -> Table:
    """Return the rows of a `.csv`, `.jsonl` or `.parquet` file (any other ending is CSV).

    Raises
    ------
    BadInput
        If the file is missing, empty, not readable, not UTF-8 or not a table.
    """
    path = Path(path)
    read = FORMATS.get(path.suffix.lower(), _read_csv)
    return read(path, _content(path))


def checked(table: Table, columns: Sequence[Column], *, quiet: bool = False) -> Table:
    """Return the table if it has every required column; unless quiet, warn of unknown ones.

    Raises
    ------
    BadInput
        Naming the missing columns and, where one is near, the column that may be meant.
    """
    known = {column.name for column in columns}
    unknown = [name for name in table.columns if name not in known]
    missing = [c.name for c in columns if c.required and c.name not in table.columns]
    if missing:
        hints = [f"'{near}' for {m}?" for m in missing if (near := nearest(m, unknown))]
        told = f" (is it {' '.join(hints)})" if hints else ""
        raise BadInput(
            f"{table.path.name} has no column {', '.join(missing)}{told}; its header needs "
            f"{', '.join(c.name for c in columns if c.required)}, or a mapping file (--map)"
        )
    if not quiet:
        table.warnings.extend(_unknown_column(name, known) for name in unknown)
    return table


def _unknown_column(name: str, known: Iterable[str]) -> str:
    near = nearest(name, known, likeness=0.75)
    hint = f"; did you mean '{near}'?" if near else ""
    return f"column '{name}' is not one of ours and was left out{hint}"


def _content(path: Path) -> bytes:
    try:
        content = path.read_bytes()
    except FileNotFoundError as error:
        raise BadInput(f"there is no file {path}; check the name") from error
    except IsADirectoryError as error:
        raise BadInput(f"{path} is a folder; name a file in it") from error
    except (OSError, ValueError) as error:
        raise BadInput(f"{path} cannot be read: {_reason(error)}") from error
    if not content.strip():
        raise BadInput(f"{path.name} is empty; it needs a header line and rows")
    return content


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)


def _text(path: Path, content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise BadInput(f"{path.name} is UTF-16, not UTF-8; save it again as CSV UTF-8")
    if content.startswith(b"PK\x03\x04"):
        raise BadInput(f"{path.name} is a spreadsheet or zip file; save it as CSV UTF-8")
    if b"\x00" in content:
        line = content[: content.index(b"\x00")].count(b"\n") + 1
        raise BadInput(
            f"{path.name} is not a text file (a NUL byte in line {line}); save it as CSV"
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise BadInput(
            f"{path.name} is not UTF-8: byte {error.start + 1}, in line {line}, is "
            f"0x{content[error.start]:02x}; save the file again as UTF-8"
        ) from error


def column_name(text: str) -> str:
    """Return a header's cell as columns are named: `At Bat` is at_bat."""
    return re.sub(r"[\s\-]+", "_", text.strip().lower())


def _read_csv(path: Path, content: bytes) -> Table:
    lines = _csv_rows(path, _text(path, content))
    _, header = next(lines, (0, []))
    if not any(letter.isalpha() for cell in header for letter in cell):
        raise BadInput(f"{path.name} has no header line; its first line must name the columns")
    table = Table(path, _header(path, header), [])
    for line, cells in lines:
        if len(cells) == len(table.columns):
            table.rows.append((line, dict(zip(table.columns, cells, strict=True))))
        else:
            reason = f"has {len(cells)} cells where the header has {len(table.columns)}"
            table.bad.append(BadRow(line, reason, path.name))
    return table


def _csv_rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield (line the row begins on, its cells), leaving out blank lines."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = reader.line_num + 1
    except csv.Error as error:
        raise BadInput(
            f"{path.name} is not a CSV file from line {begins} on ({error}); check the quotes there"
        ) from error


def _delimiter(text: str) -> str:
    """Return the comma, unless the header has none and spreadsheets' other marks are there."""
    header = text.lstrip().split("\n", 1)[0]
    return next((mark for mark in (",", ";", "\t") if mark in header), ",")


def _header(path: Path, cells: Sequence[str]) -> tuple[str, ...]:
    names = tuple(column_name(cell) for cell in cells)
    twice = {name for name in names if name and names.count(name) > 1}
    if twice:
        raise BadInput(f"{path.name} has the column {', '.join(sorted(twice))} twice; keep one")
    return tuple(name or f"column_{place}" for place, name in enumerate(names, 1))


def _read_jsonl(path: Path, content: bytes) -> Table:
    table = Table(path, (), [])
    seen: dict[str, None] = {}
    for line, text in enumerate(_text(path, content).split("\n"), 1):
        if not text.strip():
            continue
        try:
            record = json.loads(text)
        except (ValueError, RecursionError):
            table.bad.append(BadRow(line, "is not JSON", path.name))
            continue
        if not isinstance(record, dict):
            reason = "is not a JSON object with a name for every cell"
            table.bad.append(BadRow(line, reason, path.name))
            continue
        cells = {column_name(name): _as_text(value) for name, value in record.items()}
        seen.update(dict.fromkeys(cells))
        table.rows.append((line, cells))
    table.columns = tuple(seen)
    return table


def _read_parquet(path: Path, content: bytes) -> Table:
    try:
        from pyarrow import ArrowException, parquet
    except ImportError as error:
        raise BadInput(
            f"reading {path.name} needs the parquet extra; run: pip install 'sequencer[parquet]'"
        ) from error
    try:
        stored = parquet.read_table(io.BytesIO(content))
    except (ArrowException, OSError, ValueError) as error:
        raise BadInput(f"{path.name} is not a Parquet file that can be read") from error
    names = _header(path, stored.column_names)
    values = [[_as_text(value) for value in column.to_pylist()] for column in stored.columns]
    rows = [dict(zip(names, cells, strict=True)) for cells in zip(*values, strict=True)]
    return Table(path, names, list(enumerate(rows, 1)))


def _as_text(value: Any) -> str:
    """Return the text a CSV cell would hold for a typed value."""
    match value:
        case float() if math.isnan(value):
            return ""
        case None | bool() | float() | dt.date():
            day = value.date() if isinstance(value, dt.datetime) else value
            return Column.write(day)
        case list() | tuple():
            return "; ".join(_as_text(part) for part in value)
        case dict():
            return json.dumps(value, ensure_ascii=False)
    return str(value)


FORMATS: Final = MappingProxyType[str, Callable[[Path, bytes], Table]](
    {".csv": _read_csv, ".jsonl": _read_jsonl, ".parquet": _read_parquet}
)
