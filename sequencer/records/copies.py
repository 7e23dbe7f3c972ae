"""Safe copies of a book: bringing one back never loses the book that is there now."""

import datetime as dt
import shutil
from pathlib import Path
from typing import NamedTuple

from sequencer.errors import BookError
from sequencer.records.store import open_book

#: What the database keeps beside an open book.
_BESIDE = ("-wal", "-shm", "-journal")


class Restored(NamedTuple):
    """A book brought back, and where the one before it is kept (None if there was none)."""

    book: Path
    kept: Path | None


def restore(copy: str | Path, book: str | Path) -> Restored:
    """Put a safe copy in the place of a book, once the copy has proved whole.

    The present book stays beside it under a dated name; the copy itself is not touched.

    Raises
    ------
    BookError
        If the copy is not a whole book, or the present one is in use or cannot be moved; both
        are then as they were.
    """
    copy, book = Path(copy).expanduser(), Path(book).expanduser()
    if not copy.is_file():
        raise BookError(f"there is no copy {copy}; check the name")
    if book.exists() and copy.resolve() == book.resolve():
        raise BookError(f"{copy} is the book itself; name a copy of it")
    part = book.with_name(f"{book.name}.restoring")
    try:
        book.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(copy, part)
        _prove(part, copy)
        kept = _put_aside(book) if book.exists() else None
        part.replace(book)
    except OSError as error:
        raise BookError(f"{copy} cannot be brought back: {error.strerror or error}") from error
    finally:
        for end in ("", *_BESIDE):
            part.with_name(part.name + end).unlink(missing_ok=True)
    return Restored(book, kept)


def _prove(part: Path, copy: Path) -> None:
    """Open the copied file as a book and look for damage."""
    try:
        with open_book(part, create=False) as book:
            problems = book.check()
    except BookError as error:
        reason = str(error).replace(str(part), str(copy))
        raise BookError(f"nothing was brought back: {reason}") from error
    if problems:
        raise BookError(f"{copy} is damaged and was not brought back: {problems[0]}")


def _put_aside(book: Path) -> Path:
    """Move the present book to a dated name beside it, and return that."""
    _close(book)
    now = dt.datetime.now().strftime("%Y-%m-%d-%H%M%S")
    kept = book.with_name(f"{book.stem}-before-restore-{now}{book.suffix}")
    number = 1
    while kept.exists():
        number += 1
        kept = book.with_name(f"{book.stem}-before-restore-{now}-{number}{book.suffix}")
    for end in ("", *_BESIDE):
        beside = book.with_name(book.name + end)
        if beside.exists():
            beside.replace(kept.with_name(kept.name + end))
    return kept


def _close(book: Path) -> None:
    """Fold what the database keeps beside a book into it; refuse if another program has it open.

    A book too damaged to open is moved as it is.
    """
    try:
        open_book(book, create=False).close()
    except BookError as error:
        if "locked" in str(error):
            raise
        return
    if book.with_name(book.name + "-wal").exists():
        raise BookError(f"another program has the book {book} open; close it, then try again")
