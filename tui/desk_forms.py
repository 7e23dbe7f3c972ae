"""What the forms of the UI say, read into the book: games, players, signs."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.rules import (
    DEFAULT_RULES,
    EDITABLE,
    RULES,
    kept_edits,
    read_edits,
    rule_set,
)
from sequencer.errors import BadInput
from sequencer.live.opening import NewGame, open_game
from sequencer.live.session import Session
from sequencer.records.base import new_id
from sequencer.records.game import Game
from sequencer.records.people import Person, Team
from sequencer.records.store import Book
from tui.views import GameForm, HitterView, RulesForm


def game_form(book: Book, pitcher: str) -> GameForm:
    """Return what a new game may be, beginning with what the last one was."""
    games = book.games()
    last = games[-1] if games else None
    ours = [team.name for team in book.teams() if team.ours]
    us = last.us if last else ours[0] if ours else ""
    values = {
        "date": dt.date.today().isoformat(),
        "us": us,
        "home": "us",
        "level": (last.level if last else "") or DEFAULT_LEVEL,
        "rules": (last.rules if last else "") or DEFAULT_RULES,
        "pitcher": pitcher,
        "rule_edits": edits_line(last) if last else "",
    }
    return GameForm(values, tuple(LEVELS), tuple(RULES))


def new_game(book: Book, said: Mapping[str, str]) -> Session:
    """Make a game of what a form said, and begin it.

    Raises
    ------
    CoachError
        If a team is missing, the date or the line-up file does not read, or the name is taken.
    """
    if not said["us"] or not said["them"]:
        raise BadInput("A game needs both teams: fill in our team and the opponent.")
    name = said["game"] or f"{said['date']} {said['them']}"
    if book.find_game(name) is not None:
        raise BadInput(f"There is a game called {name} already: give this one another name.")
    new = NewGame(
        us=said["us"],
        them=said["them"],
        home=said["home"],
        pitcher=said["pitcher"],
        line_up=Path(said["line_up"]).expanduser() if said["line_up"] else None,
        level=said["level"],
        rules=said["rules"],
        date=_date(said["date"]),
        both_halves=said["both"] == "yes",
        rule_edits=read_edits(said["rule_edits"]),
    )
    return open_game(book, name, new)


def edits_line(game: Game) -> str:
    """Return a game's rule changes in one line, as `read_edits` takes them."""
    edits = kept_edits(rule_set(game.rules), game.rule_edits)
    return "; ".join(f"{rule}={value}" for rule, value in edits.items())


def rules_form(game: Game) -> RulesForm:
    """Return what the form of a game's rules shows."""
    title = f"Rules of {game.game}: {game.rules or DEFAULT_RULES}, but for"
    told = f"Rules: {', '.join(EDITABLE)}. An empty line takes all changes back."
    return RulesForm(title, edits_line(game), told)


def hitter_view(book: Book, person_id: str) -> HitterView:
    """Return a hitter's page."""
    one = book.person(person_id)
    marks = {mark.mark: mark.how_often for mark in book.marks(person_id)}
    sides = {"R": "hits right", "L": "hits left", "S": "hits both ways", "": "side not known"}
    number = f"#{one.number} " if one.number and one.name else ""
    title = f"{one.team}: {number}{one.label}, {sides[one.bats]}"
    values = {
        "name": one.name,
        "number": one.number,
        "bats": one.bats or "?",
        "throws": one.throws or "?",
        "signs": "; ".join(f"{digit}={pitch}" for digit, pitch in one.signs.items()),
        "note": one.note,
    }
    return HitterView(one.id, title, one.note, marks, values)


def save_person(book: Book, person_id: str, team: str, said: Mapping[str, str]) -> str:
    """Keep what a form said of a player; returns his id.

    Raises
    ------
    BadInput
        If there is neither a name nor a number, or the signs do not read.
    """
    if not said["name"] and not said["number"]:
        raise BadInput("A player needs a name or a number.")
    values: dict[str, Any] = {**said, "signs": parse_signs(said["signs"])}
    values |= {name: said[name].replace("?", "") for name in ("bats", "throws")}
    if person_id:
        return book.change_person(person_id, **values).id
    if team not in {known.name for known in book.teams()}:
        book.add_team(Team(name=team or "opponent"))
    made = Person.model_validate({"id": new_id(), "team": team or "opponent", **values})
    return book.add_person(made).id


def parse_signs(text: str) -> dict[str, str]:
    """Read a pitcher's signs, such as `1=fastball; 2=changeup`.

    Raises
    ------
    BadInput
        Naming the sign that does not read.
    """
    signs = {}
    for part in filter(None, (part.strip() for part in text.replace(",", ";").split(";"))):
        digit, _, pitch = (word.strip().lower() for word in part.partition("="))
        if len(digit) != 1 or digit not in "123456789" or pitch not in TYPES:
            types = ", ".join(TYPES)
            raise BadInput(f"'{part}' is not a sign and a pitch, as 1=fastball; types: {types}.")
        signs[digit] = pitch
    return signs


def _date(said: str) -> dt.date:
    try:
        return dt.date.fromisoformat(said)
    except ValueError as error:
        raise BadInput(f"'{said}' is not a date: write it as 2026-05-17.") from error
