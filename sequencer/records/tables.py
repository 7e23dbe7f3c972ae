"""The book as rows of the declared tables: what exports write and frames hold."""

import datetime as dt
import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final

from sequencer.baseball import zone
from sequencer.baseball.hands import BOTH
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

_PLACES: Final = ("cell", "target")
_THROWN: Final = tuple(
    column.name for column in THROWN_COLUMNS if column.name not in {*_PLACES, "imported"}
)
_EVENT_PLAIN: Final = {
    "side",
    "slot",
    "bats",
    "throws",
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
        if self.exact:
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
    columns = pitch_columns(state, names)
    for values in zip(*columns.values(), strict=True):
        yield dict(zip(columns, values, strict=True))


def pitch_columns(state: State, names: Naming) -> dict[str, Sequence[Value]]:
    """Return the pitches of a game by column, as `pitch_rows` has them.

    By column since every column of a game takes one step in C instead of one for each pitch.
    """
    many = len(state.log)
    moments = [logged.before for logged in state.log]
    pitches = [logged.pitch for logged in state.log]
    head = {name: (value,) * many for name, value in _head(state.game).items()}
    return head | _moments(state.game, moments, names) | _all_thrown(pitches, moments)


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


def _moments(game: Game, moments: Sequence[Moment], names: Naming) -> dict[str, Sequence[Value]]:
    was = across(Moment._fields, moments)
    pitchers, hitters = was["pitcher"], was["hitter"]
    hitting = {"us": game.them, "them": game.us}
    sides = zip(was["bats"], was["bats_assumed"], strict=True)
    teams = zip(hitters, was["pitching"], strict=True)
    return {
        **{name: was[name] for name in ("pitching", "inning", "half", "outs")},
        **{base: _each(names.runner, was[base]) for base in ("on_first", "on_second", "on_third")},
        **{name: was[name] for name in ("score_us", "score_them", "balls", "strikes")},
        "pitcher": _each(names.label, pitchers),
        "pitcher_id": pitchers,
        "throws": was["throws"],
        "catcher": _each(names.name, was["catcher"]),
        "hitter": _each(names.label, hitters),
        "hitter_id": hitters,
        "hitter_no": _each(lambda id_: _of(names.people.get(id_), "number"), hitters),
        "team": [
            names.people[id_].team if id_ in names.people else hitting[pitching]
            for id_, pitching in teams
        ],
        "bats": ["" if assumed else bats for bats, assumed in sides],
        "at_bat": was["at_bat"],
        "pitch_no": was["pitch_no"],
    }


def _of(person: Person | None, field: str) -> str:
    return getattr(person, field) if person else ""


def _all_thrown(pitches: Sequence[Pitch], moments: Sequence[Moment]) -> dict[str, Sequence[Value]]:
    """Return what was thrown, places in the words of each hitter."""
    told = across((*_THROWN, *_PLACES, "observed"), pitches)
    bats = [before.bats for before in moments]
    return {
        **{name: told[name] for name in _THROWN},
        **{place: list(map(_in_his_words, told[place], bats)) for place in _PLACES},
        "imported": [seen is not None for seen in told["observed"]],
    }


#: There are only so many places and two sides.
_in_his_words = lru_cache(maxsize=4096)(zone.to_hitter)


def across(names: Sequence[str], things: Sequence[Any]) -> dict[str, Sequence[Any]]:
    """Return attributes of things by name, each of all things in order."""
    rows = map(attrgetter(*names), things)
    return dict(zip(names, zip(*rows, strict=True) if things else ((),) * len(names), strict=True))


def _each(says: Callable[[str], str], ids: Sequence[str]) -> Sequence[str]:
    """Return what is said of each id; of the same one it is found out once."""
    said = {id_: says(id_) for id_ in set(ids)}
    return [said[id_] for id_ in ids]


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
        "throws": "" if pitcher.throws == BOTH else pitcher.throws,
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
