"""Files out: the whole book as one table a file, which an import reads back to the same book."""

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput
from sequencer.records import tables
from sequencer.records.columns import TABLES, Column
from sequencer.records.state import State
from sequencer.records.store import Book
from sequencer.records.tables import Cells
from sequencer.records.writers.files import csv_bytes, jsonl_bytes, parquet_bytes

#: Format -> what turns the rows of a table into the content of a file of that ending.
WRITERS: Final = MappingProxyType[str, Callable[[Iterable[Cells], tuple[Column, ...]], bytes]](
    {"csv": csv_bytes, "parquet": parquet_bytes, "jsonl": jsonl_bytes}
)


def export_book(
    book: Book, folder: str | Path, fmt: str = "csv", *, force: bool = False
) -> list[Path]:
    """Write the whole book to a folder, one file a table, and return the files.

    Every file is written beside its place and moved there once all are whole.

    Raises
    ------
    BadInput
        If the format is unknown, the folder cannot be written, or it holds other files and
        `force` does not say to write all the same.
    """
    if fmt not in WRITERS:
        raise BadInput(f"unknown format '{fmt}'; it is one of {', '.join(WRITERS)}")
    folder = Path(folder)
    write = WRITERS[fmt]
    contents = {name: write(rows, TABLES[name]) for name, rows in _rows(book).items()}
    try:
        _check_folder(folder, force=force)
        return _put(folder, {f"{name}.{fmt}": content for name, content in contents.items()})
    except OSError as error:
        raise BadInput(f"{folder} cannot be written: {error.strerror}; name another") from error


def _rows(book: Book) -> dict[str, Iterable[Cells]]:
    games = list(tables.states(book))
    return {
        "teams": tables.team_rows(book),
        "people": tables.people_rows(book),
        "marks": tables.mark_rows(book),
        "games": tables.game_rows(book),
        "pitches": _of_games(games, tables.pitch_rows),
        "events": _of_games(games, tables.event_rows),
        "bullpens": tables.bullpen_rows(book),
    }


def _of_games(
    games: Iterable[State], rows: Callable[[State, tables.Naming], Iterator[Cells]]
) -> Iterator[Cells]:
    for state in games:
        yield from rows(state, tables.naming(state, exact=True))


def _check_folder(folder: Path, *, force: bool) -> None:
    """Refuse a folder that holds anything but an earlier export, and tables of another format."""
    folder.mkdir(parents=True, exist_ok=True)
    ours = {f"{name}.{fmt}" for name in TABLES for fmt in WRITERS}
    strange = sorted(path.name for path in folder.iterdir() if path.name not in ours)
    if strange and not force:
        raise BadInput(
            f"{folder} holds other files ({strange[0]}); name an empty folder, or add --force"
        )


def _put(folder: Path, contents: dict[str, bytes]) -> list[Path]:
    parts = {folder / f"{name}.part": content for name, content in contents.items()}
    try:
        for part, content in parts.items():
            part.write_bytes(content)
        for old in _earlier(folder, contents):
            old.unlink()
        return [part.replace(part.with_suffix("")) for part in parts]
    finally:
        for part in parts:
            part.unlink(missing_ok=True)


def _earlier(folder: Path, contents: Iterable[str]) -> list[Path]:
    """Return the files of an earlier export in another format, which would be read twice."""
    ours = {f"{name}.{fmt}" for name in TABLES for fmt in WRITERS} - set(contents)
    return [folder / name for name in sorted(ours) if (folder / name).exists()]
