"""Measurements of one game in progress: advice at once, and a hitter planned anew after a pitch."""

import datetime as dt
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from sequencer.cli.bench import Measured

if TYPE_CHECKING:
    from sequencer.live.session import Session
    from sequencer.records.game import Game
    from sequencer.records.pitch import Pitch
    from sequencer.records.store import Book

#: A game of the past, pitches logged before measuring, pitches measured.
_PAST, _BEFORE, _MEASURED = 90, 40, 15
_LEVEL: Final = "17-18"


class _Took(NamedTuple):
    """Medians, seconds: at once, planned anew, and both from a book not read yet."""

    at_once: float
    anew: float
    cold: float


def advice_at_once() -> Measured:
    """Measure advice from the tables there are, beside waiting for new ones."""
    took = _game()
    must = "16 ms"
    return Measured(
        "advice at once", took.at_once, took.anew, "planned anew", must, took.at_once <= 0.016
    )


def planned_anew() -> Measured:
    """Measure a hitter planned anew after a pitch (pitcher, zone and all learnt), beside afresh."""
    took = _game()
    must = "100 ms"
    return Measured(
        "advice after a pitch", took.anew, took.cold, "book read afresh", must, took.anew <= 0.1
    )


def _game() -> _Took:
    from sequencer.live.next_call import NextCall
    from sequencer.planning.trust import AUTO

    with _tonight() as (book, session):
        next_call = NextCall(book)
        next_call.advise(session.state, AUTO)
        at_once, anew = [], []
        for n in range(_BEFORE, _BEFORE + _MEASURED):
            session.add(_pitch(n))
            began = time.perf_counter()
            known = next_call.at_once(session.state, AUTO)
            between = time.perf_counter()
            next_call.advise(session.state, AUTO)
            anew.append(time.perf_counter() - between)
            if known is not None:
                at_once.append(between - began)
        cold = []
        for _ in range(3):
            began = time.perf_counter()
            NextCall(book).advise(session.state, AUTO)
            cold.append(time.perf_counter() - began)
    return _Took(*(statistics.median(times) for times in (at_once, anew, cold)))


@contextmanager
def _tonight() -> "Iterator[tuple[Book, Session]]":
    """Give a book with a game of the past, and tonight's game some innings old."""
    from sequencer.live.session import Session
    from sequencer.records.people import Person, Team
    from sequencer.records.store import open_book

    with tempfile.TemporaryDirectory() as folder, open_book(Path(folder) / "book.db") as book:
        with book.transaction():
            book.add_team(Team(name="Us", ours=True, level=_LEVEL))
            book.add_team(Team(name="Them"))
            book.add_person(Person(id="arm", team="Us", name="Arm", throws="R"))
            for n in range(9):
                bats = "RL"[n % 2]
                book.add_person(Person(id=f"bat{n}", team="Them", name=f"Bat {n}", bats=bats))
            for name, pitches in (("past", _PAST), ("tonight", _BEFORE)):
                session = Session(book, book.add_game(_header(name)))
                _begin(session)
                for n in range(pitches):
                    session.add(_pitch(n))
        yield book, session


def _header(name: str) -> "Game":
    from sequencer.records.game import Game

    day = dt.date(2026, 5, 1 + len(name))
    return Game(id=name, game=name, date=day, us="Us", them="Them", level=_LEVEL)


def _begin(session: "Session") -> None:
    from sequencer.records.event import Event

    session.add(Event(event="pitcher", who="arm", side="us"))
    for slot in range(9):
        session.add(Event(event="line-up", who=f"bat{slot}", slot=slot + 1, side="them"))


def _pitch(n: int) -> "Pitch":
    from sequencer.records.pitch import Pitch

    result = ("ball", "called strike", "foul", "ball", "swinging strike", "foul", "in play")[n % 7]
    kind = ("fastball", "changeup", "fastball", "curveball")[n % 4]
    cells = ("down-right", "belt-middle", "up-left", "down-left", "belt-off-right")
    return Pitch(
        pitch=kind,
        called=kind,
        target="low-right",
        target_when="before",
        cell=cells[n % len(cells)],
        entered="catcher",
        result=result,
        play="out" if result == "in play" else "",
    )
