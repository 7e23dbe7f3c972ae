"""A big file as columns of codes: every different text of a column once, and which row holds which.

A season's log repeats a few words a hundred thousand times: a text is read once, and a row is a
number for each column. Splitting is the row reader's own, so that both name the same lines.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any, Final

import numpy as np

from sequencer.records.columns import Column
from sequencer.records.readers.mapping import MappingFile, our_names, respelled
from sequencer.records.readers.table import (
    Table,
    checked,
    content_of,
    csv_rows,
    json_rows,
    parquet_columns,
)

Ints = np.ndarray[Any, np.dtype[np.int64]]

#: Rows held as texts at once.
_CHUNK: Final = 20_000


class _Coder(dict[str, int]):
    """Gives every text met a number, in the order met."""

    def __missing__(self, text: str) -> int:
        code = self[text] = len(self)
        return code

    def codes(self, texts: Iterable[str]) -> Ints:
        return np.fromiter(map(self.__getitem__, texts), np.int64)


@dataclass(frozen=True, slots=True)
class Texts:
    """One column: `texts` each once, and for every row which of them it holds."""

    codes: Ints
    texts: list[str]


@dataclass(slots=True)
class Coded:
    """The rows of one file by column; `head` has no rows, but its columns and what was refused."""

    head: Table
    lines: Ints
    columns: dict[str, Texts] = field(default_factory=dict)


def read_coded(path: Path, columns: tuple[Column, ...], mapping: MappingFile | None) -> Coded:
    """Return a `.csv`, `.jsonl` or `.parquet` file (any other ending is CSV) in our columns.

    What the header lacks is refused before a row is read, where a file has a header.

    Raises
    ------
    BadInput
        As `table.read_table`, `table.checked` and `mapping.mapped`.
    """

    def chosen(head: Table) -> dict[str, str]:
        return _chosen(head, columns, mapping)

    read = _FORMATS.get(path.suffix.lower(), _csv)
    theirs = read(path, content_of(path), chosen)
    if mapping is None:
        return theirs
    return _mapped(theirs, mapping, chosen(theirs.head))


def _chosen(
    head: Table, columns: tuple[Column, ...], mapping: MappingFile | None
) -> dict[str, str]:
    """Return {column of the file: our column} of those that are read."""
    if mapping is None:
        checked(head, columns, quiet=True)
        known = {column.name for column in columns}
        return {name: name for name in head.columns if name in known}
    ours = our_names(head, mapping, columns)
    kept = tuple(dict.fromkeys((*ours.values(), *mapping.values)))
    checked(Table(head.path, kept, []), columns, quiet=True)
    return ours


def _mapped(theirs: Coded, mapping: MappingFile, ours: Mapping[str, str]) -> Coded:
    fixed = {name: text for name, text in mapping.values.items() if name not in ours.values()}
    nothing = np.zeros(len(theirs.lines), np.int64)
    columns = {name: Texts(nothing, [text]) for name, text in fixed.items()}
    respell = respelled(mapping)
    for name, column in theirs.columns.items():
        texts = [respell(ours[name], text) for text in column.texts]
        columns[ours[name]] = Texts(column.codes, texts)
    return Coded(theirs.head, theirs.lines, columns)


Chosen = Callable[[Table], Mapping[str, str]]


def _csv(path: Path, content: bytes, chosen: Chosen) -> Coded:
    head, rows = csv_rows(path, content)
    wanted = chosen(head)
    places = [(name, place) for place, name in enumerate(head.columns) if name in wanted]
    coders = {name: _Coder() for name, _ in places}
    parts: dict[str, list[Ints]] = {name: [] for name in coders}
    lines: list[int] = []
    while some := list(islice(rows, _CHUNK)):
        lines.extend(line for line, _ in some)
        columns = list(zip(*(cells for _, cells in some), strict=True))
        for name, place in places:
            parts[name].append(coders[name].codes(columns[place]))
    return _coded(head, lines, coders, parts)


def _json(path: Path, content: bytes, chosen: Chosen) -> Coded:
    head, lines, begun = Table(path, (), []), list[int](), 0
    coders: dict[str, _Coder] = {}
    parts: dict[str, list[Ints]] = {}
    rows = json_rows(head, content)
    while some := list(islice(rows, _CHUNK)):
        lines.extend(line for line, _ in some)
        for name in dict.fromkeys(name for _, cells in some for name in cells):
            if name not in coders:
                coders[name], parts[name] = _Coder({"": 0}), []
        for name, coder in coders.items():
            absent = begun - sum(map(len, parts[name]))
            parts[name].append(np.zeros(absent, np.int64))
            parts[name].append(coder.codes(cells.get(name, "") for _, cells in some))
        begun += len(some)
    head.columns = tuple(coders)
    wanted = chosen(head)
    return _coded(head, lines, {n: coder for n, coder in coders.items() if n in wanted}, parts)


def _parquet(path: Path, content: bytes, chosen: Chosen) -> Coded:
    head, texts = parquet_columns(path, content)
    wanted = chosen(head)
    coders = {name: _Coder() for name in head.columns if name in wanted}
    parts: dict[str, list[Ints]] = {}
    rows = 0
    for name, column in zip(head.columns, texts, strict=True):
        rows = len(column)
        if name in wanted:
            parts[name] = [coders[name].codes(column)]
    return _coded(head, range(1, rows + 1), coders, parts)


def _coded(
    head: Table,
    lines: Iterable[int],
    coders: Mapping[str, _Coder],
    parts: Mapping[str, list[Ints]],
) -> Coded:
    none = np.zeros(0, np.int64)
    columns = {
        name: Texts(np.concatenate([none, *parts[name]]), list(coder))
        for name, coder in coders.items()
    }
    return Coded(head, np.fromiter(lines, np.int64), columns)


_FORMATS: Final[Mapping[str, Callable[[Path, bytes, Chosen], Coded]]] = {
    ".csv": _csv,
    ".jsonl": _json,
    ".parquet": _parquet,
}
