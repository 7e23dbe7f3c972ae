"""What holds for every place, one contract over the whole list."""

import re
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from rich.style import Style
from textual.widgets import Input

from sequencer.baseball.tells import list_of_tells
from sequencer.cli.open_tui import open_tui
from sequencer.errors import CoachError
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED
from tests.tui.driving import opened, same_as_golden
from tests.tui.monkey import send, taken
from tui import keys, settings
from tui.app import SequencerApp
from tui.help_page import page, place_block
from tui.screens import PLACES
from tui.screens.choose import HelpScreen
from tui.screens.place import PlaceScreen
from tui.themes import NIGHT, THEMES
from tui.widgets.key_line import key_line

NAMES = [place.name for place in PLACES]


async def test_every_place_opens_on_an_empty_book_and_says_what_to_do(
    empty_book: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(Path(empty_book).parent)
    async with opened("book.db") as driven:
        same_as_golden("games_empty", await driven.settled())
        for key, place in (("f2", "scouting"), ("f3", "plan"), ("f4", "dugout"), ("f5", "review")):
            await driven.press(key)
            await driven.until_place(place)
            await driven.until(lambda: driven.screen.query_one("#say").render())
            same_as_golden(f"{place}_empty", await driven.settled())


@pytest.mark.parametrize("name", NAMES)
def test_every_place_has_a_page_of_help_with_all_its_keys(name: str) -> None:
    words = page(name, RIGHT_HANDED)
    assert words.startswith("# ")
    for key in (*keys.keys_of(name), *keys.keys_of(keys.EVERYWHERE)):
        assert re.search(rf"^{re.escape(key.shown)} +{re.escape(key.says)}", words, re.MULTILINE)


@pytest.mark.parametrize("keymap", KEYMAPS.values(), ids=list(KEYMAPS))
def test_help_of_the_dugout_shows_every_key_of_the_map_in_use(keymap: object) -> None:
    assert isinstance(keymap, type(RIGHT_HANDED))
    words = page("dugout", keymap)
    block = place_block(keymap)
    for key, act in keymap.acts.items():
        if act.kind == "place":
            assert f"{key} " in block
        else:
            assert re.search(rf"(^| ){re.escape(key)} +{re.escape(act.says)}", words, re.MULTILINE)


def test_the_place_block_lies_as_the_catcher_sees_the_plate() -> None:
    assert place_block(RIGHT_HANDED).splitlines()[1:-1] == [
        "Q       W       E   above",
        "    q   w   e       up",
        "A   a   s   d   D   belt",
        "    z   x   c       down",
        "Z       X       C   below",
    ]


@pytest.mark.parametrize("place", PLACES, ids=NAMES)
def test_every_place_is_a_screen_whose_keys_do_something(place: object) -> None:
    assert isinstance(place, type(PLACES[0]))
    screen = place.make()
    assert isinstance(screen, PlaceScreen)
    assert place.name == screen.PLACE
    for key in keys.keys_of(place.name):
        assert hasattr(screen, "action_" + key.action.split("(")[0]), key


def test_keys_that_work_everywhere_do_something() -> None:
    for key in keys.keys_of(keys.EVERYWHERE):
        assert hasattr(SequencerApp, "action_" + key.action.split("(")[0]), key


@pytest.mark.parametrize("name", NAMES)
def test_no_key_means_two_things_in_one_place(name: str) -> None:
    table = (*keys.keys_of(name), *keys.keys_of(keys.EVERYWHERE))
    named = [key for line in table for key in line.keys.split(",")]
    assert len(named) == len(set(named))


def test_keys_everywhere_leave_the_dugout_its_keys() -> None:
    typed = {"question_mark": "?"}
    for line in keys.keys_of(keys.EVERYWHERE):
        for key in line.keys.split(","):
            for keymap in KEYMAPS.values():
                assert typed.get(key, key) not in keymap.acts


def test_terminals_and_multiplexers_keep_their_own_keys() -> None:
    theirs = {f"ctrl+{letter}" for letter in "abczmijhs"}
    for line in keys.KEYS:
        assert not theirs & set(line.keys.split(","))


def test_the_footer_is_made_of_the_table_and_fits_eighty_columns() -> None:
    from textual.content import Content

    words = Content.from_markup(key_line()).plain
    assert len(words) <= 78
    for key in keys.keys_of(keys.EVERYWHERE):
        assert not key.short or f"{keys.first_key(key)} {key.short}" in words


def test_help_of_the_dugout_lists_the_tells_that_can_be_noted() -> None:
    shown = page("dugout", RIGHT_HANDED)
    assert all(f"- {line}" in shown for line in list_of_tells())
    assert "correct 12 tells=arm slows; time to plate=1.42" in shown


async def test_help_opens_and_closes_with_the_same_key(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await driven.press("question_mark")
        await driven.until(lambda: isinstance(driven.screen, HelpScreen))
        await driven.press("f1")
        await driven.until(lambda: not isinstance(driven.screen, HelpScreen))


async def test_a_form_filled_in_as_fast_as_keys_can_come_has_each_word_in_its_line(
    empty_book: str,
) -> None:
    async with opened(empty_book, place="games") as driven:
        await driven.press("n")
        await driven.until(lambda: len(driven.screen.query("#pitcher")) == 1, "the whole form")
        for key in (*"opener", "tab", "tab", *"Kites", "tab", *"Owls", "shift+tab", *"2"):
            send(driven.app, key)
        await taken(driven.app)
        lines = {line.id: line.value for line in driven.screen.query(Input)}
        assert (lines["game"], lines["them"]) == ("opener", "Owls")
        assert lines["us"] in ("2", "Kites2")


async def test_a_question_mark_can_be_typed_into_a_line(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await driven.press("colon", "question_mark")
        assert driven.screen.query_one("#line", Input).value == "?"


async def test_the_palette_lists_the_table_and_the_maps(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        named = {command.title for command in driven.app.get_system_commands(driven.screen)}
    assert {key.says for key in keys.keys_of(keys.EVERYWHERE)} - named == {
        "palette: any command, player or game"
    }
    assert {f"theme: {theme.name}" for theme in THEMES} <= named
    assert {f"dugout keys: {name}" for name in KEYMAPS} <= named


async def test_themes_go_round_and_are_kept(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        seen = []
        for _ in THEMES:
            await driven.press("ctrl+t")
            seen.append(driven.app.theme)
        assert set(seen) == {theme.name for theme in THEMES}
        await driven.press("ctrl+t")
        assert settings.load().theme == driven.app.theme != NIGHT.name


async def test_nothing_needs_colour(two_clubs: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(two_clubs, game="tonight") as driven:
        await driven.press("4", "c", "y")
        await driven.until_text("◆")
        strips = driven.screen._compositor.render_strips()
        styles = [segment.style for strip in strips for segment in strip if segment.style]
        assert all(_grey(style) for style in styles)


def _grey(style: Style) -> bool:
    colours = [c.triplet for c in (style.color, style.bgcolor) if c and c.triplet]
    return all(len(set(colour)) == 1 for colour in colours)


def test_the_first_screen_is_painted_before_heavy_libraries_are_imported() -> None:
    heavy = "numpy pandas scipy sklearn sqlalchemy pydantic click"
    code = f"import tui.app, sys; print([m for m in '{heavy}'.split() if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


async def test_a_book_that_cannot_be_opened_ends_the_program_with_the_sentence(
    tmp_path: Path,
) -> None:
    app = SequencerApp(str(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        while app.return_value is None and app.is_running:
            await pilot.pause(0.02)
    assert "is a folder: name a file for the book" in str(app.return_value)


def test_there_is_one_sentence_where_there_is_no_terminal(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO())
    with pytest.raises(CoachError, match="no terminal here"):
        open_tui(two_clubs)


async def test_the_footer_can_be_clicked(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        at = driven.text().splitlines()[-1].index("Games")
        await driven.pilot.click(offset=(at, 23))
        await driven.until_place("games")


def test_settings_that_cannot_be_read_are_the_usual_ones(tmp_path: Path) -> None:
    file = tmp_path / "broken.json"
    assert settings.load(file) == settings.Settings()
    file.write_text("{]", encoding="utf-8")
    assert settings.load(file) == settings.Settings()
    file.write_text('{"theme": "pink", "keymap": "left-handed", "moved": {"b": "^"}}')
    kept = settings.load(file)
    assert kept == settings.Settings(keymap="left-handed", moved=(("b", "^"),))
    assert settings.keymap_of(kept).acts["^"].value == "ball"
    settings.save(kept, file)
    assert settings.load(file) == kept


def test_a_key_moved_onto_another_changes_places_with_it() -> None:
    clash = settings.Settings(moved=(("b", "m"), ("f", "b"), ("?!", "x"), ("l", "m")))
    acts = settings.keymap_of(clash).acts
    assert (acts["m"].value, acts["b"].value, acts["f"].value) == (
        "ball",
        "foul",
        "swinging strike",
    )
    assert acts["l"] == RIGHT_HANDED.acts["l"]
    assert {*acts} == {*RIGHT_HANDED.acts}
