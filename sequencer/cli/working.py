"""What takes long says so on a terminal, and nowhere else."""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rich.live import Live

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
        self._live: Live | None = None
        self._lock = threading.Lock()

    def begin(self) -> None:
        """Show the line, unless what it is of has ended meanwhile."""
        from rich.console import Console
        from rich.live import Live
        from rich.spinner import Spinner

        with self._lock:
            if not self._over:
                # What a command prints stays on standard output.
                self._live = Live(
                    Spinner("dots", self._words),
                    console=Console(stderr=True, markup=False),
                    transient=True,
                    redirect_stdout=False,
                )
                self._live.start()

    def end(self) -> None:
        """Take the line away."""
        with self._lock:
            self._over = True
            if self._live is not None:
                self._live.stop()
