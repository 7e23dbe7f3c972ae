"""The door itself: transactions on one file, and the helpers every table shares."""

import datetime as dt
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, Engine, Table, insert

from sequencer.records.base import Record
from sequencer.records.migrations import opening


class Door:
    """An open file. Every call is one transaction; `transaction()` makes one of several."""

    def __init__(self, engine: Engine, path: Path, *, new: bool = False) -> None:
        self.path = path
        self._new = new
        self._engine = engine
        self._writer = engine.execution_options(writes=True)
        self._open = threading.local()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if error is not None and self._new:
            opening.leave_none(self._engine, self.path)
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    # transactions

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Make one transaction of all writes inside: all are kept, or none."""
        with self._write():
            yield

    @contextmanager
    def _write(self) -> Iterator[Connection]:
        outer: Connection | None = getattr(self._open, "connection", None)
        if outer is not None:
            yield outer
            return
        with opening.speaking(self.path), self._writer.begin() as connection:
            self._open.connection = connection
            try:
                yield connection
            finally:
                self._open.connection = None

    @contextmanager
    def _read(self) -> Iterator[Connection]:
        outer: Connection | None = getattr(self._open, "connection", None)
        if outer is not None:
            yield outer
            return
        with opening.speaking(self.path), self._engine.begin() as connection:
            yield connection


def put(connection: Connection, table: Table, values: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows into a table."""
    connection.execute(insert(table), list(values))


def body_of(record: Record, *but: str) -> str:
    """Return a record as the JSON of its body."""
    return record.model_dump_json(exclude_defaults=True, exclude=set(but))


def stamp() -> str:
    """Return the time of a row, UTC."""
    return dt.datetime.now(dt.UTC).isoformat(timespec="milliseconds")
