"""Opening a book: the connection and its safety, the version, the steps to the present one."""

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError

from sequencer.errors import BookError

#: Where the steps are, and their names, oldest first; the last is this version's book.
STEPS: Final = Path(__file__).parent
VERSIONS: Final = ("0001", "0002", "0003")
#: How long a write waits for another program's, in ms: assumption (longer than any commit here).
BUSY_MS: Final = 5000

#: Every table something is kept in refers to one of these.
_KEPT: Final = ("teams", "people", "games", "bullpens")

#: What the database says -> what a coach can do about it. The first words found count.
SENTENCES: Final = (
    ("locked", "{book} is locked by another program: close that program or wait, then try again."),
    ("readonly", "{book} can be read but not written: copy it to a folder you can write to."),
    ("not a database", "{book} is not a book: name another file, or restore a backup."),
    ("malformed", "{book} is damaged: restore a backup; nothing was written."),
    ("full", "{book} could not be written, the disk is full: free some space, then try again."),
    ("disk i/o", "{book} could not be written, the disk is full or failing: check it, try again."),
    ("unique constraint", "{book} holds something with that id already; nothing was written."),
    (
        "foreign key",
        "{book} does not hold the team, person or game this is about; nothing was written.",
    ),
    ("unable to open", "{book} cannot be opened: check the folder and that you may write there."),
)


def sentence(error: BaseException, path: Path) -> str:
    """Say what went wrong with the book at `path`, in one sentence."""
    said = str(getattr(error, "orig", None) or error)
    for words, answer in SENTENCES:
        if words in said.lower():
            return answer.format(book=f"The book {path}")
    return f"The book {path} could not be used ({said}): try again, or restore a backup."


@contextmanager
def speaking(path: Path) -> Iterator[None]:
    """Turn the database's complaints into a `BookError`, keeping the cause."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        raise BookError(sentence(error, path)) from error


def engine_for(path: Path, busy_ms: int = BUSY_MS) -> Engine:
    """Return an engine for the file: every commit durable, references checked.

    The driver's own transaction guessing is off: reads begin plainly, an engine with the
    execution option `writes` takes the write lock at once, so that two programs never both
    read and then write.
    """
    engine = create_engine(URL.create("sqlite", database=str(path)))

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _record: Any) -> None:
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={busy_ms:d}")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("PRAGMA foreign_keys=ON")
        if sys.platform == "darwin":
            connection.execute("PRAGMA fullfsync=ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def version_of(engine: Engine, path: Path) -> str:
    """Return the book's version; "" for a file with nothing in it yet."""
    with speaking(path), engine.begin() as connection:
        tables = set(
            connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'")
            .scalars()
            .all()
        )
        if not tables:
            return ""
        if not {"alembic_version", "rows"} <= tables:
            raise BookError(f"{path} is a database but not a book: name another file.")
        return str(
            connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one()
        )


def bring_up(engine: Engine, path: Path, steps: Path, versions: tuple[str, ...]) -> None:
    """Bring the book at `path` to the last of `versions`; a copy of an older one is kept first.

    The steps and the new version number are one transaction.

    Raises
    ------
    BookError
        If the book is of a newer version, or cannot be brought up.
    """
    version = version_of(engine, path)
    _keep_a_log(engine, path)
    if version == versions[-1]:
        return
    if version and version not in versions:
        raise BookError(
            f"The book {path} was written by a newer version of sequencer ({version}; this one "
            f"knows {versions[-1]}): update sequencer, then open it again."
        )
    if version:
        copy(engine, path, path.with_name(f"{path.name}.version-{version}"))
    _run(engine, path, steps)


def _keep_a_log(engine: Engine, path: Path) -> None:
    """Set write-ahead logging: it stays with the file, and readers never wait for a writer."""
    with speaking(path):
        connection = engine.raw_connection()
        try:
            connection.cursor().execute("PRAGMA journal_mode=WAL")
        finally:
            connection.close()


def _run(engine: Engine, path: Path, steps: Path) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(steps).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    with speaking(path), engine.execution_options(writes=True).begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def leave_none(engine: Engine, path: Path) -> None:
    """Remove a book nothing was kept in, unless another program has it open meanwhile.

    Leaving write-ahead logging takes the file alone, so it fails while another holds it.
    """
    connection = engine.raw_connection()
    try:
        cursor = connection.cursor()
        if any(cursor.execute(f"SELECT 1 FROM {table} LIMIT 1").fetchone() for table in _KEPT):
            return
        cursor.execute("PRAGMA busy_timeout=0")
        cursor.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.Error:
        return
    finally:
        connection.close()
    engine.dispose()
    remove(path)


def remove(path: Path) -> None:
    """Remove a book and what the database keeps beside it."""
    for end in ("", "-wal", "-shm", "-journal"):
        path.with_name(path.name + end).unlink(missing_ok=True)


def copy(engine: Engine, path: Path, to: Path) -> None:
    """Copy the book to the file `to`, whole or not at all, while it may be in use."""
    part = to.with_name(to.name + ".part")
    try:
        with speaking(path), engine.connect() as connection:
            target = sqlite3.connect(part)
            try:
                source = connection.connection.driver_connection
                assert isinstance(source, sqlite3.Connection)
                source.backup(target)
            finally:
                target.close()
        part.replace(to)
    except OSError as error:
        raise BookError(f"The copy {to} could not be written ({error.strerror}).") from error
    finally:
        part.unlink(missing_ok=True)
