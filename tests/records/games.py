"""An invented game to replay: teams, people and short words for entries."""

import datetime as dt
from collections.abc import Iterable
from typing import Any

from sequencer.records.event import Event
from sequencer.records.game import Entry, Game, Row
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch
from sequencer.records.replay import play, start
from sequencer.records.state import State

VELA = Person(id="vela", team="Herons", name="Vela", throws="R")
MOSS = Person(id="moss", team="Herons", name="Moss", throws="L")
HITTERS = tuple(
    Person(id=f"h{n}", team="Owls", name=name, number=str(n), bats="L" if n == 2 else "R")
    for n, name in enumerate(
        ("Ames", "Birch", "Cole", "Dorn", "Eddy", "Finch", "Grove", "Hale", "Ivers"), 1
    )
)
SWITCH = Person(id="switch", team="Owls", name="Jarr", number="10", bats="S")
BENCH = Person(id="bench", team="Owls", name="Kemp", number="11", bats="R")
PEOPLE = (VELA, MOSS, *HITTERS, SWITCH, BENCH)


def game(**changes: Any) -> Game:
    """Return the header of a game of Herons (home) and Owls."""
    fields = {
        "id": "g",
        "game": "opener",
        "date": dt.date(2026, 4, 18),
        "us": "Herons",
        "them": "Owls",
    }
    return Game.model_validate({**fields, **changes})


def event(name: str, **fields: Any) -> Event:
    """Return an event."""
    return Event.model_validate({"event": name, **fields})


def line_up() -> list[Entry]:
    """Return the nine in order and our pitcher."""
    nine = [
        event("line-up", who=one.id, slot=slot, side="them") for slot, one in enumerate(HITTERS, 1)
    ]
    return [*nine, event("pitcher", who="vela", side="us")]


def pitches(*results: str) -> list[Entry]:
    """Return pitches by result; a play is in play."""
    return [pitch(result) for result in results]


def pitch(result: str, **fields: Any) -> Pitch:
    """Return a pitch of this result; `single`, `out` and so on are in play."""
    plays = ("out", "single", "double", "triple", "home run", "double play", "error")
    said = {"result": "in play", "play": result} if result in plays else {"result": result}
    return Pitch.model_validate({**said, **fields})


STRIKEOUT = ("called strike", "swinging strike", "swinging strike")
WALK = ("ball", "ball", "ball", "ball")


def rows(entries: Iterable[Entry]) -> list[Row]:
    """Return entries as added rows."""
    return [
        Row(
            seq=seq,
            action="add",
            pitch=entry if isinstance(entry, Pitch) else None,
            event=entry if isinstance(entry, Event) else None,
        )
        for seq, entry in enumerate(entries, 1)
    ]


def played(*entries: Entry, known: bool = True, **header: Any) -> State:
    """Return the game after entries, its line-up and pitcher known unless said otherwise."""
    every = [*(line_up() if known else []), *entries]
    return play(start(game(**header), PEOPLE), enumerate(every, 1))
