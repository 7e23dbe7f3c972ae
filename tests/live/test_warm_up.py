"""What a pitcher has today: by the throws of his warm-up, and by the word of who saw them."""

from pathlib import Path

import pytest

from sequencer.errors import IllegalEntry
from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.live.tonight import Tonight
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.event import Event
from sequencer.records.said_tonight import official_count, said_there
from sequencer.records.store import Book, open_book
from tests.tui import clubs


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return open_book(clubs.book_at(tmp_path / "book.db", games=1))


@pytest.fixture
def session(book: Book) -> Session:
    return clubs.game(book, "tonight", clubs.DAY.replace(month=6))


def shelved(tonight: Tonight, session: Session) -> list[str]:
    tonight.follow(session.state)
    return [pitch.pitch for pitch in tonight.pitcher().arsenal if pitch.shelved]


def test_a_pitch_said_not_to_be_there_is_left_out_until_it_is_said_to_be_there(
    book: Book, session: Session
) -> None:
    tonight = Tonight(book)
    assert shelved(tonight, session) == []
    session.add(Event(event="not there", reason="curveball"))
    assert shelved(tonight, session) == ["curveball"]
    evidence = [p.evidence for p in tonight.pitcher().arsenal if p.pitch == "curveball"]
    assert evidence == ["not there in the warm-up"]
    session.undo()
    assert shelved(tonight, session) == []
    session.add(Event(event="not there", reason="changeup"))
    session.add(Event(event="there", reason="changeup"))
    assert shelved(tonight, session) == []


def test_a_fastball_is_never_left_out(session: Session) -> None:
    with pytest.raises(IllegalEntry, match="a fastball is always there"):
        session.add(Event(event="not there", reason="fastball"))


def test_throws_of_today_s_warm_up_shelve_a_pitch_as_game_pitches_do(
    book: Book, session: Session
) -> None:
    tonight = Tonight(book)
    assert shelved(tonight, session) == []
    wild = tuple(Throw(set_no=1, throw_no=n, pitch="curveball", strike=False) for n in range(1, 16))
    unseen = (Throw(set_no=1, throw_no=16, pitch="changeup"),)
    pen = Bullpen(
        id="w", bullpen="warm-up", date=session.game.date, pitcher="vela", throws=(*wild, *unseen)
    )
    book.add_bullpen(pen)
    assert shelved(tonight, session) == ["curveball"]
    (curve,) = (p for p in tonight.pitcher().arsenal if p.pitch == "curveball")
    assert curve.evidence == "0 strikes in 15 today"


def test_throws_of_another_day_are_no_warm_up(book: Book, session: Session) -> None:
    wild = tuple(Throw(set_no=1, throw_no=n, pitch="curveball", strike=False) for n in range(1, 16))
    book.add_bullpen(Bullpen(id="w", bullpen="pen", date=clubs.DAY, pitcher="vela", throws=wild))
    assert shelved(Tonight(book), session) == []


def test_the_official_count_goes_on_from_where_it_was_said(session: Session) -> None:
    log = PlainLog(session)
    assert log.answer("fastball, belt-in, ball").startswith("ok")
    assert official_count(session.state, "vela") is None
    assert log.answer("pitches 4").startswith("ok")
    assert log.answer("fastball, belt-in, ball").startswith("ok")
    assert log.answer("unknown, unknown, automatic ball").startswith("ok")
    assert official_count(session.state, "vela") == 5
    assert session.state.pitch_counts["vela"] == 2
    assert log.answer("pitcher Ana Ruiz").startswith("ok")
    assert official_count(session.state, session.state.pitcher) is None


def test_lines_say_what_is_there_and_refuse_what_is_no_pitch(session: Session) -> None:
    log = PlainLog(session)
    assert log.answer("lacks curveball").startswith("ok")
    assert said_there(session.state, "vela") == {"curveball": False}
    assert log.answer("has curveball").startswith("ok")
    assert said_there(session.state, "vela") == {"curveball": True}
    assert "did you mean 'curveball'" in log.answer("lacks curvebal")
    assert log.answer("lacks").startswith("no say which pitch")
    assert log.answer("pitches many").startswith("no say the pitch count")
    assert log.answer("lacks four-seam").startswith("no The four-seam is never left out")
