"""The health of a book: is the file whole, does every game replay, is everyone named in it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sequencer.errors import CoachError
from sequencer.records.game import Entry, Game, Row
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch
from sequencer.records.replay import replay
from sequencer.records.store import Book


@dataclass(frozen=True, slots=True)
class Health:
    """What was found in a book.

    `problems` make it unsound; `notes` are places where an outside log does not fit the game it
    tells, which is kept as it came.
    """

    version: str
    counts: dict[str, int]
    problems: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems

    def as_json(self) -> dict[str, Any]:
        """Return it as JSON would hold it."""
        return {
            "sound": self.sound,
            "version": self.version,
            "counts": self.counts,
            "problems": list(self.problems),
            "notes": list(self.notes),
        }


@dataclass(slots=True)
class _Found:
    pitches: int = 0
    events: int = 0
    rows: int = 0
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def examine(book: Book) -> Health:
    """Return the health of a book: every game is replayed.

    Raises
    ------
    BookError
        If the file cannot be read at all.
    """
    found = _Found(problems=book.check())
    people, games = book.everyone(), book.games()
    for game in games:
        _examine_game(book, game, people, found)
    counts = {
        "teams": len(book.teams()),
        "people": len(book.people()),
        "marks": len(book.marks()),
        "games": len(games),
        "pitches": found.pitches,
        "events": found.events,
        "rows": found.rows,
        "bullpens": len(book.bullpens()),
    }
    return Health(book.version, counts, tuple(found.problems), tuple(found.notes))


def _examine_game(book: Book, game: Game, people: dict[str, Person], found: _Found) -> None:
    rows = book.rows(game.id)
    found.rows += len(rows)
    if [row.seq for row in rows] != list(range(1, len(rows) + 1)):
        found.problems.append(f"Game {game.game} lacks rows between its first and its last.")
    strangers = sorted({id_ for id_ in _named(rows) if id_ not in people and "?" not in id_})
    found.problems += [
        f"Game {game.game} names {id_}, who is not in the book." for id_ in strangers
    ]
    try:
        state = replay(game, people, rows)
    except CoachError as error:
        found.problems.append(f"Game {game.game} cannot be replayed: {error}")
        return
    found.pitches += len(state.log)
    found.events += len(state.happened)
    found.notes += [f"Game {game.game}, {problem}" for problem in state.problems]


def _named(rows: Iterable[Row]) -> Iterator[str]:
    """Yield the ids of people that the rows of a game name."""
    for row in rows:
        if row.action in ("add", "insert"):
            yield from filter(None, _people(row.entry))


def _people(entry: Entry) -> tuple[str, ...]:
    if not isinstance(entry, Pitch):
        return entry.who, entry.for_whom
    seen = entry.observed
    bases = (seen.on_first, seen.on_second, seen.on_third) if seen else ()
    return tuple(base for base in bases if base and base != "1")
