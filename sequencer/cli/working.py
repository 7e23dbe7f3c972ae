"""What takes long says so on a terminal, and nowhere else."""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rich.status import Status

#: Seconds from which on a command says what it is at.
_AFTER: Final = 1.0


@contextmanager
def working(words: str) -> Iterator[None]:
    """Say what is being done, once it takes longer than a second, until it is done or stopped."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield
        return
    said = _Said(f"{words} … Ctrl+C stops it.")
    timer = threading.Timer(_AFTER, said.begin)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        said.end()


class _Said:
    """A line on the terminal that is taken away at the end."""

    def __init__(self, words: str) -> None:
        self._words, self._over = words, False
        self._status: Status | None = None
        self._lock = threading.Lock()

    def begin(self) -> None:
        """Show the line, unless what it is of has ended meanwhile."""
        from rich.console import Console

        with self._lock:
            if not self._over:
                self._status = Console(stderr=True, markup=False).status(self._words)
                self._status.start()

    def end(self) -> None:
        """Take the line away."""
        with self._lock:
            self._over = True
            if self._status is not None:
                self._status.stop()
