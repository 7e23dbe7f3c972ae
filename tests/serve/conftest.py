"""A book with a game to log today, and settings of the test's own for every tablet's process."""

import datetime as dt
from pathlib import Path

import pytest

from sequencer.records.store import open_book
from tests.tui import clubs


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep what the processes remember in the test's own folder."""
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / "home"))


@pytest.fixture
def book(tmp_path: Path) -> str:
    """Both clubs and a game of today, which the dugout opens by itself."""
    path = clubs.book_at(tmp_path / "book.db")
    with open_book(path) as opened:
        clubs.game(opened, "tonight", dt.date.today())
    return path
