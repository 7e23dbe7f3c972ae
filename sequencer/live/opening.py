"""Opening a game to log: the one in the book, or a new one with its line-up and pitcher."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from sequencer.baseball.rules import kept_edits, rule_set
from sequencer.errors import BadInput, NotInBook
from sequencer.live.session import Session
from sequencer.records.base import new_id
from sequencer.records.columns import HITTER_COLUMNS
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Person
from sequencer.records.readers.cells import CellReader, text_of
from sequencer.records.readers.roster import said
from sequencer.records.readers.table import read_table
from sequencer.records.store import Book


@dataclass(frozen=True, slots=True)
class NewGame:
    """What is said of a game when it is new; nothing of it counts for one in the book.

    `rule_edits` are values of single rules in place of the rule set's.
    """

    us: str = ""
    them: str = ""
    home: str = "us"
    pitcher: str = ""
    line_up: Path | None = None
    level: str = ""
    rules: str = ""
    date: dt.date | None = None
    both_halves: bool = False
    rule_edits: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Slot:
    """One line of a line-up file."""

    hitter: str
    number: str = ""
    bats: str = ""


def open_game(book: Book, name: str, new: NewGame) -> Session:
    """Return a session of the game of this name, making the game when the book has none.

    Raises
    ------
    BadInput
        If a new game cannot be made from what was said, or the game in the book is of other teams.
    """
    name, new = name.strip(), replace(new, us=new.us.strip(), them=new.them.strip())
    if not name:
        raise BadInput("A game needs a name, such as its day and the other side: 06-06-owls.")
    game = book.find_game(name, new.date)
    if game is None:
        _check(new)
        slots = read_line_up(new.line_up) if new.line_up else []
        with book.transaction():
            game = book.find_game(name, new.date)
            if game is None:
                game = book.add_game(_game(book, name, new))
                _begin(book, game, new.pitcher, slots)
    if new.us not in ("", game.us) or new.them not in ("", game.them):
        raise BadInput(
            f"{name} is in the book already, a game of {game.us} and {game.them} on {game.date}: "
            "give the new game another name, or its --date."
        )
    return Session(book, game)


def _check(new: NewGame) -> None:
    from sequencer.baseball.levels import LEVELS

    rule_set(new.rules)
    if new.level and new.level not in LEVELS:
        raise BadInput(f"'{new.level}' is not a level: use one of {', '.join(LEVELS)}.")
    if new.us and new.us == new.them:
        raise BadInput(f"{new.us} cannot play itself: give the two sides two names.")


def _game(book: Book, name: str, new: NewGame) -> Game:
    ours = [team for team in book.teams() if team.ours]
    team = next((team for team in ours if team.name == new.us), ours[0] if len(ours) == 1 else None)
    date = new.date or dt.date.today()
    rules = new.rules or (team.rules if team else "")
    same_day = sum(game.date == date for game in book.games())
    fields: dict[str, Any] = {
        "id": new_id(),
        "game": name,
        "date": date,
        "us": new.us or (team.name if team else "us"),
        "them": new.them or "them",
        "home": new.home,
        "game_no": same_day + 1,
        "level": new.level or (team.level if team else ""),
        "rules": rules,
        "rule_edits": kept_edits(rule_set(rules), new.rule_edits),
        "both_halves": new.both_halves,
    }
    return Game.model_validate(fields)


def _begin(book: Book, game: Game, pitcher: str, slots: list[Slot]) -> None:
    """Write the line-up of the other side and our pitcher: the game's first entries."""
    events = []
    for number, slot in enumerate(slots, 1):
        person = _person(book, game.them, slot.hitter, slot.number, slot.bats)
        bats = slot.bats if slot.bats in ("R", "L") and slot.bats != person.bats else ""
        fields = {"event": "line-up", "who": person.id, "slot": number, "side": "them"}
        events.append(Event.model_validate({**fields, "bats": bats}))
    if len({event.who for event in events}) != len(events):
        raise BadInput("The line-up has one hitter twice: give each of two of one name his number.")
    if pitcher:
        who = _person(book, game.us, pitcher, "", "").id
        events.append(Event(event="pitcher", who=who, side="us"))
    book.extend(game.id, events, joined=True)


def _person(book: Book, team: str, text: str, number: str, bats: str) -> Person:
    """Return the person of a team a line means, made when nobody is called so."""
    one = said(team, text, number)
    both = f"{one.name} #{one.number}" if one.name and one.number else one.name or one.number
    found = book.candidates(team, both) or (
        [p for p in book.candidates(team, one.name) if not p.number] if one.name else []
    )
    if len(found) > 1:
        raise NotInBook(f"More than one player of {team} is called {text}: say the number too.")
    if found:
        changes = {"number": one.number} if one.number and not found[0].number else {}
        # A side that differs from the book's holds for this game: past games keep theirs.
        if bats and (bats == "S" or not found[0].bats):
            changes["bats"] = bats
        return book.change_person(found[0].id, **changes) if changes else found[0]
    fields = {"id": new_id(), "team": team, "name": one.name, "number": one.number, "bats": bats}
    return book.add_person(Person.model_validate(fields))


def read_line_up(path: Path) -> list[Slot]:
    """Read a line-up file: `hitter`, `bats` and `hitter_no`, in batting order.

    Raises
    ------
    BadInput
        If the file cannot be read, or a line names nobody or a side that is not R, L or S.
    """
    table = read_table(path)
    if not {"hitter", "hitter_no"} & set(table.columns):
        raise BadInput(f"{path.name} has no column hitter: a line-up has hitter, bats, hitter_no.")
    rows, bad = CellReader(HITTER_COLUMNS).rows(table)
    slots = []
    for line, cells in rows:
        hitter, number = text_of(cells, "hitter"), text_of(cells, "hitter_no").lstrip("#")
        if not hitter and not number:
            raise BadInput(f"{path.name} line {line} names no hitter.")
        slots.append(Slot(hitter or number, number, text_of(cells, "bats")))
    if bad:
        raise BadInput(f"{path.name} line {bad[0].line}: {bad[0].reason}.")
    if not slots:
        raise BadInput(f"{path.name} names no hitters.")
    return slots
