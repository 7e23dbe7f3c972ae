"""A large invented book to measure on: our pitchers against many clubs, and tonight's game."""

import datetime as dt
import random
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from sequencer.records.event import Event
    from sequencer.records.game import Game
    from sequencer.records.pitch import Pitch
    from sequencer.records.store import Book

#: Pitches of the large book, and of each of its games.
PITCHES, _OF_GAME = 200_000, 140
#: Our pitchers, their clubs, hitters of each.
_ARMS, _CLUBS, _MEN = 12, 20, 12
_DAY: Final = dt.date(2020, 3, 1)


def large_book(path: str | Path, pitches: int = PITCHES) -> str:
    """Make a book of so many invented pitches and tonight's game with advice; returns its path."""
    from sequencer.records.store import open_book

    dice = random.Random(5)
    deck = [_pitch(dice) for _ in range(400)]
    with open_book(path) as book, book.transaction():
        _clubs(book)
        games = -(-pitches // _OF_GAME)
        for n in range(games + 1):
            tonight = n == games
            day = dt.date.today() if tonight else _DAY + dt.timedelta(days=n % 1800)
            game = book.add_game(_header(n, day, "allowed" if tonight else "ask"))
            book.extend(game.id, list(_begins(n)), joined=True)
            if not tonight:
                book.extend(game.id, dice.choices(deck, k=_OF_GAME))
    return str(path)


def _clubs(book: "Book") -> None:
    from sequencer.records.people import Person, Team

    book.add_team(Team(name="Herons", ours=True, level="17-18", rules="high-school"))
    for arm in range(_ARMS):
        book.add_person(Person(id=f"arm{arm}", team="Herons", name=f"Arm {arm}", throws="R"))
    for club in range(_CLUBS):
        book.add_team(Team(name=f"Club {club}", level="17-18"))
        for man in range(_MEN):
            book.add_person(
                Person(
                    id=f"bat{club}-{man}",
                    team=f"Club {club}",
                    name=f"Bat {club}-{man}",
                    number=str(man + 1),
                    bats="L" if man % 3 == 1 else "R",
                )
            )


def _header(n: int, day: dt.date, advice: str) -> "Game":
    from sequencer.records.game import Game

    return Game(
        id=f"g{n}",
        game=f"game {n}",
        date=day,
        us="Herons",
        them=f"Club {n % _CLUBS}",
        level="17-18",
        rules="high-school",
        rule_edits={"electronic_advice": advice},
    )


def _begins(n: int) -> Iterator["Event"]:
    from sequencer.records.event import Event

    yield Event(event="pitcher", who=f"arm{n % _ARMS}", side="us")
    for slot in range(9):
        yield Event(event="line-up", who=f"bat{n % _CLUBS}-{slot}", slot=slot + 1, side="them")


def _pitch(dice: random.Random) -> "Pitch":
    from sequencer.records.pitch import Pitch

    kind = dice.choice(("fastball", "fastball", "curveball", "changeup"))
    results = ("ball", "called strike", "swinging strike", "foul", "in play")
    result = dice.choices(results, (38, 17, 10, 17, 18))[0]
    row, column = dice.choice(("up", "belt", "down")), dice.choice(("left", "middle", "right"))
    return Pitch(
        result=result,
        play=dice.choice(("out", "out", "out", "single")) if result == "in play" else "",
        pitch=kind,
        called=kind,
        cell=f"{row}-{column}",
        entered="catcher",
        target="low-right",
        target_when="before",
    )
