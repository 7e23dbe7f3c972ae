"""The tour: six steps on demo data, one key on, one key off, every key working meanwhile."""

import pytest

from sequencer.errors import BadInput
from sequencer.records.keymaps import KEYMAPS
from sequencer.records.store import open_book
from tests.tui.driving import Driven, opened
from tui import keys
from tui.screens import PLACES
from tui.screens.choose import HelpScreen
from tui.thinking import Thinker
from tui.tour import STEPS, step_words


def _not_now(*_: object) -> None:
    raise BadInput("What takes long is left out of this test.")


async def toured(driven: Driven) -> str:
    await driven.until_text("Tour 1 of")
    return driven.app.book


def test_steps_are_few_and_visit_every_place_a_coach_needs_first() -> None:
    assert len(STEPS) <= 6
    assert {step.place for step in STEPS} <= {place.name for place in PLACES}
    assert {"scouting", "plan", "dugout", "review"} <= {step.place for step in STEPS}


@pytest.mark.parametrize("keymap", KEYMAPS.values(), ids=list(KEYMAPS))
def test_steps_name_the_keys_of_the_map_in_use_and_fit_the_strip(keymap: object) -> None:
    assert isinstance(keymap, type(KEYMAPS["right-handed"]))
    for at in range(len(STEPS)):
        assert len(step_words(at, keymap)) < 4 * 76
    dugout = next(at for at, step in enumerate(STEPS) if step.place == "dugout")
    assert f"{keymap.key('result', 'ball')} what it was" in step_words(dugout, keymap)
    assert {"f8,ctrl+e", "f9,ctrl+y"} <= {key.keys for key in keys.keys_of(keys.EVERYWHERE)}


async def test_a_tour_goes_through_the_places_and_ends_in_the_book_it_began_in(
    empty_book: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Thinker, "review", _not_now)
    monkeypatch.setattr(Thinker, "plan", _not_now)
    async with opened(empty_book) as driven:
        await driven.press("t")
        assert await toured(driven) != empty_book
        for at, step in enumerate(STEPS[1:], 2):
            await driven.press("f8")
            await driven.until_place(step.place)
            await driven.until_text(f"Tour {at} of {len(STEPS)}")
        await driven.press("f8")
        await driven.until(lambda: driven.app.book == empty_book, "his own book")
        await driven.until_text("This book is empty")
        assert "Tour" not in driven.text()


async def test_a_pitch_is_logged_during_the_tour_and_one_key_ends_it(two_clubs: str) -> None:
    async with opened(two_clubs) as driven:
        await driven.press("f1")
        await driven.until(lambda: isinstance(driven.screen, HelpScreen))
        await driven.press("t")
        await toured(driven)
        await driven.press("f4")
        await driven.until_place("dugout")
        await driven.until(lambda: driven.screen._view)
        entries = len(driven.screen._view.entries)
        await driven.press("1", "s", "b")
        await driven.until(lambda: len(driven.screen._view.entries) > entries, "a pitch")
        await driven.press("f9")
        await driven.until(lambda: driven.app.book == two_clubs, "his own book")
        await driven.until_text("Herons at home to Owls")
    with open_book(two_clubs) as book:
        assert not [row for row in book.rows("tonight") if row.pitch]


async def test_no_tour_on_is_said(two_clubs: str) -> None:
    async with opened(two_clubs) as driven:
        await driven.press("f8")
        await driven.until_text("No tour is on")
        await driven.press("f9")
        assert driven.app.book == two_clubs
