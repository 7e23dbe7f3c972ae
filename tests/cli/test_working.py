"""What takes long on the command line says so on a terminal and is stopped by Ctrl+C."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.tui import clubs

pty = pytest.importorskip("pty", reason="needs a terminal")

#: A command that takes long: it stands in for the writing of a large book.
_LONG = """
import time
import sequencer.records.writers as writers
from sequencer.cli import main

def endless(*_, **__):
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


def test_what_takes_over_a_second_is_said_on_a_terminal_and_ctrl_c_stops_it(tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    process = _begin(tmp_path, theirs)
    os.close(theirs)
    try:
        _until(ours, "Writing the book out … Ctrl+C stops it.")
        process.send_signal(signal.SIGINT)
        _until(ours, "sequencer: stopped")
        out, _ = process.communicate(timeout=60)
    finally:
        process.kill()
        os.close(ours)
    assert (process.returncode, out) == (1, b"")
    assert not (tmp_path / "out").exists()


def test_nothing_of_it_is_said_where_there_is_no_terminal(tmp_path: Path) -> None:
    process = _begin(tmp_path, subprocess.PIPE)
    time.sleep(2.0)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (out, err.strip()) == (b"", b"sequencer: stopped")
