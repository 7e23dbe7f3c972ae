"""The book as rows of the declared tables: what exports write and frames hold."""

import datetime as dt
import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from sequencer.baseball import zone
from sequencer.errors import BookError, CoachError
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.columns import THROWN_COLUMNS, Value
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Mark, Person
from sequencer.records.pitch import Pitch
from sequencer.records.replay import replay
from sequencer.records.state import Happened, Logged, Moment, State
from sequencer.records.store import Book

Cells = dict[str, Value]

_PLACES: Final = frozenset({"cell", "target"})
_THROWN: Final = tuple(
    column.name for column in THROWN_COLUMNS if column.name not in {*_PLACES, "imported"}
)
_EVENT_PLAIN: Final = {
    "side",
    "slot",
    "bats",
    "at_bat",
    "balls",
    "strikes",
    "score_us",
    "score_them",
    "pitches",
    "imported",
}
#: What a person nobody has named yet is called.
UNNAMED: Final = "unnamed"


def played(game: Game, people: Mapping[str, Person], book: Book) -> State:
    """Return a game of the book as its rows give it.

    Raises
    ------
    BookError
        If it cannot be replayed, naming it.
    """
    try:
        return replay(game, people, book.rows(game.id))
    except CoachError as error:
        raise BookError(f"game {game.game} cannot be replayed: {error}; run sequencer check") from (
            error
        )


@dataclass(slots=True)
class Naming:
    """How people of one game are named in its rows.

    With `exact`, names that several share become numbers or keys, so that a reader finds each
    person again; without, everyone goes by name.
    """

    people: Mapping[str, Person]
    teams: frozenset[str] = frozenset()
    exact: bool = False
    _mates: list[Person] = field(default_factory=list)
    _named: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find who could be confused."""
        self._mates = [
            person
            for id_, person in self.people.items()
            if id_ == person.id and person.team in self.teams
        ]

    def meant(self, id_: str) -> str:
        """Return the key a person has now."""
        person = self.people.get(id_)
        return person.id if person else id_

    def label(self, id_: str) -> str:
        """Return the name of a person, or his number while he has none."""
        person = self.people.get(id_)
        return person.label if person else UNNAMED if id_ else ""

    def name(self, id_: str) -> str:
        """Return a text that names a person: his label, or when exact one that no other has."""
        if not self.exact:
            return self.label(id_)
        if id_ not in self._named:
            self._named[id_] = self._exact(id_)
        return self._named[id_]

    def _exact(self, id_: str) -> str:
        person = self.people.get(id_)
        if person is None:
            return id_
        return reference(person, self._mates) if person.team in self.teams else person.id

    def runner(self, id_: str) -> str:
        """Return what a base holds: a name, 1 for a runner without one, or nothing."""
        nobody = id_ and id_ not in self.people and not self.exact
        return "1" if nobody else self.name(id_)


def reference(person: Person, mates: Iterable[Person]) -> str:
    """Return the shortest text that means this person and none of his mates."""
    others = [mate for mate in mates if mate.id != person.id]
    name, number = person.name, person.number
    plain = name and "#" not in name and not name.isdecimal() and name not in {"0", "1"}
    if plain and name.casefold() not in {mate.name.casefold() for mate in others}:
        return name
    if number and not set(number) & set("# ") and number not in {m.number for m in others}:
        return f"#{number}"
    return person.id


def team_rows(book: Book) -> Iterator[Cells]:
    """Yield the teams."""
    for team in book.teams():
        yield {"team": team.name, "ours": team.ours, "level": team.level, "rules": team.rules}


def people_rows(book: Book) -> Iterator[Cells]:
    """Yield the people, then those merged away, in the order they were merged."""
    for person in book.people():
        yield _person(person)
    everyone = book.everyone()
    for person, _ in book.merged_away():
        yield _person(person) | {"merged_into": everyone[person.id].id}


def _person(person: Person) -> Cells:
    signs = tuple(f"{sign}={pitch}" for sign, pitch in person.signs.items())
    return person.model_dump() | {"signs": signs}


def mark_rows(book: Book) -> Iterator[Cells]:
    """Yield the marks, each of a person once."""
    people = book.everyone()
    last: dict[tuple[str, ...], Mark] = {}
    for mark in book.marks():
        key = (mark.person, mark.mark, mark.against, mark.seen_in)
        last.pop(key, None)
        last[key] = mark
    for mark in last.values():
        person = people[mark.person]
        yield mark.model_dump() | {"team": person.team, "hitter": person.label}


def game_rows(book: Book) -> Iterator[Cells]:
    """Yield the headers of games."""
    for game in _games(book):
        edits = json.dumps(game.rule_edits, ensure_ascii=False, sort_keys=True)
        yield game.model_dump(exclude={"id"}) | {
            "game_id": game.id,
            "rule_edits": edits if game.rule_edits else "",
        }


def _games(book: Book) -> list[Game]:
    return sorted(book.games(), key=by_day)


def by_day(game: Game) -> tuple[dt.date, int, str, str]:
    """Return what games are sorted by."""
    return game.date, game.game_no, game.game, game.id


def states(
    book: Book,
    *,
    game: str | None = None,
    games: Collection[str] | None = None,
    since: dt.date | None = None,
) -> Iterator[State]:
    """Yield the games of the book by date, each replayed.

    All of them, the one of a name or id, those of some ids, or those of a day or later.
    """
    people = book.everyone()
    for one in _games(book):
        named = game in (None, one.id, one.game) and (games is None or one.id in games)
        if named and (since is None or one.date >= since):
            yield played(one, people, book)


def naming(state: State, *, exact: bool) -> Naming:
    """Return how the people of a game are named."""
    return Naming(state.people, frozenset({state.game.us, state.game.them}), exact)


def pitch_rows(state: State, names: Naming) -> Iterator[Cells]:
    """Yield the pitches of a game, places in the hitter's words."""
    head = _head(state.game)
    for logged in state.log:
        where = _moment(state.game, logged.before, names)
        yield head | where | thrown(logged.pitch, logged.before.bats)


def _head(game: Game) -> Cells:
    return {
        "game": game.game,
        "game_id": game.id,
        "game_no": game.game_no,
        "date": game.date,
        "us": game.us,
        "them": game.them,
        "home": game.home,
        "level": game.level,
        "rules": game.rules,
    }


def _moment(game: Game, before: Moment, names: Naming) -> Cells:
    pitcher, hitter = names.people.get(before.pitcher), names.people.get(before.hitter)
    hitting = game.them if before.pitching == "us" else game.us
    return {
        "pitching": before.pitching,
        "inning": before.inning,
        "half": before.half,
        "outs": before.outs,
        "on_first": names.runner(before.on_first),
        "on_second": names.runner(before.on_second),
        "on_third": names.runner(before.on_third),
        "score_us": before.score_us,
        "score_them": before.score_them,
        "balls": before.balls,
        "strikes": before.strikes,
        "pitcher": names.label(before.pitcher),
        "pitcher_id": before.pitcher,
        "throws": pitcher.throws if pitcher else "",
        "catcher": names.name(before.catcher),
        "hitter": names.label(before.hitter),
        "hitter_id": before.hitter,
        "hitter_no": hitter.number if hitter else "",
        "team": hitter.team if hitter else hitting,
        "bats": "" if before.bats_assumed else before.bats,
        "at_bat": before.at_bat,
        "pitch_no": before.pitch_no,
    }


def thrown(pitch: Pitch, bats: str) -> Cells:
    """Return the cells of what was thrown, places in the words of a hitter on side `bats`."""
    cells: Cells = {name: getattr(pitch, name) for name in _THROWN}
    for place in _PLACES:
        cells[place] = zone.to_hitter(getattr(pitch, place), bats)
    cells["imported"] = pitch.observed is not None
    return cells


def event_rows(state: State, names: Naming) -> Iterator[Cells]:
    """Yield the events of a game, each after the pitch it followed."""
    after, order = -1, 0
    for happened in state.happened:
        order = order + 1 if happened.after_n == after else 1
        after = happened.after_n
        yield _event(state, happened, order, names)


def _event(state: State, happened: Happened, order: int, names: Naming) -> Cells:
    event: Event = happened.event
    last: Logged | None = state.log[happened.after_n - 1] if happened.after_n else None
    return {
        "game": state.game.game,
        "game_id": state.game.id,
        "after_at_bat": last.before.at_bat if last else 0,
        "after_pitch": last.before.pitch_no if last else 0,
        "order": order,
        "event": event.event,
        "who": names.name(event.who),
        "from": event.base_from,
        "to": event.base_to,
        "for": names.name(event.for_whom),
        **event.model_dump(include=_EVENT_PLAIN),
        "reason": event.reason or _umpires_count(event),
    }


def _umpires_count(event: Event) -> str:
    """Return the umpire's count as a reader without our own columns finds it, 2-1."""
    told = event.event == "count" and event.balls is not None and event.strikes is not None
    return f"{event.balls}-{event.strikes}" if told else ""


def bullpen_rows(book: Book, *, exact: bool = True) -> Iterator[Cells]:
    """Yield the throws of every bullpen; one without a throw is one row."""
    people = book.everyone()
    names = {
        person.team: Naming(people, frozenset({person.team}), exact) for person in people.values()
    }
    for pen in sorted(book.bullpens(), key=lambda p: (p.date, p.bullpen, p.id)):
        pitcher = people[pen.pitcher]
        head = _bullpen(pen, pitcher, names[pitcher.team])
        if not pen.throws:
            yield head
        for throw in pen.throws:
            yield head | _throw(throw)


def _bullpen(pen: Bullpen, pitcher: Person, names: Naming) -> Cells:
    return {
        "bullpen": pen.bullpen,
        "bullpen_id": pen.id,
        "date": pen.date,
        "team": pitcher.team,
        "pitcher": pitcher.label,
        "pitcher_id": pitcher.id,
        "throws": pitcher.throws,
        "catcher": names.name(pen.catcher),
        "game": pen.game,
        "bullpen_note": pen.note,
    }


def _throw(throw: Throw) -> Cells:
    cells: Cells = throw.model_dump(exclude={"set_no", "throw_no"})
    for place in _PLACES:
        word = getattr(throw, place)
        cells[place] = zone.to_hitter(word, throw.hitter_side) if throw.hitter_side else word
    return cells | {"set": throw.set_no, "throw": throw.throw_no}
