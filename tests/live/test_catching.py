"""The catcher of a plan: by a word, or by what the book saw get away from him."""

from collections.abc import Collection, Iterator
from pathlib import Path

import pytest

from sequencer.errors import NotInBook
from sequencer.live.catching import Behind, blocking_of, catcher
from sequencer.live.opening import NewGame, open_game
from sequencer.live.scouting import Scouting
from sequencer.live.session import Session
from sequencer.planning.stakes import BLOCKING, Catcher
from sequencer.records import tables
from sequencer.records.event import Event
from sequencer.records.people import Person, Team
from sequencer.records.pitch import Pitch
from sequencer.records.state import State
from sequencer.records.store import Book, open_book


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(tmp_path / "club.db") as opened:
        opened.add_team(Team(name="Herons", ours=True, level="11-12"))
        opened.add_team(Team(name="Owls"))
        opened.add_person(Person(id="p1", team="Herons", name="Abel Crane", number="24"))
        opened.add_person(Person(id="c1", team="Herons", name="Bo Marsh", number="2"))
        yield opened


@pytest.fixture
def session(book: Book) -> Session:
    made = open_game(book, "opener", NewGame(us="Herons", them="Owls", pitcher="Abel Crane"))
    made.add(Event(event="catcher", who="c1", side="us"))
    made.add(Pitch(result="in play", pitch="fastball", play="single"))
    return made


def balls(session: Session, number: int, cell: str) -> None:
    """So many pitches fouled off or taken, without the at-bat ending."""
    for n in range(number):
        session.add(Pitch(result="foul", pitch="curveball", cell=cell, entered="catcher"))
        assert session.state.outs == 0, n


def test_a_word_is_that_and_an_arm_with_it(book: Book) -> None:
    assert catcher(Scouting(book), "poor", "11-12", "good") == Catcher(BLOCKING["poor"], 0.5)


def test_a_name_that_is_nobodys_is_told(book: Book) -> None:
    for known in (Scouting(book), Scouting()):
        with pytest.raises(NotInBook, match="good, average or poor"):
            catcher(known, "Nobody", "11-12")


def test_a_catcher_who_lets_balls_get_away_blocks_worse(session: Session, book: Book) -> None:
    for base_from in ("1", "2"):
        balls(session, 3, "belt-middle")
        session.add(Event(event="wild pitch", base_from=base_from))
    found = catcher(Scouting(book), "Bo Marsh", "11-12")
    assert found.blocking > 1.2
    assert "Bo Marsh has lost 2 of 6 pitches with a runner on" in found.says
    assert catcher(Scouting(book), "2", "11-12") == found
    # Nothing is known of another, and pitches with nobody on say nothing.
    assert catcher(Scouting(book), "Abel Crane", "11-12").blocking == 1.0


def test_a_catcher_who_keeps_balls_in_the_dirt_blocks_better(session: Session) -> None:
    session.add(Event(event="passed ball", base_from="1"))
    balls(session, 60, "below-middle")
    found = blocking_of([session.state], "c1", "11-12")
    assert (found.lost, found.pitches) == (0, 60)
    assert found.factor < 0.6


def test_where_nobody_writes_down_what_gets_away_he_is_taken_for_an_average_one(
    session: Session,
) -> None:
    balls(session, 60, "below-middle")
    assert blocking_of([session.state], "c1", "11-12").factor == 1.0


def test_two_runners_on_one_lost_ball_are_one_ball(session: Session) -> None:
    balls(session, 1, "below-middle")
    session.add(Event(event="wild pitch", base_from="1"))
    session.add(Event(event="wild pitch", base_from="2"))
    assert blocking_of([session.state], "c1", "11-12").lost == 1


# who catches in a game as it goes on


@pytest.fixture
def tonight(session: Session, book: Book) -> Session:
    """A second game, the first with two balls lost of six."""
    for base_from in ("1", "2"):
        balls(session, 3, "below-middle")
        session.add(Event(event="wild pitch", base_from=base_from))
    made = open_game(book, "second", NewGame(us="Herons", them="Owls", pitcher="Abel Crane"))
    made.add(Event(event="catcher", who="c1", side="us"))
    return made


def test_who_catches_now_is_known_by_the_games_before_and_by_tonight(
    session: Session, tonight: Session, book: Book
) -> None:
    behind = Behind(book)
    before = blocking_of([session.state], "c1", "11-12").factor
    assert behind.catcher(tonight.state, "11-12") == Catcher(before)
    tonight.add(Pitch(result="in play", pitch="fastball", play="single"))
    balls(tonight, 4, "below-middle")
    both = blocking_of([session.state, tonight.state], "c1", "11-12").factor
    assert behind.catcher(tonight.state, "11-12") == Catcher(both)
    assert both < before


def test_another_catcher_and_one_nobody_named_are_average_ones(
    tonight: Session, book: Book
) -> None:
    behind = Behind(book)
    tonight.add(Event(event="catcher", who="p1", side="us"))
    assert behind.catcher(tonight.state, "11-12") == Catcher()
    fresh = open_game(book, "third", NewGame(us="Herons", them="Owls", pitcher="Abel Crane"))
    assert fresh.state.catcher == ""
    assert behind.catcher(fresh.state, "11-12") == Catcher()


def test_the_games_before_are_read_again_only_when_one_has_changed(
    session: Session, tonight: Session, book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[Book] = []
    states = tables.states

    def counted(book: Book, *, games: Collection[str]) -> Iterator[State]:
        read.append(book)
        return states(book, games=games)

    monkeypatch.setattr(tables, "states", counted)
    behind = Behind(book)
    first = behind.catcher(tonight.state, "11-12")
    tonight.add(Pitch(result="ball", pitch="fastball"))
    assert behind.catcher(tonight.state, "11-12") == first
    assert len(read) == 1
    balls(session, 1, "below-middle")
    assert behind.catcher(tonight.state, "11-12").blocking < first.blocking
    assert len(read) == 2
