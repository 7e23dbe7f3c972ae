"""Two invented clubs and a book of theirs, small enough to make for every test."""

import datetime as dt
import random
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from sequencer.live.session import Session
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Pitch
from sequencer.records.store import Book, open_book

DAY = dt.date(2026, 5, 2)
VELA = Person(id="vela", team="Herons", name="Ines Vela", throws="R")
OWLS = tuple(
    Person(id=f"owl{n}", team="Owls", name=name, number=str(n), bats=bats)
    for n, name, bats in (
        (7, "Marin", "R"),
        (12, "Okoye", "L"),
        (3, "Brandt", "R"),
        (21, "Sato", "R"),
        (9, "Lindqvist", "L"),
        (15, "Reyes", "R"),
        (28, "Adeyemi", "L"),
        (4, "Kowal", "R"),
        (33, "Prieto", "R"),
    )
)


def people(book: Book) -> None:
    """Put both clubs into a book, with a mark."""
    book.add_team(Team(name="Herons", ours=True, level="17-18", rules="high-school"))
    book.add_team(Team(name="Owls", level="17-18"))
    for person in (VELA, *OWLS):
        book.add_person(person)
    book.add_mark(Mark(person="owl7", mark="late on the fastball", how_often="some"))


def game(book: Book, name: str, day: dt.date, advice: str = "ask") -> Session:
    """Make a game with pitcher and line-up, ready for its first pitch."""
    made = Game(
        id=name,
        game=name,
        date=day,
        us="Herons",
        them="Owls",
        level="17-18",
        rules="high-school",
        rule_edits={"electronic_advice": advice},
    )
    book.add_game(made)
    session = Session(book, made)
    session.add(Event(event="pitcher", who="vela", side="us"))
    for slot, person in enumerate(OWLS, 1):
        session.add(Event(event="line-up", who=person.id, slot=slot, side="them"))
    return session


def season(book: Book, games: int, pitches: int = 90) -> None:
    """Log games in which every first pitch is a fastball, and the rest is mixed."""
    dice = random.Random(5)
    for number in range(games):
        session = game(book, f"g{number}", DAY + dt.timedelta(days=7 * number))
        for _ in range(pitches):
            session.add(thrown(dice, first=session.state.pitch_no == 1))


def thrown(dice: random.Random, *, first: bool) -> Pitch:
    """Throw one pitch of the invented season."""
    kind = "fastball" if first else dice.choice(("fastball", "curveball", "changeup"))
    row, column = dice.choice(("up", "belt", "down")), dice.choice(("left", "middle", "right"))
    result = dice.choices(
        ("ball", "called strike", "swinging strike", "foul", "in play"), (38, 17, 10, 17, 18)
    )[0]
    play = dice.choice(("out", "out", "out", "single")) if result == "in play" else ""
    return Pitch(
        result=result,
        play=play,
        pitch=kind,
        cell=f"{row}-{column}",
        entered="catcher",
        target="low-right",
        target_when="before",
        called=kind,
    )


def book_at(path: Path, games: int = 0, tonight: str = "") -> str:
    """Write a book of both clubs to a path and return it; each kind is made once and copied.

    Parameters
    ----------
    path : Path
        Where the book is to be.
    games : int
        Games of the season in it.
    tonight : str
        Whether a game "tonight", ready to be logged, allows advice; "" for no such game.
    """
    path.write_bytes(_kept(games, tonight))
    return str(path)


@cache
def _kept(games: int, tonight: str) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.db"
        with open_book(path) as book, book.transaction():
            people(book)
            season(book, games)
            if tonight:
                game(book, "tonight", DAY, tonight)
        assert [one.name for one in path.parent.iterdir()] == [path.name]
        return path.read_bytes()
