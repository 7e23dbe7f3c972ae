import datetime as dt
import sqlite3
from pathlib import Path

import pytest

from sequencer.errors import BookError
from sequencer.records.copies import restore
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.health import examine
from sequencer.records.pitch import Observed, Pitch
from sequencer.records.store import Book, open_book
from tests.records import rich_book


@pytest.fixture
def rich(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        rich_book.fill(book)
    return tmp_path / "book.db"


def a_game(book: Book) -> Game:
    return book.add_game(Game(id="x", game="x", date=dt.date(2026, 5, 1), us="Us", them="Them"))


def test_a_rich_book_is_sound_and_counted(rich: Path) -> None:
    with open_book(rich) as book:
        health = examine(book)
    assert health.sound
    assert health.counts["games"] == 2
    assert health.counts["people"] == len({*rich_book_people(rich)})
    assert health.counts["rows"] > health.counts["pitches"] + 1
    assert any("second, of two" in note for note in health.notes)


def rich_book_people(path: Path) -> list[str]:
    with open_book(path) as book:
        return [person.id for person in book.people()]


def test_a_stranger_in_a_game_makes_a_book_unsound(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        a_game(book)
        book.append("x", "add", entry=Event(event="at", who="nobody"))
        book.append("x", "add", entry=Pitch(result="ball", observed=Observed(on_first="ghost")))
        health = examine(book)
    assert health.problems == (
        "Game x names ghost, who is not in the book.",
        "Game x names nobody, who is not in the book.",
    )


def test_a_game_that_cannot_be_replayed_is_named(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        a_game(book)
        book.change_game("x", rules="a rule set of another version")
        health = examine(book)
    assert not health.sound
    assert health.problems[0].startswith("Game x cannot be replayed: ")


def test_restoring_a_copy_keeps_the_present_book_under_a_dated_name(
    rich: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copy.db"
    with open_book(rich) as book:
        book.backup(copy)
        a_game(book)
    before = copy.read_bytes()
    done = restore(copy, rich)
    assert done.kept is not None
    assert dt.date.today().isoformat() in done.kept.name
    with open_book(rich) as book, open_book(done.kept) as kept:
        assert len(book.games()) == 2
        assert len(kept.games()) == 3
    assert copy.read_bytes() == before
    assert not list(tmp_path.glob("*.restoring*"))


def test_a_book_that_is_gone_or_damaged_is_brought_back(rich: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    with open_book(rich) as book:
        book.backup(copy)
    rich.write_bytes(b"spoilt" * 1000)
    done = restore(copy, rich)
    assert done.kept is not None
    assert done.kept.read_bytes().startswith(b"spoilt")
    rich.unlink()
    assert restore(copy, rich).kept is None
    with open_book(rich, create=False) as book:
        assert len(book.games()) == 2


@pytest.mark.parametrize("content", [b"", b"not a book", b"SQLite format 3\x00 and no more"])
def test_what_is_no_book_is_not_brought_back(rich: Path, tmp_path: Path, content: bytes) -> None:
    copy = tmp_path / "copy.db"
    copy.write_bytes(content)
    before = rich.read_bytes()
    with pytest.raises(BookError, match=r"copy\.db"):
        restore(copy, rich)
    assert rich.read_bytes() == before
    assert not list(tmp_path.glob("*restor*"))


def test_another_database_a_missing_copy_and_the_book_itself_are_refused(
    rich: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.db"
    connection = sqlite3.connect(other)
    connection.execute("CREATE TABLE things (n INTEGER)")
    connection.close()
    with pytest.raises(BookError, match="not a book"):
        restore(other, rich)
    with pytest.raises(BookError, match="there is no copy"):
        restore(tmp_path / "none.db", rich)
    with pytest.raises(BookError, match="is the book itself"):
        restore(rich, rich)


def test_a_book_in_use_elsewhere_is_not_replaced(rich: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    with open_book(rich) as book:
        book.backup(copy)
        assert book.games()
        with pytest.raises(BookError, match="open"):
            restore(copy, rich)
        assert len(book.games()) == 2
