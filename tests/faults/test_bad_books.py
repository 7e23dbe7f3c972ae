"""A book that cannot be used: one clear sentence, exit 1, nothing half-written."""

import contextlib
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from sequencer.errors import BookError
from sequencer.records.store import open_book
from tests.faults.dugout import MAIN, PITCH, Dugout, run
from tests.records.games import game, pitch


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "club.db"
    with open_book(path) as opened:
        opened.add_game(game())
        opened.append("g", "add", entry=pitch("ball"))
    return path


@contextlib.contextmanager
def write_lock(path: Path) -> Iterator[None]:
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    try:
        yield
    finally:
        other.close()


def refused(book: Path, *words: str) -> None:
    """Assert that the command ends with 1 and one sentence holding these words."""
    code, out, err = run(book, PITCH)
    assert (code, out) == (1, "")
    assert err.count("\n") == 1 and "Traceback" not in err
    assert all(word in err for word in words), err


def test_a_locked_book_is_said_to_be_locked_and_can_still_be_read(book: Path) -> None:
    with write_lock(book), open_book(book, busy_ms=50) as opened:
        with pytest.raises(BookError, match="locked by another program"):
            opened.append("g", "add", entry=pitch("ball"))
        assert len(opened.rows("g")) == 1
    with open_book(book) as opened:
        assert opened.append("g", "add", entry=pitch("ball")).seq == 2


def test_a_short_lock_is_waited_out_and_logging_goes_on(book: Path) -> None:
    with Dugout(book) as dugout:
        assert dugout.say("state").startswith("ok 1")
        with write_lock(book):
            dugout.send(PITCH)
        assert dugout.hear() == "ok 2 2-0"


def test_a_read_only_book_is_refused(book: Path) -> None:
    book.chmod(0o444)
    refused(book, "read-only", str(book))
    book.chmod(0o644)
    assert run(book, "state")[0] == 0


def test_a_file_that_is_not_a_book_is_refused_and_left_alone(tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("not a book, only words\n" * 200)
    refused(text, "not a book")
    assert text.read_text().startswith("not a book")
    other = tmp_path / "other.db"
    with contextlib.closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE recipes (name)")
    before = other.read_bytes()
    refused(other, "not a book")
    assert other.read_bytes() == before


def test_a_damaged_book_is_refused(book: Path) -> None:
    with contextlib.closing(sqlite3.connect(book)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    content = bytearray(book.read_bytes())
    content[100:] = b"\x5a" * (len(content) - 100)
    book.write_bytes(content)
    refused(book, "damaged")


def test_no_safe_copy_is_made_of_a_damaged_book(tmp_path: Path, book: Path) -> None:
    with open_book(book) as opened:
        for _ in range(300):
            opened.append("g", "add", entry=pitch("foul", note="x" * 200))
    content = bytearray(book.read_bytes())
    content[-8192:] = b"\x5a" * 8192
    book.write_bytes(content)
    with open_book(book) as opened, pytest.raises(BookError, match="damaged"):
        opened.backup(tmp_path / "copy.db")
    assert not list(tmp_path.glob("copy*"))


def test_a_book_of_a_newer_version_is_refused(book: Path) -> None:
    with contextlib.closing(sqlite3.connect(book)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    refused(book, "newer version", "update sequencer")


def test_a_missing_folder_a_folder_and_a_server_are_refused(tmp_path: Path) -> None:
    refused(tmp_path / "none" / "club.db", "does not exist")
    assert not (tmp_path / "none").exists()
    refused(tmp_path, "is a folder")
    with pytest.raises(BookError, match="club's server"):
        open_book("postgresql://club/book")
    with pytest.raises(BookError, match="There is no book"):
        open_book(tmp_path / "club.db", create=False)
    (tmp_path / "empty.db").touch()
    with pytest.raises(BookError, match="is empty"):
        open_book(tmp_path / "empty.db", create=False)


LIMITED = """
import resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, ({size}, {size}))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no file size limits here")
def test_on_a_full_disk_a_pitch_is_refused_and_what_was_kept_stays(book: Path) -> None:
    size = 200_000
    code = LIMITED.format(size=size) + MAIN
    done = subprocess.run(
        [sys.executable, "-c", code, "log", "opener", "--plain", "--book", str(book)],
        input="\n".join([PITCH + ", note=" + "word " * 300] * 120),
        capture_output=True,
        text=True,
        timeout=60,
    )
    answers = done.stdout.splitlines()
    kept = [answer for answer in answers if answer.startswith("ok ")]
    lost = [answer for answer in answers if answer.startswith("no ")]
    assert done.returncode == 0 and len(answers) == 120 and kept and lost
    assert all("disk" in answer and "\n" not in answer for answer in lost)
    with open_book(book) as opened:
        assert opened.check() == []
        assert len(opened.rows("g")) == 1 + len(kept)


@pytest.mark.skipif(sys.platform == "win32", reason="no file size limits here")
def test_a_book_that_cannot_be_made_for_want_of_space_is_not_left_behind(tmp_path: Path) -> None:
    book = tmp_path / "club.db"
    code = LIMITED.format(size=8192) + MAIN
    done = subprocess.run(
        [sys.executable, "-c", code, "log", "x", "--plain", "--book", str(book)],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 1 and "disk" in done.stderr and done.stderr.count("\n") == 1
    assert os.listdir(tmp_path) == []


def test_logging_starts_without_the_heavy_libraries(book: Path) -> None:
    code = (
        f"import sys; sys.argv[1:] = ['log', 'opener', '--plain', '--book', {str(book)!r}]\n"
        "from sequencer.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(sorted({'numpy', 'pandas', 'scipy', 'sklearn', 'textual'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], input=PITCH, capture_output=True, text=True)
    assert done.stdout.splitlines() == ["ok 2 2-0", "[]"]
