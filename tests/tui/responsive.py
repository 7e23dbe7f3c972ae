"""What a key takes until it is drawn on a large book, whatever is computed meanwhile.

    python -m tests.tui.responsive [PITCHES]

The real program in a terminal of its own (`sequencer.cli.bench_terminal`): pitches are typed while
the book is first read, while advice is made after each of them, and while a review is worked out.
"""

import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

from sequencer.cli.bench_book import PITCHES, large_book
from sequencer.cli.bench_terminal import Terminal, terminal
from sequencer.cli.bench_tui import Taken, type_pitches

_REVIEW, _DUGOUT = "\x1b[15~", "\x1bOS"


def measure(book: str) -> Iterable[str]:
    """Yield a line for each part of an evening at the keys."""
    began = time.perf_counter()
    with terminal(book) as screen:
        screen.until(lambda: bool(screen.rows))
        yield f"first paint {time.perf_counter() - began:.2f} s"
        screen.until(lambda: screen.shows("> signs"))
        yield f"dugout {time.perf_counter() - began:.2f} s, {screen.memory():.0f} MB"
        parts = [_part(screen, "the book being read", 30)]
        screen.until(lambda: screen.shows("Guess rate"))
        yield f"advice {time.perf_counter() - began:.1f} s, {screen.memory():.0f} MB"
        parts.append(_part(screen, "advice after each pitch", 60))
        screen.press(_REVIEW)
        screen.until(lambda: not screen.shows("> signs") or screen.shows("patterns"))
        screen.press(_DUGOUT)
        screen.until(lambda: screen.shows("> signs"))
        parts.append(_part(screen, "a review worked out", 30))
        yield f"at the end {screen.memory():.0f} MB"
        seen = screen.leave()
    for what, since, until, keys in parts:
        slow = [row for row in seen["slow"] if since <= row[0] <= until]
        late = [row[1] for row in seen["late"] if since <= row[0] <= until]
        yield f"{what}: a key {_ms(Taken.of(keys))}"
        yield f"    heartbeat late {_ms(Taken.of(late))}"
        longest, used = (max((row[i] for row in slow), default=0.0) for i in (1, 2))
        yield f"    longest callback {1000 * longest:.1f} ms, by the processor {1000 * used:.1f} ms"


def _part(screen: Terminal, what: str, pitches: int) -> tuple[str, float, float, list[float]]:
    began = time.time()
    keys = type_pitches(screen, pitches)
    return what, began, time.time(), keys


def _ms(taken: Taken) -> str:
    median, p99, longest = (1000 * seconds for seconds in taken[:3])
    return f"median {median:.1f} ms, 99th {p99:.1f}, longest {longest:.1f} ({taken.many})"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        pitches = int(sys.argv[1]) if len(sys.argv) > 1 else PITCHES
        for line in measure(large_book(Path(folder) / "book.db", pitches)):
            print(line, flush=True)  # noqa: T201 - a table for whoever runs it
