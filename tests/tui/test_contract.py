"""One contract over all places: every key works on an empty, a thin and a full book, at any size.

Screens kept as text are the same at every look, so they are taken where nothing is computed: an
empty book, and a thin one with the next call hidden.
"""

import datetime as dt
from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.records.keymaps import RIGHT_HANDED
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import opened, same_as_golden
from tui import keys
from tui.help_page import page
from tui.screens import PLACES
from tui.thinking import Thinker

NAMES = [place.name for place in PLACES]
SIZES = {"80x24": (80, 24), "120x40": (120, 40), "200x60": (200, 60)}
BOOKS = ("empty", "thin", "full")
#: Keys that end the program, leave it or lay out other data are pressed in tests of their own.
_ELSEWHERE = {"ctrl+q", "f9", "d", "t"}


def book_of(kind: str, folder: Path) -> str:
    """Return a book: nothing in it, two clubs and a game, or a season besides."""
    path = str(folder / "book.db")
    if kind != "empty":
        clubs.book_at(folder / "book.db", games=2 if kind == "full" else 0)
        with open_book(path) as book:
            clubs.game(book, "tonight", clubs.DAY)
    return path


@pytest.fixture(autouse=True)
def nothing_slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave plans and reviews out: what they say is tested where they are."""

    def not_now(*_: object) -> None:
        raise BadInput("What takes long is left out of this test.")

    for name in ("plan", "review", "traits", "advise", "advise_at_once"):
        monkeypatch.setattr(Thinker, name, not_now)


@pytest.mark.parametrize("place", NAMES)
def test_every_place_has_help_that_begins_with_its_name(place: str) -> None:
    title = next(known.title for known in PLACES if known.name == place)
    assert page(place, RIGHT_HANDED).startswith(f"# {title}")


@pytest.mark.parametrize("kind", BOOKS)
@pytest.mark.parametrize("place", NAMES)
async def test_every_key_of_a_place_can_be_pressed(
    place: str, kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    turn = NAMES.index(place) + BOOKS.index(kind)
    if turn % 2:
        monkeypatch.setenv("NO_COLOR", "1")
    size = list(SIZES.values())[turn % len(SIZES)]
    begin = "games" if kind == "empty" and place in ("dugout", "bullpen") else place
    game = None if kind == "empty" else "tonight"
    async with opened(book_of(kind, tmp_path), size, game=game, place=begin) as driven:
        everywhere = keys.keys_of(keys.EVERYWHERE) if place == "games" else ()
        await driven.app.action_place(place)
        for line in (*keys.keys_of(place), *everywhere):
            key = line.keys.split(",")[0]
            if key in _ELSEWHERE and place == "games":
                continue
            await driven.pilot.press(key)
            while len(driven.app.screen_stack) > 1:
                driven.app.pop_screen()
            if driven.app.current_mode != place:
                await driven.app.action_place(place)
            assert driven.app.is_running and driven.app._exception is None, line


@pytest.mark.parametrize("look", [*SIZES, "no_colour"])
@pytest.mark.parametrize("place", NAMES)
async def test_every_place_looks_as_it_was_looked_at(
    place: str, look: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class FirstOfMay(dt.date):
        @classmethod
        def today(cls) -> "FirstOfMay":
            return cls(2026, 5, 3)

    for module in ("tui.desk", "tui.bullpen_desk", "tui.desk_forms"):
        fixed = type("Day", (), {"date": FirstOfMay, "timedelta": dt.timedelta})
        if hasattr(__import__(module, fromlist=["dt"]), "dt"):
            monkeypatch.setattr(f"{module}.dt", fixed)
    if look == "no_colour":
        monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.chdir(tmp_path)
    book_of("thin", tmp_path)
    size = SIZES.get(look, (80, 24))
    async with opened("book.db", size, game="tonight", place=place) as driven:
        same_as_golden(f"contract_{place}_{look}", await driven.settled())
