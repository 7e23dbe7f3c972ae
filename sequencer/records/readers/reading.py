"""What files amount to, gathered in memory, then written to the book in one transaction."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from typing import NamedTuple

from sequencer.errors import BookError
from sequencer.records.bullpen import Bullpen
from sequencer.records.game import Entry, Game
from sequencer.records.people import Mark, Team
from sequencer.records.readers.roster import Roster
from sequencer.records.readers.table import BadRow
from sequencer.records.state import State
from sequencer.records.store import Book


class Defaults(NamedTuple):
    """What rows mean that do not say: the teams, the day, the level and the rule set."""

    us: str = "Us"
    them: str = "Them"
    date: dt.date | None = None
    level: str = ""
    rules: str = ""


class Placed(NamedTuple):
    """An entry for a game: at its end, or before row `target`."""

    game_id: str
    entry: Entry
    target: int | None = None


MarkKey = tuple[str, str, str, str]


@dataclass(slots=True)
class Reading:
    """Everything read so far; the book is not touched before `write`.

    `states` holds every game the files told of, as it stands with what was read; `last_seen` the
    last row of each in the book.
    """

    book: Book
    roster: Roster
    bad: list[BadRow] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    added: int = 0
    known: int = 0
    games: dict[str, Game] = field(default_factory=dict)
    placed: list[Placed] = field(default_factory=list)
    bullpens: dict[str, Bullpen] = field(default_factory=dict)
    both_halves: set[str] = field(default_factory=set)
    told_games: set[str] = field(default_factory=set)
    states: list[State] = field(default_factory=list)
    last_seen: dict[str, int] = field(default_factory=dict)
    _marks: dict[MarkKey, Mark] = field(default_factory=dict)
    _held: dict[MarkKey, Mark] | None = None
    _book_games: list[Game] | None = None

    @property
    def book_games(self) -> list[Game]:
        """The games the book held when the first of them was asked for."""
        if self._book_games is None:
            self._book_games = self.book.games()
        return self._book_games

    def count(self, *, new: bool) -> None:
        """Count a good row: new, or known to the book already."""
        if new:
            self.added += 1
        else:
            self.known += 1

    def warn(self, sentence: str) -> None:
        """Keep a warning, once."""
        if sentence not in self.warnings:
            self.warnings.append(sentence)

    def add_mark(self, mark: Mark) -> bool:
        """Keep a mark to write; return False when the book or the file holds it already."""
        if self._held is None:
            self._held = {mark_key(held): held for held in self.book.marks()}
        key = mark_key(mark)
        if mark in (self._held.get(key), self._marks.get(key)):
            return False
        self._marks.pop(key, None)
        self._marks[key] = mark
        return True

    def write(self) -> None:
        """Write everything to the book: all of it, or nothing.

        Raises
        ------
        BookError
            If somebody logged to one of the games since it was read.
        """
        with self.book.transaction():
            self._check_unmoved()
            self._write_people()
            for game in self.games.values():
                self.book.add_game(game)
            for id_ in sorted(self.both_halves - set(self.games)):
                self.book.change_game(id_, both_halves=True)
            for game_id, placed in groupby(self.placed, key=lambda one: one.game_id):
                self._write_entries(game_id, placed)
            for bullpen in self.bullpens.values():
                self.book.add_bullpen(bullpen)

    def _check_unmoved(self) -> None:
        for game_id, last in self.last_seen.items():
            if self.book.last_seq(game_id) != last:
                raise BookError(
                    "another session logged to one of these games meanwhile and nothing was read; "
                    "read the file again"
                )

    def _write_people(self) -> None:
        roster = self.roster
        people = [roster.record(id_) for id_ in roster.added if id_ in roster.used]
        for team in self._new_teams({person.team for person in people}):
            self.book.add_team(team)
        for person in people:
            self.book.add_person(person)
        for gone, keep in roster.merged.values():
            self.book.merge_people(keep, gone.id)
        for id_ in roster.changed:
            person = roster.people[id_]
            self.book.change_person(id_, **person.model_dump(exclude={"id", "team"}))
        for mark in self._marks.values():
            self.book.add_mark(mark)

    def _new_teams(self, wanted: set[str]) -> list[Team]:
        held = {team.name: team for team in self.book.teams()}
        ours = {game.us for game in self.games.values()}
        teams = self.roster.teams
        named = wanted | self.roster.told_teams
        return [
            team.model_copy(update={"ours": True})
            if name in ours - self.roster.told_teams
            else team
            for name, team in teams.items()
            if name in named and held.get(name) != team
        ]

    def _write_entries(self, game_id: str, placed: Iterable[Placed]) -> None:
        for target, some in groupby(placed, key=lambda one: one.target):
            entries = [one.entry for one in some]
            if target is None:
                self.book.extend(game_id, entries)
                continue
            for entry in entries:
                self.book.append(game_id, "insert", entry=entry, target=target)


def mark_key(mark: Mark) -> MarkKey:
    """Return what makes two marks the same one: who, which, against what, seen in what."""
    return (mark.person, mark.mark, mark.against, mark.seen_in)
