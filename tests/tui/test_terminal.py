"""In a real terminal: no colour where none is wanted, and suspended, drawn anew and continued."""

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from sequencer.records.store import open_book
from tests.tui import clubs

in_tmux = pytest.mark.skipif(shutil.which("tmux") is None, reason="no tmux here")
#: Longest wait for a screen, in seconds.
_PATIENCE = 60
#: Codes of colour among those of select graphic rendition (ECMA-48, 8.3.117; 90 to 107 are the
#: bright ones of most terminals). Bold, italic, underline and reverse are none of them.
_COLOUR = re.compile(r"\x1b\[(?:[\d:]+;)*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:[;:]\d+)*m")
KEYS = {
    "dugout": ("F4", "signs:"),
    "games": ("F6", "Games in"),
    "scouting": ("F2", "quick marks"),
    "plan": ("F3", "Plan:"),
    "review": ("F5", "Review:"),
    "bullpen": ("F7", "Bullpen:"),
}


class Terminal:
    """A tmux session of its own server, with a shell that runs the program."""

    def __init__(self, folder: Path, **more: str) -> None:
        self._tmux = ["tmux", "-S", str(folder / "socket"), "-f", "/dev/null"]
        kept = {"PATH", "HOME", "LANG", "LC_ALL", "PYTHONPATH", "OPENBLAS_NUM_THREADS"}
        self._env = {name: value for name, value in os.environ.items() if name in kept}
        self._env |= {"TERM": "xterm-256color", "XDG_CONFIG_HOME": str(folder), **more}
        self.do("new-session", "-d", "-x", "80", "-y", "24", "env", "PS1=$ ", "bash", "--norc")

    def do(self, *words: str) -> str:
        """Run a command of tmux and return what it says."""
        done = subprocess.run(
            [*self._tmux, *words], env=self._env, capture_output=True, text=True, check=True
        )
        return done.stdout

    def start(self, book: str, game: str) -> None:
        """Type the command that opens the book."""
        main = "from sequencer.cli import main; main()"
        words = f'{sys.executable} -c "{main}" log {game} --book {book}'
        self.do("send-keys", "-l", words)
        self.press("Enter")

    def press(self, *names: str) -> None:
        """Press keys, by the names tmux has for them."""
        self.do("send-keys", *names)

    def screen(self, *how: str) -> str:
        """Return what is on the screen."""
        return self.do("capture-pane", "-p", *how)

    def until(self, true: Callable[[str], object], what: str) -> str:
        """Wait for a screen."""
        end = time.monotonic() + _PATIENCE
        while time.monotonic() < end:
            if true(shown := self.screen()):
                return shown
            time.sleep(0.1)
        pytest.fail(f"waited in vain for {what}:\n{self.screen()}")

    def until_words(self, words: str, what: str) -> None:
        """Wait until words are on the screen."""
        self.until(lambda shown: words in shown, what)


@pytest.fixture
def book(tmp_path: Path) -> str:
    """A book with a game to log."""
    path = clubs.book_at(tmp_path / "book.db")
    with open_book(path) as one:
        clubs.game(one, "tonight", clubs.DAY)
    return path


def logged(book: str) -> int:
    """Return how many pitches are in the book."""
    with open_book(book) as one:
        return sum(row.pitch is not None for row in one.rows("tonight"))


def opened(folder: Path, book: str, **more: str) -> Iterator[Terminal]:
    terminal = Terminal(folder, **more)
    try:
        terminal.start(book, "tonight")
        terminal.until(lambda shown: "signs:" in shown, "the dugout")
        yield terminal
    finally:
        terminal.do("kill-server")


@pytest.fixture
def without_colour(tmp_path: Path, book: str) -> Iterator[Terminal]:
    """The program in a terminal where no colour is wanted."""
    yield from opened(tmp_path, book, NO_COLOR="1")


@pytest.fixture
def terminal(tmp_path: Path, book: str) -> Iterator[Terminal]:
    """The program in a terminal."""
    yield from opened(tmp_path, book)


@in_tmux
def test_no_color_sends_no_code_of_a_colour_from_any_place(without_colour: Terminal) -> None:
    for place, (key, words) in KEYS.items():
        without_colour.press(key)
        without_colour.until_words(words, place)
        drawn = without_colour.screen("-e")
        assert "\x1b[" in drawn, "bold and reverse are there"
        assert _COLOUR.findall(drawn) == [], place


@in_tmux
@pytest.mark.soak
def test_a_program_suspended_and_continued_in_another_window_size_is_drawn_whole(
    terminal: Terminal, book: str
) -> None:
    terminal.press("b")
    terminal.until(lambda _: logged(book) == 1, "a pitch")
    terminal.press("C-z")
    terminal.until(lambda shown: "Stopped" in shown, "the shell")
    terminal.do("resize-window", "-x", "120", "-y", "40")
    terminal.do("send-keys", "-l", "fg")
    terminal.press("Enter")
    shown = terminal.until(lambda s: "signs:" in s and "F1 Help" in s, "the dugout again")
    lines = shown.splitlines()
    foot = next(at for at, line in enumerate(lines) if "F1 Help" in line)
    assert foot == 39, shown
    terminal.press("f")
    terminal.until(lambda _: logged(book) == 2, "the second pitch")


def test_colours_codes_are_told_from_other_codes() -> None:
    assert _COLOUR.search("\x1b[1;38;2;1;2;3m") and _COLOUR.search("\x1b[97m")
    assert not _COLOUR.search("\x1b[1;4;7m\x1b[0m\x1b[27m\x1b[39m\x1b[49m")
