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
    return read(path, content_of(path))


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


def only(table: Table, columns: Sequence[Column]) -> Table:
    """Return the table if no other column holds anything: it would be left out without a word.

    Raises
    ------
    BadInput
        Naming the others, each with the column that may be meant.
    """
    known = [column.name for column in columns]
    other = [name for name in table.columns if name not in known]
    held = [name for name in other if any(cells.get(name) for _, cells in table.rows)]
    if held:
        near = {name: nearest(name, known) for name in held}
        named = (f"'{n}'" + (f" (did you mean '{near[n]}'?)" if near[n] else "") for n in held)
        raise BadInput(
            f"{table.path.name} has {'a column' if len(held) == 1 else 'columns'} nobody knows: "
            f"{', '.join(named)}; name it as one of {', '.join(known)}, or take it out"
        )
    return table


def _unknown_column(name: str, known: Iterable[str]) -> str:
    near = nearest(name, known, likeness=0.75)
    hint = f"; did you mean '{near}'?" if near else ""
    return f"column '{name}' is not one of ours and was left out{hint}"


def content_of(path: Path) -> bytes:
    """Return the bytes of a file; raise BadInput if it cannot be read or holds nothing."""
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
    table, rows = csv_rows(path, content)
    table.rows.extend((line, dict(zip(table.columns, cells, strict=True))) for line, cells in rows)
    return table


def csv_rows(path: Path, content: bytes) -> tuple[Table, Iterator[tuple[int, list[str]]]]:
    """Return a CSV file's table, still without rows, and its rows: each its line and its cells.

    A row with too few or too many cells goes to the table's `bad` as it is met.

    Raises
    ------
    BadInput
        If it is not text or has no header; while rows are taken, from where it is no CSV file.
    """
    lines = _csv_lines(path, content)
    _, header = next(lines, (0, []))
    if not any(letter.isalpha() for cell in header for letter in cell):
        raise BadInput(f"{path.name} has no header line; its first line must name the columns")
    table = Table(path, _header(path, header), [])
    return table, _even(table, lines)


def _even(table: Table, lines: Iterable[tuple[int, list[str]]]) -> Iterator[tuple[int, list[str]]]:
    wanted = len(table.columns)
    for line, cells in lines:
        if len(cells) == wanted:
            yield line, cells
        else:
            reason = f"has {len(cells)} cells where the header has {wanted}"
            table.bad.append(BadRow(line, reason, table.path.name))


def _csv_lines(path: Path, content: bytes) -> Iterator[tuple[int, list[str]]]:
    """Yield (line the row begins on, its cells), leaving out blank lines."""
    delimiter = _delimiter(_text(path, content))
    # Decoded piece by piece: a whole file of texts would take five times its size.
    text = io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline="")
    reader = csv.reader(text, delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
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
    table.rows.extend(json_rows(table, content))
    table.columns = tuple(dict.fromkeys(name for _, cells in table.rows for name in cells))
    return table


def json_rows(table: Table, content: bytes) -> Iterator[tuple[int, dict[str, str]]]:
    """Yield the rows of JSON lines, each its line and its cells; others go to the table's `bad`."""
    path = table.path
    for line, text in enumerate(_text(path, content).split("\n"), 1):
        if not text.strip():
            continue
        try:
            record = json.loads(text)
        except (ValueError, RecursionError):
            table.bad.append(BadRow(line, "is not JSON", path.name))
            continue
        if isinstance(record, dict):
            yield line, {column_name(name): _as_text(value) for name, value in record.items()}
        else:
            reason = "is not a JSON object with a name for every cell"
            table.bad.append(BadRow(line, reason, path.name))


def _read_parquet(path: Path, content: bytes) -> Table:
    table, columns = parquet_columns(path, content)
    rows = [dict(zip(table.columns, cells, strict=True)) for cells in zip(*columns, strict=True)]
    table.rows.extend(enumerate(rows, 1))
    return table


def parquet_columns(path: Path, content: bytes) -> tuple[Table, Iterator[list[str]]]:
    """Return a Parquet file's table, still without rows, and the texts of one column after another.

    Raises
    ------
    BadInput
        If it cannot be read, or the extra that reads such files is not installed.
    """
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
    table = Table(path, _header(path, stored.column_names), [])
    return table, ([_as_text(value) for value in one.to_pylist()] for one in stored.columns)


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
