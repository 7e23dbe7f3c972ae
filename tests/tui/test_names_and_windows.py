"""Names of any script, pasted text and windows of any size: nothing breaks, nothing is logged."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from textual import events
from textual.color import Color
from textual.widgets import Input, OptionList

from sequencer.records.people import Person
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.cells import Harmless, cut, harmless
from tui.widgets.entry_line import pasted

#: Invented, as everyone here: long, combining marks, Hebrew, Arabic, Chinese, Thai, an owl,
#: wide letters, and names that would move the cursor, ring or turn the line.
NAMES = (
    "Wilhelmina Bartholomea Quistenfeather-Oduya of the Upper Meadow",
    "Zo\u0308e\u0301 N\u0303i\u0304sh\u0323a\u0301r",
    "\u05d3\u05e0\u05d4 \u05dc\u05d5\u05d9\u05df-\u05e9\u05de\u05d9\u05e8",
    "\u0633\u0644\u0645\u0649 \u0627\u0644\u0646\u0648\u0631\u064a",
    "\u9673\u5c0f\u660e\u5927\u6cb3\u6e05\u98a8\u660e\u6708\u5c71\u9ad8\u6c34\u9577",
    "\u0e2a\u0e21\u0e0a\u0e32\u0e22 \u0e14\u0e35\u0e21\u0e32\u0e01",
    "Kit \U0001f989 Vane",
    "\uff2b\uff49\uff54\uff41 \uff37\uff49\uff44\uff45",
    "Bell\x07 \x1b[2J\x1b[31mEscape\u202eTurned\r\nLine",
)


@pytest.fixture
def many_scripts(tmp_path: Path) -> str:
    """Both clubs, the hitters under names of many scripts, and a game with a few pitches."""
    path = clubs.book_at(tmp_path / "book.db")
    with open_book(path) as book:
        for person, name in zip(clubs.OWLS, NAMES, strict=True):
            book.change_person(person.id, name=name)
        clubs.game(book, "tonight", clubs.DAY)
    return path


def quick(book: str, folder: Path, place: str) -> str:
    """Return an empty book for a place that works something out of any other."""
    return str(folder / "empty.db") if place in ("plan", "review") else book


def cells(driven: Driven, y: int) -> list[str]:
    """Return what is in each cell of a row; the second cell of a wide character is empty."""
    row: list[str] = []
    for segment in driven.screen._compositor.render_strips()[y]:
        for letter in segment.text:
            width = cell_len(letter)
            if width:
                row += [letter, *[""] * (width - 1)]
    return row


def holds_together(driven: Driven) -> None:
    """Every row is as wide as the screen, and nothing in it would move the cursor."""
    for y in range(driven.screen.size.height):
        assert len(cells(driven, y)) == driven.screen.size.width, y
    assert not [c for c in driven.text() if c != "\n" and harmless(c) != c]


@pytest.mark.soak
@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_names_of_any_script_leave_every_place_in_its_columns(
    many_scripts: str, size: tuple[int, int]
) -> None:
    async with opened(many_scripts, size, game="tonight") as driven:
        for _ in range(12):
            await driven.press("1", "s", "m", "1", "x", "1")
        holds_together(driven)
        assert "\x1b" not in driven.text()
        for key, place in (("f2", "scouting"), ("f3", "plan")):
            await driven.press(key)
            await driven.until_place(place)
            await driven.until(lambda: driven.screen.query_one(OptionList).option_count)
            await driven.settled()
            holds_together(driven)
            listed = driven.screen.query_one("#hitters").region
            border = {cells(driven, y)[listed.right - 1] for y in range(listed.y, listed.bottom)}
            assert len(border) == 1, border
        assert "陳小明" in driven.text() and "דנה" in driven.text()
        for key, place in (("f5", "review"), ("f7", "bullpen"), ("f6", "games")):
            await driven.press(key)
            await driven.until_place(place)
            await driven.settled()
            holds_together(driven)


@given(st.text(max_size=40), st.integers(1, 30))
def test_what_is_cut_fits_its_cells_and_what_fits_is_left_alone(words: str, room: int) -> None:
    short = cut(words, room)
    assert cell_len(short) <= room
    assert short == words or (short.endswith("…") and cell_len(words) > room)


def test_wide_characters_are_cut_by_cells_and_marks_stay_on_their_letters() -> None:
    assert cut("陳小明大河", 6) == "陳小…"
    assert cut("e\u0301e\u0301e\u0301e\u0301", 3) == "e\u0301e\u0301…"


@given(st.text())
def test_what_is_drawn_neither_moves_the_cursor_nor_loses_a_letter(words: str) -> None:
    (drawn,) = Harmless().apply([Segment(words)], Color(0, 0, 0))
    assert not set(drawn.text) & {"\x1b", "\x07", "\r", "\n", "\u202e", "\u2066"}
    assert cell_len(drawn.text) == cell_len(words)
    assert [c for c in words if c.isprintable()] == [c for c in drawn.text if c.isprintable()]


async def test_a_hitter_of_another_script_is_added_by_a_form(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until_text("hits right")
        await driven.press("a")
        await driven.until(lambda: driven.screen.query("#name"))
        driven.screen.query_one("#name", Input).value = NAMES[2]
        await driven.press("enter")
        await driven.until_text(NAMES[2])
    with open_book(two_clubs) as book:
        assert NAMES[2] in [person.name for person in book.people("Owls")]


# pasted text


async def paste(driven: Driven, text: str) -> None:
    driven.app.post_message(events.Paste(text))
    await driven.pilot.pause()


def logged(book: str) -> int:
    with open_book(book) as one:
        return sum(row.pitch is not None for row in one.rows("tonight"))


async def test_thirty_pasted_pitches_are_refused_in_a_sentence(two_clubs: str) -> None:
    lines = "fastball, belt-middle, ball\n" * 30
    async with opened(two_clubs, game="tonight") as driven:
        await paste(driven, lines)
        await driven.until_text("30 lines were pasted and none was logged")
        await driven.press("colon")
        await driven.until(lambda: driven.screen.query_one("#line", Input).has_focus)
        await paste(driven, lines)
        await driven.until_text("30 lines were pasted and none was logged")
        assert driven.screen.query_one("#line", Input).value == ""
    assert logged(two_clubs) == 0


async def test_one_pasted_pitch_waits_for_enter(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await paste(driven, "fastball, belt-middle, ball\n")
        await driven.until(lambda: driven.screen.query_one("#line", Input).has_focus)
        assert logged(two_clubs) == 0
        await driven.press("enter")
        await driven.until(lambda: driven.screen._view.balls == 1)
    assert logged(two_clubs) == 1


@pytest.mark.parametrize("place", ["games", "scouting", "plan", "review"])
async def test_a_paste_where_nothing_is_typed_does_nothing(
    two_clubs: str, tmp_path: Path, place: str
) -> None:
    async with opened(quick(two_clubs, tmp_path, place), place=place) as driven:
        before = await driven.settled()
        await paste(driven, "0123nrdaemt\nq")
        assert await driven.settled() == before


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", "", "Nothing"),
        (" \n\n", "", "Nothing"),
        ("\n a \n", "a", ""),
        ("a\r\nb", "", "2 lines"),
    ],
)
def test_a_paste_is_one_line_or_a_sentence(text: str, line: str, said: str) -> None:
    assert pasted(text)[0] == line
    assert pasted(text)[1].startswith(said) or said in pasted(text)[1]


# windows


@pytest.mark.parametrize("size", [(60, 20), (79, 24), (80, 23), (20, 5)])
@pytest.mark.parametrize("place", ["games", "scouting", "plan", "dugout", "review"])
async def test_a_window_that_is_too_small_shows_a_sentence(
    two_clubs: str, tmp_path: Path, place: str, size: tuple[int, int]
) -> None:
    game = "tonight" if place == "dugout" else None
    async with opened(quick(two_clubs, tmp_path, place), game=game, place=place) as driven:
        whole = await driven.settled()
        await driven.pilot.resize_terminal(*size)
        said = " ".join((await driven.settled()).split())
        if size[0] > 20:
            assert f"This window has {size[0]} columns and {size[1]} rows; 80 by 24" in said
            assert "│" not in said and "└" not in said
        await driven.pilot.resize_terminal(80, 24)
        assert await driven.settled() == whole


@pytest.mark.parametrize("place", ["scouting", "plan", "review", "bullpen", "dugout"])
async def test_a_place_behind_the_palette_is_laid_out_anew_when_the_window_changes(
    two_clubs: str, place: str
) -> None:
    async with opened(two_clubs, (200, 60), game="tonight", place=place) as driven:
        await driven.settled()
        wide = driven.screen.query_one("#hint").region
    async with opened(two_clubs, game="tonight", place=place) as driven:
        await driven.settled()
        behind = driven.screen
        await driven.press("ctrl+p")
        await driven.until(lambda: driven.screen is not behind)
        await driven.pilot.resize_terminal(200, 60)
        await driven.until(lambda: behind.query_one("#hint").region == wide)


async def test_keys_are_logged_while_the_window_is_too_small(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await driven.pilot.resize_terminal(60, 20)
        await driven.press("1", "s", "b")
        await driven.pilot.resize_terminal(80, 24)
        await driven.until(lambda: driven.screen._view.balls == 1)
    assert logged(two_clubs) == 1


def test_a_person_may_be_called_anything() -> None:
    for name in NAMES:
        assert Person(id="x", team="Owls", name=name).label
