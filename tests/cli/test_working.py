"""What takes long on the command line says so on a terminal and is stopped by Ctrl+C."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sequencer.cli import main
from sequencer.records.store import open_book
from tests.tui import clubs

pty = pytest.importorskip("pty", reason="needs a terminal")

#: A command that takes long: it stands in for the writing of a large book, and says on standard
#: output when it has taken so long that something had been said of it.
_LONG = """
import time
import sequencer.records.writers as writers
from sequencer.cli import main, working

working._AFTER = 0.05

def endless(*_, **__):
    time.sleep(10 * working._AFTER)
    print("long enough", flush=True)
    while True:
        time.sleep(0.01)

writers.export_book = endless
main()
"""


def _begin(folder: Path, stderr: int) -> "subprocess.Popen[bytes]":
    book = clubs.book_at(folder / "book.db")
    return subprocess.Popen(
        [sys.executable, "-c", _LONG, "export", str(folder / "out"), "--book", str(book)],
        stdout=subprocess.PIPE,
        stderr=stderr,
        env=os.environ | {"TERM": "xterm-256color", "COLUMNS": "80"},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )


def _until(terminal: int, words: str, patience: float = 60.0) -> str:
    heard, until = "", time.monotonic() + patience
    while words not in heard and time.monotonic() < until:
        heard += os.read(terminal, 4096).decode()
    assert words in heard, heard
    return heard


def test_what_takes_long_is_said_on_a_terminal_and_ctrl_c_stops_it(tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    process = _begin(tmp_path, theirs)
    os.close(theirs)
    try:
        _until(ours, "Writing the book out … Ctrl+C stops it.")
        assert process.stdout is not None and process.stdout.readline() == b"long enough\n"
        process.send_signal(signal.SIGINT)
        _until(ours, "sequencer: stopped")
        process.communicate(timeout=60)
    finally:
        process.kill()
        os.close(ours)
    assert process.returncode == 1
    assert not (tmp_path / "out").exists()


def test_nothing_of_it_is_said_where_there_is_no_terminal(tmp_path: Path) -> None:
    process = _begin(tmp_path, subprocess.PIPE)
    assert process.stdout is not None and process.stdout.readline() == b"long enough\n"
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert err.strip() == b"sequencer: stopped"


@pytest.mark.parametrize("files", range(7))
def test_an_export_stopped_between_two_files_leaves_what_was_there(
    files: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book, out = clubs.book_at(tmp_path / "book.db"), tmp_path / "out"
    assert _export(book, out) == 0
    before = {file.name: file.read_bytes() for file in out.iterdir()}
    assert len(before) == 7
    with open_book(book) as opened:
        clubs.game(opened, "another", clubs.DAY)
    written, write = 0, Path.write_bytes

    def stopping(path: Path, content: bytes) -> int:
        nonlocal written
        if written == files:
            write(path, content[: len(content) // 2])
            raise KeyboardInterrupt
        written += 1
        return write(path, content)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", stopping)
        assert _export(book, out) == 1
    assert capsys.readouterr().err.strip() == "sequencer: stopped"
    assert {file.name: file.read_bytes() for file in out.iterdir()} == before
    assert _export(book, out) == 0
    assert {file.name for file in out.iterdir()} == set(before)


def _export(book: str, folder: Path) -> int:
    with pytest.raises(SystemExit) as stop:
        main(["export", str(folder), "--book", book])
    return int(stop.value.code or 0)
