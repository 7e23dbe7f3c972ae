"""What the book (or a file) says of a pitcher and of hitters, as beliefs a plan is made from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sequencer.baseball.levels import DEFAULT_LEVEL
from sequencer.baseball.levels import level as find_level
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.rules import RuleSet, rule_set
from sequencer.errors import BadInput, NotInBook
from sequencer.estimates import command, hitter, league
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.live.guess_rate import guess_rate, watched
from sequencer.records import frames, tables
from sequencer.records.columns import HITTER_COLUMNS, known_word
from sequencer.records.held_pitches import Pitches
from sequencer.records.people import Mark, Person, Team
from sequencer.records.readers.cells import CellReader, Cells, text_of
from sequencer.records.readers.hitters import parse_mark
from sequencer.records.readers.table import BadRow, only, read_table
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd

#: Endings of a file of hitters; anything else is a team.
FILES: Final = (".csv", ".jsonl", ".parquet")


@dataclass(frozen=True, slots=True)
class Met:
    """A hitter as he is known before any pitch: who, and his marks."""

    person: Person
    marks: tuple[Mark, ...] = ()


class Scouting:
    """Beliefs out of one book, or out of nothing but a level when there is no book.

    Of the book only the games of whoever is asked about are read, each once; a game that goes on is
    for `live.advice`.

    Parameters
    ----------
    book : Book, optional
    pitches : DataFrame, optional
        Pitches of the book that are held already: none are read beside them.
    """

    def __init__(self, book: Book | None = None, pitches: "pd.DataFrame | None" = None) -> None:
        self.book = book
        self._pitches = pitches
        self._read = None if book is None else Pitches(book)

    def pitches_of(self, person: str) -> "pd.DataFrame | None":
        """Return every pitch of the games in which somebody (an id) played; None without a book."""
        if self._pitches is not None or self._read is None:
            return self._pitches
        return self._read.of((person,))

    def find_pitcher(self, said: str) -> Person | None:
        """Return our pitcher of a name or number; None when the book has no such person of ours.

        Raises
        ------
        NotInBook
            If two of ours are called so.
        """
        if self.book is None:
            return None
        ours = [team.name for team in self.book.teams() if team.ours]
        found = [one for team in ours for one in self.book.candidates(team, said)]
        if not found:
            found = self.book.candidates(None, said)
        if len(found) > 1:
            those = ", ".join(f"{one.label} of {one.team}" for one in found)
            raise NotInBook(f"More than one player is called {said}: {those}; say the id.")
        return found[0] if found else None

    def level_of(self, person: Person | None, said: str = "") -> str:
        """Return the level to plan at: as said, else his team's, else the default."""
        return find_level(said or self._team(person).level or DEFAULT_LEVEL).name

    def rules_of(self, person: Person | None, level: str, said: str = "") -> RuleSet:
        """Return the rule set to plan by: as said, else his team's, else the level's usual one."""
        return rule_set(said or self._team(person).rules or find_level(level).rules)

    def _team(self, person: Person | None) -> Team:
        if self.book is not None and person is not None:
            for team in self.book.teams():
                if team.name == person.team:
                    return team
        return Team(name="")

    def pitcher(
        self,
        said: str,
        level: str,
        *,
        arsenal: Sequence[str] = (),
        throws: str = "",
        today: "pd.DataFrame | None" = None,
    ) -> PitcherBelief:
        """Return what is believed of a pitcher; of one not in the book, what his level is like.

        Parameters
        ----------
        said : str
            A name, number or id.
        level : str
        arsenal : sequence of str
            What he throws, in place of what the book has seen.
        throws : str
            R or L, where the book does not say.
        today : DataFrame, optional
            Today's pitches so far, anyone's: his may shelve one.

        Raises
        ------
        NotInBook
            If he is not in the book and nothing says what he throws.
        """
        person = self.find_pitcher(said)
        if person is None:
            return _unknown(said, level, tuple(arsenal), throws)
        pitches = self.pitches_of(person.id)
        seen = None if pitches is None else pitches[pitches["pitcher_id"] == person.id]
        if today is not None and seen is not None:
            seen = seen[~seen["game_id"].isin(today["game_id"].unique())]
            today = today[today["pitcher_id"] == person.id]
        thrown = None if self.book is None else frames.bullpen_frame(self.book, pitcher=person.id)
        belief = command.believe(person, thrown, seen, level, today)
        belief = replace(belief, throws=throws or person.throws or "R")
        return with_arsenal(belief, arsenal) if arsenal else belief

    def hitter(self, met: Met, at: League, *, throws: str = "", bats: str = "") -> HitterBelief:
        """Return what is believed of a hitter against a pitcher of this hand."""
        pitches = self.pitches_of(met.person.id)
        seen = None if pitches is None else pitches[pitches["hitter_id"] == met.person.id]
        return hitter.believe(met.person, met.marks, seen, at, bats=bats, throws=throws)

    def find_hitter(self, said: str) -> Met | None:
        """Return a hitter of the book with his marks, an opponent before one of ours; None if none.

        Raises
        ------
        NotInBook
            If two are called so.
        """
        if self.book is None:
            return None
        ours = {team.name for team in self.book.teams() if team.ours}
        named = self.book.candidates(None, said)
        found = [one for one in named if one.team not in ours] or named
        if len(found) > 1:
            those = ", ".join(f"{one.label} of {one.team}" for one in found)
            raise NotInBook(f"More than one hitter is called {said}: {those}; say the id.")
        return Met(found[0], tuple(self.book.marks(found[0].id))) if found else None

    def anyone(self, said: str, at: League, *, throws: str = "", bats: str = "") -> HitterBelief:
        """Return a hitter of the book, else the level's usual one under the name that was said."""
        met = self.find_hitter(said)
        if met is not None:
            return self.hitter(met, at, throws=throws, bats=bats)
        person = Person(id="", team="", name=said)
        usual = hitter.believe(person, (), None, at, bats=bats, throws=throws)
        note = f"{said} is not in the book: taken for the usual hitter at {at.level}"
        return replace(usual, notes=(note,))

    def of_game(self, game: str) -> "pd.DataFrame | None":
        """Return every pitch of a game of the book so far; None when there are none.

        Raises
        ------
        NotInBook
            If there is no such game.
        """
        found = None if self.book is None else self.book.find_game(game)
        if found is None or self._read is None:
            raise NotInBook(f"No game of the book is called {game}.")
        own = self._read.in_games((found.id,))
        return None if own.empty else own

    def guess_rate(self, pitcher: str, game: str) -> float | None:
        """Return how often a reader would have named a pitcher's pitches in a game of the book.

        None before enough pitches have been thrown, and for a pitcher who is not in the book.

        Raises
        ------
        NotInBook
            If there is no such game.
        """
        person = self.find_pitcher(pitcher)
        if self.book is None or self.book.find_game(game) is None:
            raise NotInBook(f"No game of the book is called {game}.")
        if person is None:
            return None
        log = [one for state in tables.states(self.book, game=game) for one in state.log]
        return guess_rate(watched(log, game, person.id)).named

    def line_up(self, said: str) -> tuple[Met, ...]:
        """Return the hitters of a team of the book, or of a file.

        Raises
        ------
        NotInBook
            If there is no such team.
        BadInput
            If the file cannot be read; its bad rows are named.
        """
        if Path(said).suffix.lower() in FILES or Path(said).is_file():
            return tuple(self._known(met) for met in read_hitters(said))
        if self.book is None:
            raise NotInBook(
                f"There is no book to look {said} up in: name a file of hitters, or a book with "
                "--book."
            )
        name = self.book.find_team(said).name
        people = self.book.people(name)
        if not people:
            raise NotInBook(f"{name} has no players in the book yet: scout or import its hitters.")
        return tuple(Met(one, tuple(self.book.marks(one.id))) for one in people)

    def _known(self, met: Met) -> Met:
        """Return a hitter of a file with what the book holds of the one of his team and name."""
        if self.book is None or not met.person.team:
            return met
        said = met.person.name or met.person.number
        found = self.book.candidates(met.person.team, said)
        if len(found) != 1:
            return met
        person = found[0].model_copy(update={"bats": met.person.bats or found[0].bats})
        held = tuple(self.book.marks(person.id))
        told = tuple(mark.model_copy(update={"person": person.id}) for mark in met.marks)
        return Met(person, held + tuple(mark for mark in told if mark not in held))


def league_of(level: str, path: Path | None = None) -> League:
    """Return the league of a level: the built-in one, or one that `sequencer fit` wrote.

    Raises
    ------
    BadInput
        If the file is not such a league.
    """
    return league.load(level, path)


def _unknown(said: str, level: str, arsenal: tuple[str, ...], throws: str) -> PitcherBelief:
    if not arsenal:
        raise NotInBook(
            f"{said} is not a pitcher of the book: check the name, or say what he throws, such as "
            '--arsenal "fastball,changeup".'
        )
    found = command.average(level, arsenal=arsenal, name=said, throws=throws or "R")
    note = f"{said} is not in the book: planned from what is usual at {level}"
    return replace(found, notes=(note,))


def with_arsenal(belief: PitcherBelief, arsenal: Sequence[str]) -> PitcherBelief:
    """Return a pitcher with just these pitches; one he has not shown is the level's usual."""
    usual = command.average(belief.level, arsenal=tuple(arsenal))
    own = {pitch.pitch: pitch for pitch in belief.arsenal}
    return replace(belief, arsenal=tuple(own.get(pitch.pitch, pitch) for pitch in usual.arsenal))


def parse_arsenal(text: str) -> tuple[str, ...]:
    """Read pitch types with commas between.

    Raises
    ------
    BadInput
        If one is not a pitch type; the nearest is named.
    """
    words = [known_word(word, TYPES, "pitch type") for word in text.split(",") if word.strip()]
    return tuple(dict.fromkeys(words))


def read_hitters(path: str | Path) -> tuple[Met, ...]:
    """Read a file of hitters: `hitter` or `hitter_no`, `bats`, `marks`; `team` may be absent.

    Raises
    ------
    BadInput
        If the file cannot be read, holds nobody, has a column nobody knows, or a row is bad; rows
        are named by line.
    """
    rows, bad = CellReader(HITTER_COLUMNS).rows(only(read_table(path), HITTER_COLUMNS))
    met: list[Met] = []
    for line, cells in rows:
        try:
            met.append(_met(cells, line))
        except BadInput as error:
            bad.append(BadRow(line, str(error)))
    if bad:
        raise BadInput(f"{Path(path).name} {_named(bad)}.")
    if not met:
        raise BadInput(f"{Path(path).name} names no hitter: one a line, in the column 'hitter'.")
    return tuple(met)


def _met(cells: Cells, line: int) -> Met:
    name, number = text_of(cells, "hitter"), text_of(cells, "hitter_no")
    if not (name or number):
        raise BadInput("names no hitter: give a name or a number")
    person = Person.model_validate(
        {
            "id": f"line {line}",
            "team": text_of(cells, "team"),
            "name": name,
            "number": number,
            "bats": text_of(cells, "bats"),
        }
    )
    tokens = cells.get("marks")
    told = tokens if isinstance(tokens, tuple) else ()
    marks = [Mark.model_validate({"person": person.id, **parse_mark(token)}) for token in told]
    return Met(person, tuple(marks))


def _named(bad: Iterable[BadRow], most: int = 3) -> str:
    rows = sorted(bad, key=lambda row: row.line)
    named = "; ".join(f"line {row.line}: {row.reason}" for row in rows[:most])
    return named + (f"; and {len(rows) - most} more" if len(rows) > most else "")
