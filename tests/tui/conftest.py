"""Books and settings of their own for the tests of the terminal UI."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.tui import clubs
from tui.one_thread import Stopped
from tui.thinking import Thinker

if TYPE_CHECKING:
    from sys import UnraisableHookArgs


@pytest.fixture(scope="session", autouse=True)
def stops_in_callbacks() -> Iterator[None]:
    """Let a stop that lands in a callback pass: Python ignores it there, and it is tried again."""
    told = sys.unraisablehook

    def all_but_stops(raised: "UnraisableHookArgs") -> None:
        if raised.exc_type is not Stopped:
            told(raised)

    sys.unraisablehook = all_but_stops
    yield
    sys.unraisablehook = told


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep settings of a test in its own folder."""
    file = tmp_path / "screen.json"
    monkeypatch.setattr("tui.settings.settings_file", lambda: file)
    return file


@pytest.fixture(autouse=True)
def thinking_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Compute on threads: a process for every test would cost a second each."""
    monkeypatch.setattr("tui.book_app.new_thinker", lambda book, _: Thinker(book))


@pytest.fixture
def empty_book(tmp_path: Path) -> str:
    """A book that is not there yet."""
    return str(tmp_path / "book.db")


@pytest.fixture
def two_clubs(tmp_path: Path) -> str:
    """Both clubs and a game to log, score only until someone asks for advice."""
    return clubs.book_at(tmp_path / "book.db", tonight="ask")


@pytest.fixture
def with_advice(tmp_path: Path) -> str:
    """Both clubs and a game to log, with advice on the screen."""
    return clubs.book_at(tmp_path / "book.db", tonight="allowed")


@pytest.fixture
def a_season(tmp_path: Path) -> str:
    """Both clubs and two games with a habit in them."""
    return clubs.book_at(tmp_path / "book.db", games=2)
