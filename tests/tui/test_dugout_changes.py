"""Who comes in, visits and rare results take a key or two in the dugout, on every map."""

import pytest

from sequencer.records.event import Event
from sequencer.records.keymaps import KEYMAPS
from sequencer.records.store import open_book
from tests.tui.driving import Driven, opened
from tests.tui.test_dugout import logged, typed
from tests.tui.test_dugout_mending import state_of


def events(book: str) -> list[Event]:
    return [each.event for each in state_of(book).happened if each.event.event != "line-up"][1:]


async def pressed(driven: Driven, keys: str) -> None:
    await typed(driven, keys)
    await driven.press("enter")


@pytest.mark.parametrize("keymap", sorted(KEYMAPS))
async def test_interference_and_automatic_balls_and_strikes_are_one_key_on_every_map(
    two_clubs: str, keymap: str
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        driven.app._keep(keymap=keymap)
        for result in ("automatic ball", "automatic strike", "catcher's interference"):
            await driven.screen.take_key(driven.app.keymap.key("result", result))
        await driven.until(lambda: len(logged(two_clubs)) == 3)
        await driven.until_text("catcher's interference")
        assert driven.text().count("catcher's interference") == 1
    state = state_of(two_clubs)
    assert [p.result for p in logged(two_clubs)][2] == "catcher's interference"
    assert (state.bases[0], state.pitch_counts["vela"]) == ("owl7", 1)


async def test_a_number_hits_for_who_is_up_and_another_runs(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "S")
        await driven.until_text("a number hits for him  B one runs")
        await driven.until_text("V visit  A absent  S score  N note")
        await pressed(driven, "41")
        await driven.until_text("#41 in for Marin")
        await typed(driven, "y")
        await pressed(driven, "SB42")
        await driven.until_text("#42 in for #41")
        await typed(driven, "SB43b")
        await driven.until_text("#43 in for #42")
        assert [p.result for p in logged(two_clubs)] == ["in play", "ball"]
        await pressed(driven, "SBB44")
        await driven.until_text("Not done: There is no such runner")
        assert [e.event for e in events(two_clubs)] == ["substitution"] * 3


async def test_visits_catchers_absent_hitters_and_lines_begun_take_two_keys(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "SV")
        await driven.until_text("Visit to the mound")
        await typed(driven, "SA")
        await driven.until_text("Marin is absent")
        await driven.until(lambda: driven.screen._view.up_name == "Okoye")
        await typed(driven, "SS")
        await driven.until(lambda: driven.screen._line.value == "score ")
        await pressed(driven, "3 2")
        await driven.until(lambda: driven.screen._view.score_us == 3)
        await typed(driven, "SC")
        await driven.until_text("Who catches now?")
        await driven.press("enter")
        await driven.until(lambda: driven.screen.PLACE == "dugout", "the dugout")
        await driven.until_text("Ines Vela catches")
    assert [e.event for e in events(two_clubs)] == ["visit", "absent", "score", "catcher"]


async def test_an_event_missed_in_the_rush_goes_in_before_a_pitch_like_a_pitch(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "yblJ")
        await driven.until_text("the next entry goes in before pitch 3")
        await typed(driven, "RS")
        await driven.until_text("Put in before pitch 3.")
        assert driven.screen._view.bases == ("", "Marin", "")
        await typed(driven, "JSV")
        await driven.until_text("Put in before pitch 3.")
        await typed(driven, "JRRS")
        await driven.until_text("Not done: There is no runner behind the lead runner")
        await driven.press("escape")
        await typed(driven, "J#88f")
        await driven.until_text("Not logged: Okoye is up with the count 1-0")
        await driven.press("escape")
        await typed(driven, "Jf")
        await driven.until(lambda: len(logged(two_clubs)) == 4)
    happened = [(e.event.event, e.after_n) for e in state_of(two_clubs).happened[-2:]]
    assert happened == [("steal", 2), ("visit", 2)]


async def test_the_hand_a_pitcher_shows_takes_two_keys_and_stands_in_the_title(
    two_clubs: str,
) -> None:
    with open_book(two_clubs) as book:
        book.change_person("vela", throws="S")
    async with opened(two_clubs, game="tonight") as driven:
        await driven.until_text("Ines Vela (R) pitching")
        await typed(driven, "SLb")
        await driven.until_text("Ines Vela (L) pitching")
        await driven.until_text("Ines Vela throws left-handed")
        await typed(driven, "SR")
        await driven.until_text("Not done: Ines Vela showed his left hand and keeps it")
        await typed(driven, "o")
        await driven.until_text("Up: Okoye")
        await driven.until_text("Ines Vela (L) pitching")
    assert [logged.before.throws for logged in state_of(two_clubs).log] == ["L", "L"]
