"""What is believed of one person: sentences on his place, and his whole page over it."""

import threading

import pytest

from sequencer.errors import NotInBook
from sequencer.estimates.traits import TRAITS
from sequencer.planning.calls import Call
from sequencer.planning.looks import TAKE, Look
from sequencer.planning.plan import CountPlan
from sequencer.records.people import Mark
from sequencer.records.store import open_book
from tests.tui.driving import SIZES, Driven, opened, same_as_golden
from tui.pages import calls_line, looks_line
from tui.screens.choose import ChooseScreen, PageScreen
from tui.thinking import Thinker
from tui.views import PlanView, ReviewView


async def our_team(driven: Driven) -> None:
    await driven.press("t")
    await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
    await driven.press("end", "enter")
    await driven.until_text("Herons: Ines Vela")


async def test_one_of_ours_who_pitches_has_his_page_a_key_away(a_season: str) -> None:
    async with opened(a_season, place="scouting") as driven:
        await our_team(driven)
        await driven.until_text("He pitches for us: w opens his page")
        await driven.press("w")
        for words in (
            "Ines Vela (throws right), 17-18",
            "Strikes in any count",
            "Esc or w goes back",
        ):
            await driven.until_text(words)
        await driven.press("end")
        await driven.until_text("Right- and left-handed hitters")
        await driven.press("w")
        await driven.until(lambda: not isinstance(driven.screen, PageScreen))
        await driven.until_text("Herons: Ines Vela")


async def test_a_hitters_whole_page_opens_over_the_place_and_escape_closes_it(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.press("down", "down")
        await driven.until_text("Owls: #7 Marin")
        await driven.press("w")
        await driven.until_text("Marked: late on the fastball (some).")
        await driven.press("escape")
        await driven.until(lambda: not isinstance(driven.screen, PageScreen))


@pytest.mark.parametrize("place", ["plan", "review"])
async def test_the_pitchers_page_opens_from_plan_and_review(
    a_season: str, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    monkeypatch.setattr(Thinker, "plan", lambda _, stamp, *__: PlanView(stamp, ""))
    monkeypatch.setattr(Thinker, "review", lambda *_: ReviewView("Ines Vela", ("90 pitches",), ()))
    async with opened(a_season, place=place) as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("w")
        await driven.until_text("Ines Vela (throws right), 17-18")


async def test_without_a_pitcher_the_key_of_his_page_does_nothing(empty_book: str) -> None:
    async with opened(empty_book, place="plan") as driven:
        await driven.press("w", "f5", "w", "f2", "w")
        await driven.until_place("scouting")
        assert not isinstance(driven.screen, PageScreen)


async def test_a_page_put_away_before_it_is_worked_out_is_dropped(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    go, done = threading.Event(), threading.Event()

    def slow(_: Thinker, person_id: str, __: object) -> str:
        try:
            assert go.wait(10)
            return f"The page of {person_id}"
        finally:
            done.set()

    monkeypatch.setattr(Thinker, "page", slow)
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("w")
        await driven.until_text("Working his page out")
        await driven.press("escape", "down")
        await driven.until_text("Owls: #4 Kowal")
        go.set()
        await driven.until(done.is_set)
        await driven.settled()
        assert "The page of" not in driven.text()


async def test_a_page_that_cannot_be_made_says_why(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> str:
        raise NotInBook("No player of the book is called so.")

    monkeypatch.setattr(Thinker, "page", refused)
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("w")
        await driven.until_text("No player of the book is called so.")


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_of_a_whole_page_shows_eighty_columns_uncut(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch, size: str
) -> None:
    lines = [f"  {n:<76}|{n % 10}" for n in range(1, 41)]
    page = "\n".join(("Ines Vela (throws right), 17-18", "=" * 31, "", *lines))
    monkeypatch.setattr(Thinker, "page", lambda *_: page)
    async with opened(two_clubs, SIZES[size], place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("w")
        await driven.until_text("of 43; arrows scroll")
        assert all(len(line) == 80 for line in lines)
        assert lines[0] in driven.text()
        same_as_golden(f"page_{size}", await driven.settled())
        await driven.press("end")
        await driven.until_text("to 43 of 43")
        assert lines[-1] in driven.text()


def test_what_is_said_of_a_hitter_is_sentences_and_a_pure_pitcher_is_not_called_usual(
    a_season: str,
) -> None:
    with open_book(a_season) as book:
        book.add_mark(Mark(person="owl3", mark="extends", how_often="always"))
    thinker = Thinker(a_season)
    hitter, pitcher = thinker.traits("owl3"), thinker.traits("vela")
    thinker.close()
    assert hitter.says and not hitter.pitches
    assert all(line[0] == line[0].upper() and line.endswith(".") for line in hitter.says)
    sizes = [abs(bar.mean) for bar in hitter.bars]
    assert sizes == sorted(sizes, reverse=True) and len(hitter.bars) + hitter.alike == len(TRAITS)
    assert "handles the ball away" in {bar.says for bar in hitter.bars}
    assert pitcher.pitches and pitcher.says == () and pitcher.bars == ()


def test_calls_that_round_to_none_in_a_hundred_are_not_listed() -> None:
    calls = ((Call("fastball", "middle"), 0.996), (Call("changeup", "low-away"), 0.004))
    line = calls_line(CountPlan(0.0, 0.0, calls, (), one_call=0.0))
    assert line.replace("\u00a0", " ") == "100 fastball middle"


def test_looks_of_the_same_words_are_one_line_most_first() -> None:
    looks = ((Look("protect", 0.6), 0.4), (TAKE, 0.35), (Look("protect", 0.65), 0.25))
    line = looks_line(CountPlan(0.0, 0.0, (), looks, one_call=0.0)).replace("\u00a0", " ")
    assert line == "65 protecting, leaning fastball   35 take"
