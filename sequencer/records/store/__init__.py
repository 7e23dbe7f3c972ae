"""The one door to the book: everything read from it and written to it goes through `Book`."""

from pathlib import Path

from sequencer.errors import BookError
from sequencer.places import default_book
from sequencer.records.migrations import opening
from sequencer.records.store.bullpens import Bullpens
from sequencer.records.store.games import Action, Games, RowsMoved

__all__ = ["Action", "Book", "RowsMoved", "open_book"]


class Book(Games, Bullpens):
    """An open book. Every call is one transaction; `transaction()` makes one of several."""

    @property
    def version(self) -> str:
        """The version of the book's tables."""
        return opening.version_of(self._engine, self.path)

    def check(self) -> list[str]:
        """Return what is wrong with the file, one sentence each; empty when it is sound."""
        with self._read() as connection:
            whole = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
            loose = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        problems = [f"The file is damaged: {said}." for said in whole if said != "ok"]
        problems += [f"A row of {row[0]} refers to a missing row of {row[2]}." for row in loose]
        return problems

    def backup(self, path: str | Path) -> Path:
        """Copy the book, whole, to a file that may not exist yet; returns the file.

        Raises
        ------
        BookError
            If the file cannot be written, or the book is damaged: such a copy would not be safe.
        """
        to = Path(path).expanduser()
        if to.exists():
            raise BookError(f"{to} exists already: name another file for the copy.")
        if not to.parent.is_dir():
            raise BookError(f"The folder {to.parent} does not exist: make it, or name another.")
        problems = self.check()
        if problems:
            raise BookError(
                f"The book {self.path} is damaged and no safe copy can be made of it: keep the "
                "file as it is and restore an older backup."
            )
        opening.copy(self._engine, self.path, to)
        return to


def open_book(path: str | Path, *, create: bool = True, busy_ms: int = opening.BUSY_MS) -> Book:
    """Open a book, bringing an older one up to this version (a copy of it is kept beside it).

    Parameters
    ----------
    path : str or Path
        The file (or sqlite:///FILE). `create` makes it when it is not there; one made for work
        that then fails with nothing kept is removed again (`with open_book(...)`).
    busy_ms : int
        How long to wait for another program's write, in ms.

    Raises
    ------
    BookError
        One sentence: what is wrong with the file and what to do.
    """
    path = str(path).removeprefix("sqlite:///")
    if "://" in path:
        raise BookError(
            "This version keeps a book in one file and does not support a club's server: "
            "name a file with --book."
        )
    file = Path(path).expanduser()
    new = _look_at(file, create)
    engine = opening.engine_for(file, busy_ms)
    try:
        opening.bring_up(engine, file, opening.STEPS, opening.VERSIONS)
    except BaseException:
        engine.dispose()
        if new:
            opening.remove(file)
        raise
    return Book(engine, file, new=new)


def _look_at(file: Path, create: bool) -> bool:
    """Refuse what cannot be a book before the database sees it; return whether it is new."""
    if file.is_dir():
        raise BookError(f"{file} is a folder: name a file for the book.")
    if file.exists():
        if not file.stat().st_mode & 0o222:
            raise BookError(
                f"The book {file} is read-only: allow writing to it, or copy it elsewhere."
            )
        if not create and not file.stat().st_size:
            raise BookError(f"{file} is empty, not a book: name another file, or restore a backup.")
        return False
    if not create:
        raise BookError(f"There is no book {file}: check the name, or make it by logging a game.")
    if str(file) == default_book():
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BookError(
                f"The folder {file.parent} cannot be made ({error.strerror})."
            ) from error
    if not file.parent.is_dir():
        raise BookError(f"The folder {file.parent} does not exist: make it, or name another book.")
    return True
