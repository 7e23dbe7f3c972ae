"""Random keys never end the program and never lose a pitch."""

import subprocess
import sys
from pathlib import Path

import pytest

from sequencer.records.store import open_book
from tests.tui import monkey
from tests.tui.driving import Driven, opened


@pytest.mark.parametrize("seed", [1, 2, 3])
async def test_random_keys_never_end_the_program_nor_lose_a_pitch(
    tmp_path: Path, seed: int
) -> None:
    heard = await monkey.run(tmp_path, 500, seed, advice="no")
    assert len(heard.saved) > 50 and heard.refused > 0


@pytest.mark.parametrize("hands", [False, pytest.param(True, marks=pytest.mark.soak)])
async def test_with_advice_on_and_hands_everywhere_nothing_ends_and_no_pitch_is_lost(
    tmp_path: Path, hands: bool
) -> None:
    heard = await monkey.run(tmp_path, 300, 4, "allowed", monkey.EVERYWHERE, hands=hands)
    assert heard.saved


def test_killed_in_the_midst_of_keys_every_pitch_said_to_be_saved_is_in_the_book(
    tmp_path: Path,
) -> None:
    """The monkey says each pitch aloud as it is shown; it is killed after some of them."""
    words = [sys.executable, "-m", "tests.tui.monkey", "2000", "5", "aloud", str(tmp_path)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as hands:
        assert hands.stdout is not None
        said = [hands.stdout.readline().split(" ", 1) for _ in range(12)]
        hands.kill()
        said += [line.split(" ", 1) for line in hands.stdout.read().splitlines(keepends=True)]
    told = [(game, result) for game, result in said if result.endswith("\n")]
    assert len(told) >= 12
    with open_book(str(tmp_path / "book.db")) as book:
        assert book.check() == []
        rows = [row.pitch.result for row in book.rows("tonight") if row.pitch is not None]
    assert monkey.in_order([result.strip() for game, result in told if game == "tonight"], rows)


async def press(driven: Driven, *keys: str) -> None:
    for key in keys:
        monkey.send(driven.app, key)
    await monkey.taken(driven.app)


async def test_a_key_pressed_twice_opens_a_place_once_and_closes_a_dialog_once(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await press(driven, "f2", "f2")
        await driven.until_place("scouting")
        await press(driven, "f4", "f4")
        await driven.until_place("dugout")
        for opens in ("P", "V", "f1"):
            await driven.press(opens)
            await driven.until(lambda: len(driven.app.screen_stack) == 2, "a dialog")
            await press(driven, "escape", "escape", "escape")
            await driven.until(lambda: len(driven.app.screen_stack) == 1, "no dialog")
        await driven.pilot.pause()


async def test_page_keys_in_a_list_that_is_not_there_yet_or_hidden_end_nothing(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await press(driven, "ctrl+p", "pageup", "pagedown", "z", "z", "pageup", "pagedown")
        await driven.until(lambda: len(driven.app.screen_stack) == 2, "the palette")
        await driven.press("escape")
        await press(driven, "P", "pageup", "pagedown", "escape")
        await driven.pilot.resize_terminal(20, 3)
        await press(driven, "f6", "pageup", "pagedown", "f2", "pageup", "tab", "pagedown")
        await driven.until_place("scouting")
        await driven.settled()


async def test_results_typed_over_a_dialog_are_all_logged(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        for opens in ("P", "V"):
            stamp = driven.screen._view.stamp
            await driven.press(opens)
            await driven.until(lambda: len(driven.app.screen_stack) == 2, "a dialog")
            await press(driven, "b", "l", "f")
            await driven.until(lambda: len(driven.app.screen_stack) == 1, "no dialog")
            await driven.until(lambda: driven.screen._view.stamp == stamp + 3, "three pitches")  # noqa: B023 - awaited here


async def test_keys_after_the_enter_of_a_line_are_pitches_and_none_before_it_is(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await press(driven, "b", ":", *"note windy", "enter", "l", "f", ":", *"coun", "backspace")
        await press(driven, *"nt 2-1", "enter", "f")
        view = driven.screen._view
        assert (view.balls, view.strikes) == (2, 2)
        assert any("windy" in entry for entry in view.entries)
        assert sum("Pitch," in entry for entry in view.entries) == 4


def test_pitches_that_are_not_in_the_book_in_their_order_are_told() -> None:
    assert monkey.in_order(["ball", "foul"], ["ball", "ball", "foul"])
    assert not monkey.in_order(["ball", "foul"], ["foul", "ball"])
    assert not monkey.in_order(["ball", "ball"], ["ball"])
