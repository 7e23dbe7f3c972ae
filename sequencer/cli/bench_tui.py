"""Measurements of the terminal UI on a large book: what a key takes until it is on the screen.

Keys are written to the real program in a terminal and what it draws is read back, so a figure
holds reading, saving, drawing and writing. A watch inside the program times what holds up its
event loop.
"""

import random
import statistics
import tempfile
import time
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple, Self

from sequencer.cli.bench import Measured
from sequencer.cli.bench_book import large_book
from sequencer.cli.bench_terminal import PATIENCE, Terminal, terminal
from sequencer.errors import BadInput

#: Keys of a pitch before its result, a sign and a place; results of one pitch after another.
_PITCH_KEYS: Final = ("1", "s")
_RESULTS: Final = "fblbfo"
#: Seconds between two keys of someone fast.
_PAUSES: Final = (0.06, 0.18)


class Taken(NamedTuple):
    """Seconds of many keys or waits: their median, 99th percentile and longest."""

    median: float
    p99: float
    longest: float
    many: int

    @classmethod
    def of(cls, seconds: list[float]) -> Self:
        """Return the summary of measured seconds; of none, nothing."""
        if not seconds:
            return cls(0.0, 0.0, 0.0, 0)
        ordered = sorted(seconds)
        at = min(len(ordered) - 1, int(0.99 * len(ordered)))
        return cls(statistics.median(ordered), ordered[at], ordered[-1], len(ordered))


# rows of the table


def large_book_opened() -> Measured:
    """Measure start to dugout on a book of 200,000 pitches, beside one of a few games."""
    ours, other = _on_books().large.opened, _on_books().small.opened
    must = "1.3 times + 100 ms"
    return Measured("large book opened", ours, other, "small book", must, ours <= 1.3 * other + 0.1)


def key_to_paint() -> Measured:
    """Measure a key typed in the dugout until it is drawn, advice at work on the large book."""
    keys = Taken.of(_on_books().large.keys)
    holds = keys.median <= 0.05 and keys.p99 <= 0.1
    against = f"99th {1000 * keys.p99:.0f} ms"
    return Measured("key to paint", keys.median, None, against, "50 ms, 99th 100 ms", holds)


def loop_held_up() -> Measured:
    """Measure the longest that anything held up the event loop meanwhile."""
    longest = _on_books().large.longest
    return Measured("event loop held up", longest, None, "longest", "20 ms", longest <= 0.02)


def first_visits() -> Measured:
    """Measure the longest that a first visit, a list, a form or help held up the event loop."""
    with tempfile.TemporaryDirectory() as folder:
        longest = walked(large_book(Path(folder) / "book.db", 600)).longest
    return Measured("places, lists, help", longest, None, "longest", "20 ms", longest <= 0.02)


class Typed(NamedTuple):
    """Pitches typed on a book.

    Attributes
    ----------
    opened : float
        Seconds from starting the program to the dugout on the screen.
    keys : list of float
        Seconds from each key to its paint.
    longest : float
        Seconds of the longest callback of the event loop while typing.
    used : float
        Seconds of processor time of the hungriest one.
    advised : float
        Seconds from the dugout's paint to the first advice after typing.
    memory : float
        Megabytes held by the program and its processes at the end.
    """

    opened: float
    keys: list[float]
    longest: float
    used: float
    advised: float
    memory: float


def typed(book: str, pitches: int) -> Typed:
    """Open the program on a book, type pitches from its first paint on, wait for advice, leave."""
    began = time.perf_counter()
    with terminal(book) as screen:
        screen.until(lambda: screen.shows("> signs"))
        opened, from_here = time.perf_counter() - began, time.time()
        keys = type_pitches(screen, pitches)
        to_here = time.time()
        screen.until(lambda: screen.shows("Guess rate"))
        advised, memory = time.time() - from_here, screen.memory()
        seen = screen.leave()
    meanwhile = [row for row in seen["slow"] if from_here <= row[0] <= to_here]
    longest, used = (max((row[i] for row in meanwhile), default=0.0) for i in (1, 2))
    return Typed(opened, keys, longest, used, advised, memory)


#: Keys of a walk, each with what it brings: every place for the first time, then help, lists and a
#: form.
_WALK: Final = (
    ("\x1bOQ", "scouting"),
    ("\x1bOR", "plan"),
    ("\x1b[15~", "review"),
    ("\x1b[17~", "games"),
    ("\x1b[18~", "bullpen"),
    ("\x1bOS", "dugout"),
    ("\x1bOP", "help"),
    ("\x1b", "back"),
    ("\x1bOR", "plan again"),
    ("t", "teams"),
    ("\x1b", "back"),
    ("p", "pitchers"),
    ("\x1b", "back"),
    ("\x1b[15~", "review again"),
    ("p", "whom to review"),
    ("\x1b", "back"),
    ("g", "games to review"),
    ("\x1b", "back"),
    ("\x1bOQ", "scouting again"),
    ("t", "teams to scout"),
    ("\x1b", "back"),
    ("a", "a new player"),
    ("\x1b", "back"),
)
#: Seconds for what a key asked for to be drawn, and for what is put off until it is quiet.
_SETTLES, _PUT_OFF = 1.2, 2.5


class Walked(NamedTuple):
    """A walk through the places.

    Attributes
    ----------
    longest : float
        Seconds of the longest callback of the event loop.
    used : float
        Seconds of processor time of the hungriest one.
    steps : list of (str, float)
        What each key brought to the screen and the processor seconds of its hungriest callback.
    """

    longest: float
    used: float
    steps: list[tuple[str, float]]


def walked(book: str) -> Walked:
    """Open the program on a book and go everywhere once, then to lists, a form and help."""
    with terminal(book) as screen:
        screen.until(lambda: screen.shows("> signs"))
        _watch(screen, _PUT_OFF)
        began = []
        for key, _ in _WALK:
            began.append(time.time())
            screen.press(key)
            _watch(screen, _SETTLES)
        seen = screen.leave()
    ends = [*began[1:], time.time() - _SETTLES]
    parts = [
        [row for row in seen["slow"] if since <= row[0] < until]
        for since, until in zip(began, ends, strict=True)
    ]
    steps = [
        (brings, max((row[2] for row in part), default=0.0))
        for (_, brings), part in zip(_WALK, parts, strict=True)
    ]
    every = [row for part in parts for row in part]
    longest, used = (max((row[i] for row in every), default=0.0) for i in (1, 2))
    return Walked(longest, used, steps)


def _watch(screen: Terminal, seconds: float) -> None:
    """Take what is drawn for a while."""
    until = time.perf_counter() + seconds
    while (left := until - time.perf_counter()) > 0:
        screen.drawn(left)


class _Books(NamedTuple):
    large: Typed
    small: Typed


@cache
def _on_books() -> _Books:
    with tempfile.TemporaryDirectory() as folder:
        large = typed(large_book(Path(folder) / "large.db"), 40)
        small = typed(large_book(Path(folder) / "small.db", 300), 3)
    return _Books(large, small)


def type_pitches(screen: Terminal, pitches: int, seed: int = 0) -> list[float]:
    """Type pitches in the dugout as someone fast does; returns each key's seconds to its paint."""
    dice, took = random.Random(seed), []
    for n in range(pitches):
        for key in (*_PITCH_KEYS, _RESULTS[n % len(_RESULTS)]):
            row = _draft_row(screen)
            screen.press(key)
            began = time.perf_counter()
            while row not in screen.drawn(PATIENCE):
                if time.perf_counter() - began > PATIENCE:
                    raise BadInput(f"A key is never drawn: {screen.text()}")
            took.append(time.perf_counter() - began)
            still = time.perf_counter() + dice.uniform(*_PAUSES)
            while (left := still - time.perf_counter()) > 0:
                screen.drawn(left)
    return took


def _draft_row(screen: Terminal) -> int:
    """Return the row of what is being typed."""
    return max(row for row, words in screen.rows.items() if words.lstrip().startswith("> "))
