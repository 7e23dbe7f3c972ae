"""The rows of one table as the content of a file: CSV, JSON lines or Parquet."""

import csv
import datetime as dt
import io
import json
from collections.abc import Iterable
from typing import Any

from sequencer.errors import BadInput
from sequencer.records.columns import Column, Value, names
from sequencer.records.tables import Cells


def csv_bytes(rows: Iterable[Cells], columns: tuple[Column, ...]) -> bytes:
    """Return a CSV file: UTF-8, one header line, lines that end in a line feed."""
    out = io.StringIO(newline="")
    # A carriage return inside a note must be quoted too, which the line end decides.
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(names(columns))
    for cells in rows:
        writer.writerow([Column.write(cells.get(column.name)) for column in columns])
    return _line_feeds(out.getvalue()).encode()


def _line_feeds(text: str) -> str:
    """Return CSV text with its row ends as line feeds; those inside quotes stay."""
    parts = text.split('"')
    parts[::2] = [part.replace("\r\n", "\n") for part in parts[::2]]
    return '"'.join(parts)


def jsonl_bytes(rows: Iterable[Cells], columns: tuple[Column, ...]) -> bytes:
    """Return JSON lines: an object a row, with what the row says."""
    lines = []
    for cells in rows:
        told = {name: _plain(cells.get(name)) for name in names(columns)}
        lines.append(json.dumps(told, ensure_ascii=False) + "\n")
    return "".join(lines).encode()


def _plain(value: Value) -> Any:
    match value:
        case dt.date():
            return value.isoformat()
        case tuple():
            return list(value)
    return value


def parquet_bytes(rows: Iterable[Cells], columns: tuple[Column, ...]) -> bytes:
    """Return a Parquet file with the columns' own types.

    Raises
    ------
    BadInput
        If the parquet extra is not installed.
    """
    try:
        import pyarrow
        from pyarrow import parquet
    except ImportError as error:
        raise BadInput(
            "writing Parquet needs the parquet extra; run: pip install 'sequencer[parquet]'"
        ) from error
    types = {
        "int": pyarrow.int64(),
        "float": pyarrow.float64(),
        "flag": pyarrow.bool_(),
        "date": pyarrow.date32(),
        "list": pyarrow.list_(pyarrow.string()),
        "tells": pyarrow.list_(pyarrow.string()),
    }
    schema = pyarrow.schema([(c.name, types.get(c.kind, pyarrow.string())) for c in columns])
    kept = [{name: _plain_text(cells.get(name)) for name in names(columns)} for cells in rows]
    out = io.BytesIO()
    parquet.write_table(pyarrow.Table.from_pylist(kept, schema=schema), out)
    return out.getvalue()


def _plain_text(value: Value) -> Any:
    return list(value) if isinstance(value, tuple) else value
