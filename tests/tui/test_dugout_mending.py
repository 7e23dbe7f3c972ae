"""The dugout, after the fact and between innings: whatever was logged can be put right by keys."""

import pytest

from sequencer.live.session import Session
from sequencer.records.keymaps import Kind
from sequencer.records.pitch import Pitch
from sequencer.records.said_tonight import official_count, said_there
from sequencer.records.state import State
from sequencer.records.store import open_book
from tests.tui.driving import Driven, opened
from tests.tui.test_dugout import logged, typed
from tui.screens.next_three import NextThreeScreen


def state_of(book: str) -> State:
    with open_book(book) as opened_book:
        found = opened_book.find_game("tonight")
        assert found is not None
        return Session(opened_book, found).state


async def pitches(driven: Driven, book: str, number: int) -> list[Pitch]:
    await driven.until(lambda: len(logged(book)) == number, f"{number} pitches")
    return logged(book)


async def test_a_strip_says_where_runners_went_and_three_keys_put_one_right(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "yy")
        await driven.until_text("Runners: Marin to 2nd, Okoye to 1st. Next pitch accepts")
        await typed(driven, "M13")
        await driven.until_text("Runners: Marin to 3rd, Okoye to 1st.")
        await typed(driven, "M10")
        await driven.until_text("Runners: Marin out, Okoye to 1st.")
        assert driven.screen._view.outs == 1
        await typed(driven, "<<b")
        await pitches(driven, two_clubs, 3)
        await driven.until(lambda: "Runners:" not in driven.text())
        assert driven.screen._view.bases == ("Okoye", "Marin", "")


async def test_a_way_nobody_can_have_gone_is_refused_in_a_sentence(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "M13")
        await driven.until_text("Not done: There is no pitch 0")
        await typed(driven, "yM31")
        await driven.until_text("Not done:")
        assert logged(two_clubs)[0].moves == ""


async def test_arrows_mark_a_pitch_that_can_be_added_to_and_corrected(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bf")
        await driven.press("up", "up")
        await driven.until_text("Pitch 1: + adds to it")
        assert "▸ 1 0-0 Marin: Pitch, ball" in driven.text()
        await typed(driven, "+4")
        await driven.until_text("Changeup, ball")
        await typed(driven, "+Y1")
        await driven.until_text("tell: arm slows")
        assert [p.tells for p in logged(two_clubs)] == [("arm slows",), ()]
        await driven.press("enter")
        await driven.until(lambda: driven.screen._line.display)
        await driven.until(lambda: driven.screen._line.cursor_position == len("correct 1 "))
        await driven.press(*"result=foul", "enter")
        await driven.until(lambda: logged(two_clubs)[0].result == "foul")
        await driven.press("down", "down")
        await driven.until(lambda: driven.screen._marked == 0)


async def test_a_pitch_logged_twice_is_taken_out_and_undo_brings_it_back(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bbl")
        await driven.press("delete")
        await driven.press("up", "up", "delete")
        await driven.until_text("Pitch 2 is taken out; < brings it back.")
        assert [p.result for p in logged(two_clubs)] == ["ball", "called strike"]
        assert (driven.screen._view.balls, driven.screen._view.strikes) == (1, 1)
        await typed(driven, "<")
        await pitches(driven, two_clubs, 3)


async def test_an_earlier_event_is_taken_out_or_corrected_by_keys_like_a_pitch(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "yRSRSb")
        await driven.press("up", "up", "up")
        await driven.until_text("▸   Marin steals second")
        await driven.until_text("Enter corrects it in a line, Del removes it.")
        await typed(driven, "+4")
        await driven.until_text("only a pitch can be added to")
        await driven.press("delete")
        await driven.until_text("Not done: Then a later entry could not have happened")
        await driven.press("up", "up")
        await driven.until_text("▸   Marin steals third")
        await driven.press("enter")
        await driven.until(lambda: driven.screen._line.display)
        assert driven.screen._line.value == "replace 1 steal 2 with runner 2-3 steal"
        driven.screen._line.value = "replace 1 steal 2 with runner 2-out caught stealing"
        await driven.press("enter")
        await driven.until_text("caught stealing")
        assert driven.screen._view.outs == 1
        await driven.press("delete")
        await driven.until_text("The caught stealing is taken out; < brings it back.")
        assert driven.screen._view.bases == ("", "Marin", "")
        await typed(driven, "<")
        await driven.until(lambda: driven.screen._view.outs == 1)


async def test_a_missed_pitch_goes_in_before_the_marked_one_and_the_rest_follows(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "fbl")
        await driven.press("up", "up", "up")
        await typed(driven, "J")
        await driven.until_text("before 1 >")
        await typed(driven, "2cb")
        first, *_ = await pitches(driven, two_clubs, 4)
        assert (first.pitch, first.cell, first.result) == ("curveball", "down-right", "ball")
        assert (driven.screen._view.balls, driven.screen._view.strikes) == (2, 2)
        await typed(driven, "b")
        assert (await pitches(driven, two_clubs, 5))[-1].result == "ball"


async def test_without_a_mark_a_missed_pitch_goes_in_before_the_last_and_esc_leaves_it(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "J")
        await driven.until_text("no pitch is logged yet")
        await typed(driven, "fbJ")
        await driven.press("escape")
        await typed(driven, "h")
        assert [p.result for p in await pitches(driven, two_clubs, 3)][-1] == "hit by pitch"
        await typed(driven, "fJl")
        results = [p.result for p in await pitches(driven, two_clubs, 5)]
        assert results[3:] == ["called strike", "foul"]


async def test_an_insertion_that_cannot_be_is_refused_and_what_was_typed_stays(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bJ1ag")
        await driven.until_text("Not logged: A double play needs a runner")
        assert "before 1 > Fastball" in driven.text()
        assert len(logged(two_clubs)) == 1


async def test_the_official_count_stands_beside_ours_and_goes_on_with_it(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bbB12")
        await driven.press("enter")
        await driven.until_text("Pitches: 12 of 105 (ours 2)")
        await typed(driven, "f")
        await driven.until_text("Pitches: 13 of 105 (ours 3)")
        await typed(driven, "B103b")
        await driven.until_text("1 pitch to the day's")
        assert official_count(state_of(two_clubs), "vela") == 104


async def test_what_is_not_there_in_the_warm_up_takes_two_keys_and_two_bring_it_back(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "L2")
        await driven.until_text("The curveball is not there today")
        await typed(driven, "L2")
        await driven.until_text("The curveball is there today")
        assert said_there(state_of(two_clubs), "vela") == {"curveball": True}
        await typed(driven, "L1")
        await driven.until_text("Not done: The fastball is never left out")


async def test_a_tell_takes_two_keys_before_the_pitch_and_the_list_is_shown(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "Y")
        await driven.until_text("1 arm slows  2 body slows")
        await typed(driven, "1K2b")
        (pitch,) = await pitches(driven, two_clubs, 1)
        assert (pitch.tells, pitch.tells_watched) == (("arm slows",), ("body slows",))


async def test_the_next_three_and_their_at_bats_are_a_key_away_and_swallow_no_pitch(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        for _ in range(9):
            await typed(driven, "1sf4xo")
        await pitches(driven, two_clubs, 18)
        await typed(driven, "V")
        await driven.until(lambda: isinstance(driven.screen, NextThreeScreen))
        await driven.until_text("fastball middle foul, changeup down-middle = out")
        for name in ("#7 Marin (R)", "#12 Okoye (L)", "#3 Brandt (R)"):
            assert name in driven.text()
        await typed(driven, "f")
        await pitches(driven, two_clubs, 19)
        await typed(driven, "V")
        await driven.until(lambda: isinstance(driven.screen, NextThreeScreen))
        await typed(driven, "V")
        await driven.until_place("dugout")


async def test_hidden_advice_stays_hidden_when_the_app_starts_again(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await typed(driven, "O")
        await driven.until_text("Score only")
    async with opened(with_advice, game="tonight") as again:
        await again.until_text("Score only")
        await typed(again, "O")
        await again.until_text("Next call")
    async with opened(with_advice, game="tonight") as once_more:
        await once_more.until_text("Next call")


async def line(driven: Driven, words: str) -> None:
    await typed(driven, ":")
    await driven.until(lambda: driven.screen._line.display)
    driven.screen._line.value = words
    await driven.press("enter")


async def test_lines_of_the_screen_do_what_its_keys_do(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await line(driven, "advice off")
        await driven.until_text("Score only")
        await line(driven, "advice on")
        await driven.until_text("N draws one")
        await line(driven, "call")
        await driven.until(lambda: driven.screen.draft.shown, "a call")
        await line(driven, "pitches 40")
        await driven.until_text("Pitches: 40 of 105 (ours 0)")
        await line(driven, "next three")
        await driven.until(lambda: isinstance(driven.screen, NextThreeScreen))


@pytest.mark.parametrize("keymap", ["left-handed", "qwertz", "azerty"])
async def test_every_map_can_mend_as_the_right_handed_does(two_clubs: str, keymap: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        driven.app._keep(keymap=keymap)
        keys = driven.app.keymap

        async def press(*acts: tuple[Kind, str]) -> None:
            for kind, value in acts:
                await driven.screen.take_key(keys.key(kind, value))

        await press(("result", "single"), ("result", "single"))
        await press(("prefix", "move"), ("sign", "1"), ("sign", "3"))
        await press(("prefix", "pitch count"), ("sign", "7"), ("result", "ball"))
        await press(("prefix", "tell"), ("sign", "2"), ("result", "foul"))
        await press(("prefix", "there"), ("sign", "4"))
        await press(("command", "insert"), ("result", "called strike"))
        kept = await pitches(driven, two_clubs, 5)
        assert [p.result for p in kept[2:]] == ["ball", "called strike", "foul"]
        assert (kept[1].moves, kept[4].tells) == ("1-3", ("body slows",))
        assert said_there(state_of(two_clubs), "vela") == {"changeup": False}
