"""The real program in a terminal of its own: keys written to it, what it draws read back.

Python's own `pty`, so not on Windows.
"""

import json
import os
import re
import select
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from sequencer.errors import BadInput

#: Seconds of patience for a key to be drawn.
PATIENCE: Final = 60.0

#: The program with a watch on its loop: each callback over a millisecond, by the clock and by the
#: processor; how late a heartbeat comes. They are written when it ends.
_WATCHED: Final = """
import asyncio, json, os, sys, time
import tui.app

slow, late, run = [], [], asyncio.events.Handle._run

def timed(handle):
    began, used = time.perf_counter(), time.thread_time()
    run(handle)
    took = time.perf_counter() - began
    if took > 0.001:
        name = getattr(handle._callback, "__qualname__", "") if took > 0.02 else ""
        owner = getattr(handle._callback, "__self__", None)
        if took > 0.02 and isinstance(owner, asyncio.Task):
            name = repr(owner.get_coro())
        slow.append((time.time(), took, time.thread_time() - used, name))

asyncio.events.Handle._run = timed

class Watched(tui.app.SequencerApp):
    CSS_PATH = os.path.join(os.path.dirname(tui.app.__file__), "app.tcss")

    def on_mount(self):
        self.beating = asyncio.create_task(self.beat())

    async def beat(self):
        while True:
            due = time.perf_counter() + 0.005
            await asyncio.sleep(0.005)
            late.append((time.time(), time.perf_counter() - due))

place = sys.argv[3] if len(sys.argv) > 3 else ""
Watched(sys.argv[2], place=place).run()
with open(sys.argv[1], "w") as told:
    json.dump({"slow": slow, "late": late}, told)
"""


@dataclass
class Terminal:
    """The program in a terminal of 120 columns and 40 rows: keys in, the rows it draws out."""

    master: int
    process: "subprocess.Popen[bytes]"
    told: Path
    rows: dict[int, str] = field(default_factory=dict)
    _kept: str = ""
    _row: int = 0

    def press(self, key: str) -> None:
        """Write a key."""
        os.write(self.master, key.encode())

    def drawn(self, seconds: float) -> set[int]:
        """Return the rows drawn within so many seconds, as soon as there are any."""
        ready, _, _ = select.select([self.master], [], [], seconds)
        if not ready:
            return set()
        try:
            return self._take(os.read(self.master, 1 << 16).decode("utf-8", "replace"))
        except OSError:
            return set()

    def _take(self, text: str) -> set[int]:
        text = self._kept + text
        whole = _WHOLE.match(text)
        end = whole.end() if whole else 0
        self._kept = text[end:]
        touched = set()
        for escape, row, _column, words in _PARTS.findall(text[:end]):
            if row:
                self._row = int(row)
                self.rows[self._row] = ""
            elif words and not escape:
                touched.add(self._row)
                self.rows[self._row] = self.rows.get(self._row, "") + words
        return touched

    def until(self, true: Callable[[], object], patience: float = PATIENCE) -> float:
        """Read until a condition on what is drawn holds; returns the seconds it took.

        Raises
        ------
        BadInput
            If it never does: what is on the screen is told.
        """
        began = time.perf_counter()
        while not true():
            self.drawn(0.05)
            if time.perf_counter() - began > patience:
                raise BadInput(f"The program does not draw what was waited for: {self.text()}")
        return time.perf_counter() - began

    def shows(self, words: str) -> bool:
        """Return whether words are on the screen."""
        return any(words in row for row in self.rows.values())

    def text(self) -> str:
        """Return what is on the screen."""
        return "\n".join(self.rows[row].rstrip() for row in sorted(self.rows))

    def memory(self) -> float:
        """Return the megabytes that the program and what it started hold, where that is known."""
        return sum(map(_megabytes, _family(self.process.pid)))

    def leave(self) -> "dict[str, list[list[float]]]":
        """End the program by its key; returns what its watch has seen."""
        self.press("\x11")
        until = time.monotonic() + PATIENCE
        while self.process.poll() is None and time.monotonic() < until:
            self.drawn(0.05)
        seen: dict[str, list[list[float]]] = json.loads(self.told.read_text(encoding="utf-8"))
        return seen


#: A piece of output: an escape that moves to a row and column, any other escape, or words.
_PARTS: Final = re.compile(
    r"(\x1b\[(?:(\d+);(\d+)H|[0-9;?<=>]*[ -/]*[@-~])"
    r"|\x1b[P\]][^\x1b\x07]*(?:\x1b\\|\x07)|\x1b.|\r?\n)|([^\x1b\r\n]+)"
)
_WHOLE: Final = re.compile(r"(?s).*?(?=\x1b(?:\[[0-9;?<=>]*)?$)|(?s:.*)")


@contextmanager
def terminal(book: str, place: str = "") -> Iterator[Terminal]:
    """Run the program on a book in a terminal of its own, settings apart."""
    try:
        import fcntl
        import pty
        import termios
    except ImportError as error:
        raise BadInput("The screen can only be timed where there are ptys.") from error
    with tempfile.TemporaryDirectory() as folder:
        program, told = Path(folder) / "watched.py", Path(folder) / "told"
        program.write_text(_WATCHED, encoding="utf-8")
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
        plain = {"TERM": "xterm-256color", "XDG_CONFIG_HOME": folder, "HOME": folder}
        process = subprocess.Popen(
            [sys.executable, program, told, book, place],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=os.environ | plain,
            start_new_session=True,
        )
        os.close(slave)
        try:
            yield Terminal(master, process, told)
        finally:
            if process.poll() is None:
                process.kill()
            process.wait()
            os.close(master)


def _family(pid: int) -> list[int]:
    """Return a process and all that its threads started."""
    lists = Path(f"/proc/{pid}/task").glob("*/children")
    children = [int(child) for file in lists for child in file.read_text("ascii").split()]
    return [pid, *(each for child in children for each in _family(child))]


def _megabytes(pid: int) -> float:
    try:
        pages = Path(f"/proc/{pid}/statm").read_text(encoding="ascii").split()[1]
    except OSError:
        return 0.0
    return int(pages) * os.sysconf("SC_PAGE_SIZE") / 1e6
