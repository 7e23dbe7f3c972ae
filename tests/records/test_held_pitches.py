"""The pitches of some people are those that the whole book holds of them."""

import datetime as dt
from pathlib import Path

import pandas as pd
import pytest

from demo_scenarios import lay_out
from sequencer.live.session import Session
from sequencer.records import held_pitches
from sequencer.records.game import Game
from sequencer.records.held_pitches import Pitches
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs
from tui.one_thread import Stopped


@pytest.fixture
def a_season(tmp_path: Path) -> str:
    """A book of two games."""
    return str(clubs.book_at(tmp_path / "season.db", games=2))


def test_everyones_pitches_are_found_by_the_games_that_name_him(tmp_path: Path) -> None:
    lay_out(None, tmp_path / "book.db")
    with open_book(tmp_path / "book.db") as book:
        every, some = Pitches(book).all(), Pitches(book)
        people = set(every["hitter_id"]) | set(every["pitcher_id"])
        assert len(people) > 20
        for one in people:
            for role in ("hitter_id", "pitcher_id"):
                found = some.of((one,))
                his = found[found[role] == one].reset_index(drop=True)
                pd.testing.assert_frame_equal(his, every[every[role] == one].reset_index(drop=True))


def test_only_games_of_those_asked_for_are_held(a_season: str) -> None:
    with open_book(a_season) as book:
        other = Game(id="x", game="x", date=dt.date(2026, 6, 1), us="Herons", them="Kites")
        Session(book, book.add_game(other)).add(Pitch(result="ball"))
        pitches = Pitches(book)
        assert set(pitches.of(("owl7",))["game_id"]) == {"g0", "g1"}
        assert set(pitches.all()["game_id"]) == {"g0", "g1", "x"}
        assert set(pitches.of(("owl7",))["game_id"]) == {"g0", "g1"}


def test_a_game_that_went_on_or_back_is_read_again(a_season: str) -> None:
    with open_book(a_season) as book:
        pitches = Pitches(book)
        before = len(pitches.of(("vela",)))
        game = book.find_game("g0")
        assert game is not None
        session = Session(book, game)
        session.add(Pitch(result="ball"))
        found = pitches.of(("vela",))
        assert len(found) == before + 1
        assert found["game_id"].is_monotonic_increasing
        session.undo()
        assert len(pitches.of(("vela",))) == before


def test_a_stand_in_made_one_with_a_hitter_brings_his_game(tmp_path: Path) -> None:
    with open_book(clubs.book_at(tmp_path / "book.db")) as book:
        game = Game(id="late", game="late", date=clubs.DAY, us="Herons", them="Owls")
        state = Session(book, book.add_game(game)).add(Pitch(result="ball"))
        pitches = Pitches(book)
        assert pitches.of(("owl7",)).empty
        book.merge_people("owl7", state.log[0].before.hitter)
        assert list(pitches.of(("owl7",))["hitter_id"]) == ["owl7"]


def test_reading_tells_how_far_it_is_and_who_stops_it_keeps_what_was_read(
    a_season: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held_pitches, "_AT_ONCE", 1)
    monkeypatch.setattr(held_pitches, "_TOLD_EVERY", 0.0)
    with open_book(a_season) as book:
        pitches, told = Pitches(book), list[str]()

        def stopping(words: str) -> None:
            told.append(words)
            if len(told) == 2:
                raise Stopped

        with pytest.raises(Stopped):
            pitches.all(stopping)
        assert told[0] == "Reading the book: 0 of 2 games …"
        assert pitches.held == {"g0"}
        pd.testing.assert_frame_equal(pitches.all(), Pitches(book).all())
