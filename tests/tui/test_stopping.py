"""What takes long says how far it is and is stopped by Esc; nothing half-done is left."""

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sequencer.live.tonight import Tonight
from sequencer.records.held_pitches import Pitches
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import opened
from tests.tui.test_dugout import typed
from tests.tui.test_review_place import REVIEW
from tui.advising import Advising
from tui.one_thread import Stopped
from tui.planned import Planner
from tui.thinking import Thinker
from tui.views import BY_BOOK, AdviceAsked


def _endless(begun: threading.Event, ended: threading.Event) -> Callable[..., Any]:
    def work(*args: Any) -> None:
        args[-1]("Solving 9 at-bats …")
        begun.set()
        try:
            while True:
                time.sleep(0.001)
        finally:
            ended.set()

    return work


@pytest.mark.parametrize("place", ["plan", "review"])
async def test_escape_stops_a_plan_or_a_review_and_c_asks_again(
    a_season: str, place: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()
    usual = getattr(Thinker, place)
    monkeypatch.setattr(Thinker, place, _endless(begun, ended))
    async with opened(a_season, place=place) as driven:
        await driven.until_text("Esc stops it")
        await driven.until(begun.is_set)
        await driven.press("escape")
        await driven.until_text("Stopped: c")
        await driven.until(ended.is_set, "the end of the work")
        monkeypatch.setattr(Thinker, place, usual)
        if place == "plan":
            await driven.press("c")
            await driven.until(lambda: driven.screen.complete, "a plan")


async def test_escape_stops_a_question_and_the_plan_stands(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()
    monkeypatch.setattr(Planner, "coin_flips", _endless(begun, ended))
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete, "a plan")
        await driven.press("v")
        await driven.until(begun.is_set)
        await driven.press("escape")
        await driven.until_text("the plan stands")
        await driven.until(ended.is_set, "the end of the work")
        assert driven.screen.complete


async def test_a_card_that_is_stopped_leaves_no_file(
    two_clubs: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()
    write = _endless(begun, ended)
    monkeypatch.setattr("sequencer.reports.card.make_page", lambda *_, **__: write(str))
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete, "a plan")
        driven.screen._card_named({"file": str(tmp_path / "card.txt")})
        await driven.until(begun.is_set)
        await driven.press("escape")
        await driven.until(ended.is_set, "the end of the work")
    assert not list(tmp_path.glob("*card*"))


async def test_escape_stops_what_sets_a_hitter_apart_and_c_asks_again(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()
    usual = Thinker.traits
    monkeypatch.setattr(Thinker, "traits", _endless(begun, ended))
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until(begun.is_set)
        await driven.until_text("Solving 9 at-bats …   Esc stops it.")
        await driven.press("escape")
        await driven.until_text("Stopped: c works out what sets him apart.")
        await driven.until(ended.is_set, "the end of the work")
        monkeypatch.setattr(Thinker, "traits", usual)
        await driven.press("c")
        await driven.until(lambda: driven.screen.complete, "his page")


async def test_hiding_advice_stops_reading_for_it_and_logging_never_waits(
    a_season: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_book(a_season) as book:
        clubs.game(book, "tonight", clubs.DAY, advice="allowed")
    begun, ended = threading.Event(), threading.Event()
    usual = Pitches._read_in

    def slowly(*args: Any) -> None:
        begun.set()
        try:
            while True:
                args[-1]("Reading the book: 100 of 400 games …")
                time.sleep(0.1)
        finally:
            ended.set()

    monkeypatch.setattr(Pitches, "_read_in", slowly)
    async with opened(a_season, game="tonight") as driven:
        await driven.until(begun.is_set)
        await driven.until_text("O stops it.")
        assert "Reading the book: 100 of" in driven.text()
        await typed(driven, "bf")
        await driven.until_text("2 1-0 Pitch, foul")
        assert not ended.is_set()
        await typed(driven, "O")
        await driven.until(ended.is_set, "the end of reading")
        monkeypatch.setattr(Pitches, "_read_in", usual)
        await typed(driven, "O")
        await driven.until_text("N draws one")
        assert "stops it" not in driven.text()


@pytest.mark.parametrize("step", ["_begin", "follow", "hitter", "_learn", "pitcher", "rate"])
@pytest.mark.parametrize("after", [False, True])
def test_advice_stopped_at_a_step_of_its_learning_is_later_what_it_would_have_been(
    a_season: str, step: str, after: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = getattr(Tonight, step)

    def stopping(*args: Any) -> None:
        if after:
            usual(*args)
        raise Stopped

    with open_book(a_season) as book:
        session = clubs.game(book, "tonight", clubs.DAY, advice="allowed")
        for result in ("ball", "foul", "called strike"):
            session.add(Pitch(result=result, pitch="fastball", called="fastball"))
        asked = AdviceAsked(len(session.state.log), BY_BOOK)
        stopped = Advising(book, Pitches(book))
        with monkeypatch.context() as patch, pytest.raises(Stopped):
            patch.setattr(Tonight, step, stopping)
            stopped.advise(session.state, asked)
        undisturbed = Advising(book, Pitches(book))
        assert stopped.advise(session.state, asked) == undisturbed.advise(session.state, asked)


async def test_escape_with_nothing_under_way_says_nothing(two_clubs: str) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete, "a plan")
        before = await driven.settled()
        await driven.press("escape")
        assert await driven.settled() == before


@pytest.mark.parametrize(
    ("place", "key", "work"),
    [("review", "w", "page"), ("scouting", "h", "history"), ("review", "p", "review_whom")],
)
async def test_a_page_or_list_put_away_stops_what_is_worked_out_for_it(
    two_clubs: str, place: str, key: str, work: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()
    monkeypatch.setattr(Thinker, "review", lambda *_: REVIEW)
    monkeypatch.setattr(Thinker, work, _endless(begun, ended))
    async with opened(two_clubs, place=place) as driven:
        await driven.until(lambda: driven.screen.complete, "the place")
        await driven.press(key)
        await driven.until(begun.is_set)
        await driven.until_text("Solving 9 at-bats …")
        await driven.press("escape")
        await driven.until(ended.is_set, "the end of the work")
        await driven.until_place(place)
