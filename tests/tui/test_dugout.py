"""The dugout: what is typed is saved before it is shown, and nothing typed is lost."""

import datetime as dt
import random
from dataclasses import replace

import pytest

from sequencer.errors import BookError
from sequencer.live.session import Session
from sequencer.records.entry import Shown
from sequencer.records.keymaps import RIGHT_HANDED
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import SIZES, Driven, opened, same_as_golden
from tui.screens.choose import ChooseScreen
from tui.views import AdviceView, WaysView

_NAMED = {" ": "space", "#": "number_sign", ":": "colon", "<": "less_than_sign"}


async def typed(driven: Driven, keys: str) -> None:
    await driven.press(*(_NAMED.get(key, key) for key in keys))


def logged(book: str, game: str = "tonight") -> list[Pitch]:
    with open_book(book) as opened_book:
        found = opened_book.find_game(game)
        assert found is not None
        return [each.pitch for each in Session(opened_book, found).state.log]


async def test_a_routine_pitch_takes_three_keys_and_is_on_disk_when_it_is_shown(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "4cm")
        await driven.until_text("Marin: Changeup down and away, swinging strike")
        (pitch,) = logged(two_clubs)
        assert (pitch.pitch, pitch.cell, pitch.result) == (
            "changeup",
            "down-right",
            "swinging strike",
        )


async def test_one_key_keeps_the_count_right(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bbl")
        await driven.until(lambda: len(logged(two_clubs)) == 3)
        view = driven.screen._view
        assert (view.balls, view.strikes) == (2, 1)


async def test_a_pitch_that_cannot_be_is_refused_and_what_was_typed_stays(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "1ag")
        await driven.until_text("Not logged: A double play needs a runner")
        assert "> Fastball belt high, in" in driven.text()
        await typed(driven, "o")
        await driven.until(lambda: logged(two_clubs))
        assert (logged(two_clubs)[0].pitch, logged(two_clubs)[0].cell) == ("fastball", "belt-left")


async def test_a_book_that_cannot_be_written_says_so_and_keeps_the_draft(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise BookError("The disk is full: make room and log the pitch again.")

    async with opened(two_clubs, game="tonight") as driven:
        add = Session.add
        monkeypatch.setattr(Session, "add", full)
        await typed(driven, "4cm")
        await driven.until_text("Not logged: The disk is full")
        monkeypatch.setattr(Session, "add", add)
        await typed(driven, "m")
        await driven.until_text("Changeup down and away, swinging strike")
        assert len(logged(two_clubs)) == 1


async def test_undo_and_redo_are_a_key_each(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "bf<")
        await driven.until(lambda: len(logged(two_clubs)) == 1)
        await driven.press("greater_than_sign")
        await driven.until(lambda: len(logged(two_clubs)) == 2)


async def test_the_newest_game_opens_at_the_same_pitch_after_a_kill(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        clubs.game(book, "today", dt.date.today())
    async with opened(two_clubs) as driven:
        await typed(driven, "bbfl")
        await driven.until(lambda: len(logged(two_clubs, "today")) == 4)
    async with opened(two_clubs) as again:
        view = again.screen._view
        assert again.app.current_mode == "dugout"
        assert (view.game_id, view.balls, view.strikes) == ("today", 2, 2)


async def test_a_game_of_another_day_that_was_being_logged_opens_again_too(
    two_clubs: str,
) -> None:
    with open_book(two_clubs) as book:
        clubs.game(book, "made-up", dt.date(2026, 4, 1))
        clubs.game(book, "today", dt.date.today())
    async with opened(two_clubs, game="made-up") as driven:
        await typed(driven, "bb")
        await driven.until(lambda: len(logged(two_clubs, "made-up")) == 2)
    async with opened(two_clubs) as again:
        view = again.screen._view
        assert (view.game_id, view.balls, view.strikes) == ("made-up", 2, 0)


async def test_runners_hitters_counts_and_halves_take_two_keys_or_so(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "yRS")
        await driven.until_text("Marin steals second")
        await typed(driven, "#44L")
        await driven.until_text("Up: number 44")
        assert driven.screen._view.bats == "L"
        await typed(driven, "U21")
        await driven.until_text("The umpire has 2-1")
        await typed(driven, "RK")
        await driven.until_text("Marin caught stealing")
        await typed(driven, "HH")
        await driven.until_text("Top 2")


async def test_a_command_half_typed_says_what_may_follow(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "R")
        await driven.until_text("S steals  K caught stealing  F picked off")
        await driven.press("escape", "number_sign")
        await driven.until_text("then his number and R or L: who is up")


async def test_a_half_typed_command_never_swallows_the_next_pitch(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "Hb")
        await driven.until_text("ending the half was not finished")
        assert len(logged(two_clubs)) == 1


async def test_a_result_typed_over_the_choice_of_a_pitcher_is_still_logged(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "P")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await typed(driven, "f")
        await driven.until(lambda: len(logged(two_clubs)) == 1)
        assert driven.app.current_mode == "dugout"


async def test_a_note_added_afterwards_corrects_the_last_pitch(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "f")
        await driven.press("plus", "c")
        await driven.until_text("Pitch down and away, foul")


async def test_a_line_takes_whatever_the_plain_log_takes(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await typed(driven, "b")
        await typed(driven, ":")
        await driven.press(*"correct", "space", *"9", "enter")
        await driven.until_text("Not done: say what to correct")
        await driven.press("escape")
        await typed(driven, ":")
        await driven.press(*"note", "space", *"windy", "enter")
        await driven.until_text("Note: windy")
        await typed(driven, "m")
        await driven.until(lambda: len(logged(two_clubs)) == 2)


async def a_mix(driven: Driven) -> AdviceView:
    """Wait for the mix of the next pitch."""
    await driven.until(lambda: driven.screen._advice and driven.screen._advice.calls, "a mix")
    advice: AdviceView = driven.screen._advice
    return advice


async def a_call(driven: Driven) -> Shown:
    """Ask for a call and wait for it."""
    await typed(driven, "N")
    await driven.until(lambda: driven.screen.draft.shown, "a call")
    shown: Shown = driven.screen.draft.shown
    return shown


async def test_a_call_is_drawn_when_asked_and_space_says_it_was_the_call(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await a_mix(driven)
        assert driven.screen.draft.shown is None
        shown = await a_call(driven)
        for word in shown.words.upper().rsplit(" ", 1):
            assert word in driven.text()
        await typed(driven, " b")
        await driven.until(lambda: logged(with_advice))
        (pitch,) = logged(with_advice)
        assert (pitch.called, pitch.target) == (shown.pitch, shown.target)
        assert (pitch.target_when, pitch.advice) == ("before", shown.words)
        assert driven.screen.draft.shown is None


async def test_a_call_that_was_only_shown_is_kept_as_advice_and_never_as_the_call_made(
    with_advice: str,
) -> None:
    async with opened(with_advice, game="tonight") as driven:
        shown = await a_call(driven)
        await typed(driven, "4cb")
        await driven.until(lambda: logged(with_advice))
        (pitch,) = logged(with_advice)
        assert (pitch.advice, pitch.called, pitch.target) == (shown.words, "", "")


async def test_a_pitch_without_a_call_drawn_has_no_advice(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await a_mix(driven)
        await typed(driven, "1sb")
        await driven.until(lambda: logged(with_advice))
        assert logged(with_advice)[0].advice == ""


async def test_a_pitch_typed_as_a_line_keeps_the_call_that_was_shown(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        shown = await a_call(driven)
        await typed(driven, ":")
        await driven.press(*(_NAMED.get(key, key) for key in "changeup"), "comma", "space")
        await driven.press(*"down", "minus", *"away", "comma", "space", *"foul", "enter")
        await driven.until(lambda: logged(with_advice))
        assert logged(with_advice)[0].advice == shown.words


async def test_the_call_once_drawn_stands_until_the_next_entry(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        shown = await a_call(driven)
        stamp = driven.screen._view.stamp
        driven.screen.advise(AdviceView(stamp, pitch="splitter", target="left", words="another"))
        assert driven.screen.draft.shown == shown
        assert "ANOTHER" not in driven.text()
        await typed(driven, "b")
        await driven.until(lambda: driven.screen._view.stamp > stamp)
        assert driven.screen.draft.shown is None


async def test_a_mix_that_does_not_know_the_last_pitch_says_so_and_draws_nothing(
    with_advice: str,
) -> None:
    async with opened(with_advice, game="tonight") as driven:
        now = await a_mix(driven)
        driven.screen.advise(replace(now, behind=1))
        await driven.until_text("N draws one; learning")
        await typed(driven, "N")
        assert driven.screen.draft.shown is None
        driven.screen.advise(now)
        await driven.until(lambda: driven.screen.draft.shown, "a call")


async def test_after_a_pitch_the_mix_is_there_at_once_and_then_learnt(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await a_mix(driven)
        given: list[AdviceView] = []
        advise = driven.screen.advise

        def heard(advice: AdviceView) -> None:
            given.append(advice)
            advise(advice)

        driven.screen.advise = heard
        await typed(driven, "1sb")
        await driven.until(lambda: given and not given[-1].behind, "advice that knows the pitch")
        assert [advice.behind for advice in given] == [1, 0]
        assert given[0].stamp == given[1].stamp == driven.screen._view.stamp


async def test_advice_for_an_older_pitch_is_dropped(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await a_mix(driven)
        old = driven.screen._view.stamp
        await typed(driven, "b")
        await driven.until(lambda: driven.screen._view.stamp > old)
        await typed(driven, "N")
        driven.screen.advise(AdviceView(old, pitch="knuckleball", target="left", words="stale"))
        assert "STALE" not in driven.text()
        assert driven.screen.draft.shown is None or driven.screen.draft.shown.words != "stale"


async def test_what_stands_beside_the_call_comes_after_it_and_goes_with_the_pitch(
    with_advice: str,
) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await driven.until_text("Walk +.")
        assert driven.screen._advice.calls
        stamp = driven.screen._view.stamp
        await typed(driven, "1sb")
        await driven.until(lambda: driven.screen._view.stamp > stamp)
        driven.screen.show_ways(WaysView(stamp, "Walk -.99, around -.99"))
        assert "-.99" not in driven.text()
        await driven.until_text("Walk +.")
        await typed(driven, "O")
        await driven.pilot.pause()
        assert "Walk +." not in driven.text()


async def test_on_a_large_screen_it_stands_in_sentences(with_advice: str) -> None:
    async with opened(with_advice, SIZES["120x40"], game="tonight") as driven:
        await driven.until_text("Walking him costs")
        assert "Pitching around him" in driven.text()


async def test_the_plan_s_rules_hold_in_the_dugout_and_take_a_call_of_others_away(
    with_advice: str,
) -> None:
    async with opened(with_advice, game="tonight") as driven:
        dugout = driven.screen
        await driven.press("f3")
        await driven.until(lambda: driven.screen.PLACE == "plan" and driven.screen.complete)
        await driven.press("2")
        await driven.until(lambda: driven.screen.complete, "the plan under the rule")
        await driven.press("f4")
        await driven.until_text("Rule: inner half only")
        shown = await a_call(driven)
        assert shown.words.endswith("in") and driven.screen is dugout
        assert all(call.endswith("in") for _, call in dugout._advice.calls)
        await driven.press("f3")
        await driven.until(lambda: driven.screen.PLACE == "plan" and driven.screen.complete)
        await driven.press("1")
        await driven.press("f4")
        await driven.until_text("Rule: away half only")
        await driven.until(lambda: dugout.draft.shown, "a call under the other rule")
        assert dugout.draft.shown.words.endswith("away")


async def test_one_key_leaves_a_score_only_screen_and_brings_advice_back(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await a_call(driven)
        await typed(driven, "O")
        await driven.until_text("Score only")
        assert "Of 100" not in driven.text()
        assert "Guess rate" not in driven.text()
        await typed(driven, "N")
        await driven.until_text("advice is hidden: O shows it")
        await typed(driven, "b")
        await driven.until(lambda: logged(with_advice))
        assert logged(with_advice)[0].advice == ""
        await typed(driven, "O")
        await driven.until_text("N draws one")


@pytest.mark.parametrize(
    ("advice", "says"),
    [("no", "allow electronic"), ("ask", "Ask your league first")],
)
async def test_rules_that_do_not_allow_advice_keep_it_hidden(
    two_clubs: str, advice: str, says: str
) -> None:
    with open_book(two_clubs) as book:
        clubs.game(book, "barred", clubs.DAY, advice=advice)
    async with opened(two_clubs, game="barred") as driven:
        await driven.until_text("Score only")
        await driven.until_text(says)
        assert "Next call" not in driven.text()
        await typed(driven, "N")
        assert driven.screen.draft.shown is None
        await typed(driven, "O")
        await driven.pilot.pause()
        assert (driven.screen.score_only is False) == (advice == "ask")


async def test_the_left_handed_map_moves_keys_and_hints(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        driven.app._keep(keymap="left-handed")
        await driven.until_text("s missed")
        await driven.press("4", "full_stop", "s")
        await driven.until_text("Changeup down and away, swinging strike")


async def test_what_another_session_logged_meanwhile_is_read_in_and_said(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        with open_book(two_clubs) as book:
            game = book.find_game("tonight")
            assert game is not None
            Session(book, game).add(Pitch(result="ball", pitch="slider"))
        await typed(driven, "4cm")
        await driven.until_text("Another session has logged meanwhile")
        assert [pitch.pitch for pitch in logged(two_clubs)] == ["slider", "changeup"]


async def test_random_keys_lose_no_pitch(two_clubs: str) -> None:
    dice = random.Random(11)
    keys = [key for key in RIGHT_HANDED.acts if len(key) == 1 and key not in "P:ONV<>"]
    async with opened(two_clubs, game="tonight") as driven:
        kept = refused = 0
        for _ in range(60):
            key = dice.choice(keys)
            before = len(driven.screen._view.entries)
            await driven.screen.take_key(key)
            if RIGHT_HANDED.acts[key].kind == "result":
                refused += driven.screen._told.startswith("Not logged")
                kept += len(driven.screen._view.entries) > before
        results = refused + kept
        assert results > 10
        assert len(logged(two_clubs)) == kept


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_between_two_pitches(two_clubs: str, size: str) -> None:
    async with opened(two_clubs, SIZES[size], game="tonight") as driven:
        await typed(driven, "1qf4cm2Cb1.yRS4x,]o1ab4")
        await driven.until(lambda: len(logged(two_clubs)) == 6)
        await driven.until_text("> Changeup")
        same_as_golden(f"dugout_{size}", await driven.settled())


@pytest.mark.parametrize("drawn", [False, True])
async def test_the_screen_with_advice_on_it(with_advice: str, drawn: bool) -> None:
    async with opened(with_advice, game="tonight") as driven:
        stamp = driven.screen._view.stamp
        await a_mix(driven)
        await driven.until(lambda: driven.screen._ways, "what stands beside it")
        driven.screen.show_ways(WaysView(stamp, "Walk +.49, around even", ("walking costs",)))
        driven.screen.advise(
            AdviceView(
                stamp,
                (("55", "fastball low-away"), ("45", "changeup middle")),
                "he is sitting soft",
                "Guess rate tonight: 41 of 100, his usual pitch 38. No sign he is read.",
                pitch="fastball",
                target="low-right",
                words="fastball low-away",
                leading="he is ready for either",
                time_up="2nd time up: +1.1 per 100",
                zone="Strikes called 1 in wider (sd 0.5); rests on 41 pitches.",
                rules="Rules: inner half only; nothing down the middle",
            )
        )
        if drawn:
            await typed(driven, "N")
        await driven.pilot.pause()
        same_as_golden("dugout_call" if drawn else "dugout_mix", await driven.settled())


async def test_a_pitch_that_is_not_there_today_is_left_out_and_the_call_says_on_what(
    a_season: str,
) -> None:
    with open_book(a_season) as book:
        tonight = clubs.game(book, "tonight", clubs.DAY + dt.timedelta(days=30), "allowed")
        for number in range(16):
            there = number % 4 == 0
            pitch = "fastball" if there else "curveball"
            tonight.add(Pitch(pitch=pitch, result="called strike" if there else "ball"))
    async with opened(a_season, game="tonight") as driven:
        await driven.until_text("Of 100:")
        words = " ".join(str(driven.screen.query_one("#advice").render()).split())
        assert "No curveball: 0 strikes in 12 today" in words
        mix = words.partition("Of 100:")[2]
        assert "fastball" in mix and "curveball" not in mix
