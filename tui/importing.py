"""A file named on the screen, read into the book: gathered first, then written all at once."""

from collections.abc import Callable
from pathlib import Path

from sequencer.errors import BadInput
from sequencer.records.columns import names
from sequencer.records.readers import READERS, bad_rows, read_files
from sequencer.records.readers.reading import Reading
from sequencer.records.readers.table import read_table
from sequencer.records.store import Book


def read(book: Book, file: str, told: Callable[[str], None]) -> Reading:
    """Return what a file amounts to; nothing is written, so it may be stopped at any time.

    Parameters
    ----------
    file : str
        A pitch log, a list of hitters, a bullpen, or the folder of an export.
    told : callable
        Takes sentences on how far it is.

    Raises
    ------
    BadInput
        If it cannot be read, or any row is refused: the first ones are named.
    """
    path = Path(file).expanduser()
    told(f"Reading {path.name} …")
    kind = "pitches" if path.is_dir() else kind_of(path)
    reading = read_files(book, path, kind=kind)
    if reading.bad:
        refused = f"{len(reading.bad)} row{'s' * (len(reading.bad) > 1)} refused"
        raise BadInput(f"Nothing was read, {refused}: {bad_rows(reading.bad)}.")
    told(f"Writing {reading.added} rows …")
    return reading


def write(reading: Reading) -> str:
    """Write everything that was read, or nothing; returns what was done in one sentence."""
    reading.write()
    known = f", {reading.known} known already" if reading.known else ""
    return " ".join((f"{reading.added} added{known}.", *map(_sentence, reading.warnings)))


def kind_of(path: Path) -> str:
    """Return the kind of file whose columns most of a table's are; of equals the first."""
    columns = set(read_table(path).columns)
    return max(READERS, key=lambda kind: len(columns & set(names(READERS[kind].columns))))


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + ("" if words.endswith(".") else ".")
