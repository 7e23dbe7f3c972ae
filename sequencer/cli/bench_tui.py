"""Measurements of the terminal UI on a large book: what a key takes until it is on the screen.

The real program runs in a terminal of its own (a pty); keys are written to it and what it draws is
read back, so a figure holds reading, saving, drawing and writing. A watch inside the program times
what holds up its event loop.

Python's own `pty`, so not on Windows.
"""

import datetime as dt
import json
import os
import random
import re
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple, Self

from sequencer.cli.bench import Measured
from sequencer.errors import BadInput

if TYPE_CHECKING:
    from sequencer.records.event import Event
    from sequencer.records.game import Game
    from sequencer.records.pitch import Pitch
    from sequencer.records.store import Book

#: Pitches of the large book, and of each of its games.
PITCHES, _OF_GAME = 200_000, 140
#: Our pitchers, their clubs, hitters of each.
_ARMS, _CLUBS, _MEN = 12, 20, 12
_DAY: Final = dt.date(2020, 3, 1)
#: Keys of a pitch before its result, a sign and a place; results of one pitch after another.
_PITCH_KEYS: Final = ("1", "s")
_RESULTS: Final = "fblbfo"
#: Seconds between two keys of someone fast, and patience for one to be drawn.
_PAUSES, _PATIENCE = (0.06, 0.18), 60.0

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


class Taken(NamedTuple):
    """Seconds of many keys or waits: their median, 99th percentile and longest."""

    median: float
    p99: float
    longest: float
    many: int

    @classmethod
    def of(cls, seconds: "list[float]") -> Self:
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


def _watch(screen: "Terminal", seconds: float) -> None:
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


# a large book


def large_book(path: str | Path, pitches: int = PITCHES) -> str:
    """Make a book of so many invented pitches and tonight's game with advice; returns its path."""
    from sequencer.records.store import open_book

    dice = random.Random(5)
    deck = [_pitch(dice) for _ in range(400)]
    with open_book(path) as book, book.transaction():
        _clubs(book)
        games = -(-pitches // _OF_GAME)
        for n in range(games + 1):
            tonight = n == games
            day = dt.date.today() if tonight else _DAY + dt.timedelta(days=n % 1800)
            game = book.add_game(_header(n, day, "allowed" if tonight else "ask"))
            book.extend(game.id, list(_begins(n)), joined=True)
            if not tonight:
                book.extend(game.id, dice.choices(deck, k=_OF_GAME))
    return str(path)


def _clubs(book: "Book") -> None:
    from sequencer.records.people import Person, Team

    book.add_team(Team(name="Herons", ours=True, level="17-18", rules="high-school"))
    for arm in range(_ARMS):
        book.add_person(Person(id=f"arm{arm}", team="Herons", name=f"Arm {arm}", throws="R"))
    for club in range(_CLUBS):
        book.add_team(Team(name=f"Club {club}", level="17-18"))
        for man in range(_MEN):
            book.add_person(
                Person(
                    id=f"bat{club}-{man}",
                    team=f"Club {club}",
                    name=f"Bat {club}-{man}",
                    number=str(man + 1),
                    bats="L" if man % 3 == 1 else "R",
                )
            )


def _header(n: int, day: dt.date, advice: str) -> "Game":
    from sequencer.records.game import Game

    return Game(
        id=f"g{n}",
        game=f"game {n}",
        date=day,
        us="Herons",
        them=f"Club {n % _CLUBS}",
        level="17-18",
        rules="high-school",
        rule_edits={"electronic_advice": advice},
    )


def _begins(n: int) -> "Iterator[Event]":
    from sequencer.records.event import Event

    yield Event(event="pitcher", who=f"arm{n % _ARMS}", side="us")
    for slot in range(9):
        yield Event(event="line-up", who=f"bat{n % _CLUBS}-{slot}", slot=slot + 1, side="them")


def _pitch(dice: random.Random) -> "Pitch":
    from sequencer.records.pitch import Pitch

    kind = dice.choice(("fastball", "fastball", "curveball", "changeup"))
    results = ("ball", "called strike", "swinging strike", "foul", "in play")
    result = dice.choices(results, (38, 17, 10, 17, 18))[0]
    row, column = dice.choice(("up", "belt", "down")), dice.choice(("left", "middle", "right"))
    return Pitch(
        result=result,
        play=dice.choice(("out", "out", "out", "single")) if result == "in play" else "",
        pitch=kind,
        called=kind,
        cell=f"{row}-{column}",
        entered="catcher",
        target="low-right",
        target_when="before",
    )


# a terminal


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

    def until(self, true: Callable[[], object], patience: float = _PATIENCE) -> float:
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
        until = time.monotonic() + _PATIENCE
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


def type_pitches(screen: Terminal, pitches: int, seed: int = 0) -> list[float]:
    """Type pitches in the dugout as someone fast does; returns each key's seconds to its paint."""
    dice, took = random.Random(seed), []
    for n in range(pitches):
        for key in (*_PITCH_KEYS, _RESULTS[n % len(_RESULTS)]):
            row = _draft_row(screen)
            screen.press(key)
            began = time.perf_counter()
            while row not in screen.drawn(_PATIENCE):
                if time.perf_counter() - began > _PATIENCE:
                    raise BadInput(f"A key is never drawn: {screen.text()}")
            took.append(time.perf_counter() - began)
            still = time.perf_counter() + dice.uniform(*_PAUSES)
            while (left := still - time.perf_counter()) > 0:
                screen.drawn(left)
    return took


def _draft_row(screen: Terminal) -> int:
    """Return the row of what is being typed."""
    return max(row for row, words in screen.rows.items() if words.lstrip().startswith("> "))


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
