"""The one door to the book: everything read from it and written to it goes through `Book`."""

import datetime as dt
import json
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Literal, Self

from sqlalchemy import Connection, Engine, Table, delete, func, insert, select, update

from sequencer.errors import BookError, NotInBook
from sequencer.places import default_book
from sequencer.records.base import Record
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.event import Event
from sequencer.records.game import Entry, Game, Row
from sequencer.records.migrations import opening
from sequencer.records.migrations.schema import (
    BULLPENS,
    GAMES,
    MARKS,
    MERGES,
    PEOPLE,
    ROWS,
    TEAMS,
    THROWS,
)
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Pitch

Action = Literal["add", "insert", "correct", "undo", "redo"]


class RowsMoved(BookError):
    """Another session has written to the game since it was read."""


def open_book(path: str | Path, *, create: bool = True, busy_ms: int = opening.BUSY_MS) -> "Book":
    """Open a book, bringing an older one up to this version (a copy of it is kept beside it).

    Parameters
    ----------
    path : str or Path
        The file. `create` makes it when it is not there.
    busy_ms : int
        How long to wait for another program's write, in ms.

    Raises
    ------
    BookError
        One sentence: what is wrong with the file and what to do.
    """
    if "://" in str(path):
        raise BookError(
            "This version keeps a book in one file and does not support a club's server: "
            "name a file with --book."
        )
    file = Path(path).expanduser()
    new = _look_at(file, create)
    engine = opening.engine_for(file, busy_ms)
    try:
        opening.bring_up(engine, file, opening.STEPS, opening.VERSIONS)
    except BaseException:
        engine.dispose()
        if new:
            _remove(file)
        raise
    return Book(engine, file)


def _look_at(file: Path, create: bool) -> bool:
    """Refuse what cannot be a book before the database sees it; return whether it is new."""
    if file.is_dir():
        raise BookError(f"{file} is a folder: name a file for the book.")
    if file.exists():
        if not file.stat().st_mode & 0o222:
            raise BookError(
                f"The book {file} is read-only: allow writing to it, or copy it elsewhere."
            )
        return False
    if not create:
        raise BookError(f"There is no book {file}: check the name, or make it by logging a game.")
    if str(file) == default_book():
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BookError(
                f"The folder {file.parent} cannot be made ({error.strerror})."
            ) from error
    if not file.parent.is_dir():
        raise BookError(f"The folder {file.parent} does not exist: make it, or name another book.")
    return True


def _remove(file: Path) -> None:
    for end in ("", "-wal", "-shm", "-journal"):
        file.with_name(file.name + end).unlink(missing_ok=True)


def _body(record: Record, *but: str) -> str:
    return record.model_dump_json(exclude_defaults=True, exclude=set(but))


def _now() -> str:
    return dt.datetime.now(dt.UTC).isoformat(timespec="milliseconds")


class Book:
    """An open book. Every call is one transaction; `transaction()` makes one of several."""

    def __init__(self, engine: Engine, path: Path) -> None:
        self.path = path
        self._engine = engine
        self._writer = engine.execution_options(writes=True)
        self._open = threading.local()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    # transactions

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Make one transaction of all writes inside: all are kept, or none."""
        with self._write():
            yield

    @contextmanager
    def _write(self) -> Iterator[Connection]:
        outer: Connection | None = getattr(self._open, "connection", None)
        if outer is not None:
            yield outer
            return
        with opening.speaking(self.path), self._writer.begin() as connection:
            self._open.connection = connection
            try:
                yield connection
            finally:
                self._open.connection = None

    @contextmanager
    def _read(self) -> Iterator[Connection]:
        outer: Connection | None = getattr(self._open, "connection", None)
        if outer is not None:
            yield outer
            return
        with opening.speaking(self.path), self._engine.begin() as connection:
            yield connection

    # teams and people

    def teams(self) -> list[Team]:
        """Return every team, ours first, then by name."""
        with self._read() as connection:
            found = connection.execute(
                select(TEAMS.c.name, TEAMS.c.ours, TEAMS.c.body).order_by(
                    TEAMS.c.ours.desc(), TEAMS.c.name
                )
            ).all()
        return [Team.model_validate_json(body) for _name, _ours, body in found]

    def add_team(self, team: Team) -> Team:
        """Keep a team; one of the same name is replaced by what is said now."""
        values = {"ours": team.ours, "body": _body(team)}
        with self._write() as connection:
            known = connection.execute(
                update(TEAMS).where(TEAMS.c.name == team.name).values(values)
            )
            if not known.rowcount:
                connection.execute(insert(TEAMS).values(name=team.name, **values))
        return team

    def everyone(self) -> dict[str, Person]:
        """Return every id ever given -> the person it means now (merged ids mean who was kept)."""
        with self._read() as connection:
            bodies = connection.execute(select(PEOPLE.c.body).order_by(PEOPLE.c.id)).scalars().all()
            kept = self._kept(connection)
        people = {person.id: person for person in map(Person.model_validate_json, bodies)}
        return {id_: people[_end(kept, id_)] for id_ in people}

    def people(self, team: str | None = None) -> list[Person]:
        """Return the people of a team, or of the whole book, by number and name."""
        found = [
            person
            for id_, person in self.everyone().items()
            if id_ == person.id and team in (None, person.team)
        ]
        return sorted(found, key=_by_number)

    def person(self, id_: str) -> Person:
        """Return the person an id means.

        Raises
        ------
        NotInBook
            If no such id was ever given.
        """
        person = self.everyone().get(id_)
        if person is None:
            raise NotInBook(f"No one in the book has the id {id_}.")
        return person

    def candidates(self, team: str | None, said: str) -> list[Person]:
        """Return everyone of a team that a name, a number, `name #7` or an id means."""
        people = self.people(team)
        wanted = " ".join(said.split()).casefold()
        by_both = [p for p in people if wanted == f"{p.name} #{p.number}".casefold()]
        if by_both or " #" in wanted:
            return by_both
        number = wanted.lstrip("#")
        return [p for p in people if wanted and wanted in (p.name.casefold(), p.id)] or [
            p for p in people if number and p.number.casefold() == number
        ]

    def find_person(self, team: str | None, said: str) -> Person:
        """Return the one person of a team that a name or number means (case aside).

        Raises
        ------
        NotInBook
            If there is none, or more than one: the sentence names the candidates.
        """
        found = self.candidates(team, said)
        if len(found) == 1:
            return found[0]
        where = f"of {team}" if team else "of the book"
        if found:
            those = "; ".join(_described(p) for p in found)
            raise NotInBook(f"More than one player {where} is called {said}: {those}.")
        there = ", ".join(p.label for p in self.people(team)[:12]) or "nobody yet"
        raise NotInBook(f"No player {where} is called {said}; there are: {there}.")

    def add_person(self, person: Person) -> Person:
        """Keep a new person.

        Raises
        ------
        BookError
            If his id is taken.
        """
        with self._write() as connection:
            self._insert(connection, PEOPLE, [_person_columns(person)])
        return person

    def change_person(self, id_: str, **changes: Any) -> Person:
        """Change what is said of a person; returns him as he is now."""
        with self._write() as connection:
            old = self.person(id_)
            person = Person.model_validate({**old.model_dump(), **changes, "id": old.id})
            connection.execute(
                update(PEOPLE).where(PEOPLE.c.id == old.id).values(_person_columns(person))
            )
        return person

    def merge_people(self, keep: str, gone: str) -> int:
        """Say that two ids are one person: from now on `gone` means `keep`.

        Returns
        -------
        int
            The merge's number, for `undo_merge`.
        """
        with self._write() as connection:
            kept, lost = self.person(keep), self.person(gone)
            if kept.id == lost.id:
                raise BookError(f"{kept.label} is already one person in the book.")
            n = int(connection.execute(select(func.max(MERGES.c.n))).scalar() or 0) + 1
            merge = {"n": n, "keep": kept.id, "gone": lost.id, "at": _now()}
            self._insert(connection, MERGES, [merge])
        return n

    def undo_merge(self, n: int) -> None:
        """Take merge `n` back: the two are two again, with everything each had."""
        with self._write() as connection:
            merge = connection.execute(select(MERGES).where(MERGES.c.n == n)).one_or_none()
            if merge is None or merge.undoes is not None:
                raise NotInBook(f"There is no merge {n} in the book.")
            connection.execute(
                insert(MERGES).values(keep=merge.keep, gone=merge.gone, undoes=n, at=_now())
            )

    @staticmethod
    def _kept(connection: Connection) -> dict[str, str]:
        merges = connection.execute(select(MERGES).order_by(MERGES.c.n)).all()
        undone = {merge.undoes for merge in merges}
        return {m.gone: m.keep for m in merges if m.undoes is None and m.n not in undone}

    # marks

    def marks(self, person: str | None = None) -> list[Mark]:
        """Return the marks of a person (of every id that means him), or of everyone."""
        everyone = self.everyone()
        wanted = everyone[person].id if person in everyone else person
        with self._read() as connection:
            bodies = connection.execute(select(MARKS.c.body).order_by(MARKS.c.n)).scalars().all()
        marks = [Mark.model_validate_json(body) for body in bodies]
        meant = [mark.model_copy(update={"person": everyone[mark.person].id}) for mark in marks]
        return [mark for mark in meant if wanted in (None, mark.person)]

    def add_mark(self, mark: Mark) -> Mark:
        """Keep a mark; the same one seen the same way is replaced."""
        with self._write() as connection:
            self._drop(connection, mark.person, mark.mark, mark.against, mark.seen_in)
            self._insert(
                connection,
                MARKS,
                [{"person": mark.person, "mark": mark.mark, "body": _body(mark)}],
            )
        return mark

    def drop_mark(self, person: str, mark: str) -> None:
        """Take a mark off a person, however it was seen."""
        with self._write() as connection:
            self._drop(connection, person, mark, None, None)

    def _drop(
        self,
        connection: Connection,
        person: str,
        mark: str,
        against: str | None,
        seen_in: str | None,
    ) -> None:
        everyone = self.everyone()
        wanted = self.person(person).id
        found = connection.execute(
            select(MARKS.c.n, MARKS.c.body).where(MARKS.c.mark == mark)
        ).all()
        for n, body in found:
            old = Mark.model_validate_json(body)
            if everyone[old.person].id != wanted:
                continue
            if against in (None, old.against) and seen_in in (None, old.seen_in):
                connection.execute(delete(MARKS).where(MARKS.c.n == n))

    # games

    def games(self) -> list[Game]:
        """Return every game by date and number of the day."""
        with self._read() as connection:
            bodies = (
                connection.execute(
                    select(GAMES.c.body).order_by(GAMES.c.date, GAMES.c.game_no, GAMES.c.game)
                )
                .scalars()
                .all()
            )
        return [Game.model_validate_json(body) for body in bodies]

    def find_game(self, said: str) -> Game | None:
        """Return the game of this name or id, the latest when a name came again, or None."""
        found = [game for game in self.games() if said in (game.game, game.id)]
        return found[-1] if found else None

    def add_game(self, game: Game) -> Game:
        """Keep a new game; teams the book does not know yet are added, `us` as ours."""
        with self._write() as connection:
            known = {team.name for team in self.teams()}
            for name, ours in ((game.us, True), (game.them, False)):
                if name not in known:
                    self.add_team(Team(name=name, ours=ours, level=game.level if ours else ""))
                    known.add(name)
            self._insert(connection, GAMES, [_game_columns(game)])
        return game

    def change_game(self, id_: str, **changes: Any) -> Game:
        """Change a game's header; returns it as it is now."""
        with self._write() as connection:
            body = connection.execute(select(GAMES.c.body).where(GAMES.c.id == id_)).scalar()
            if body is None:
                raise NotInBook(f"No game in the book has the id {id_}.")
            old = Game.model_validate_json(body)
            game = Game.model_validate({**old.model_dump(), **changes, "id": id_})
            connection.execute(update(GAMES).where(GAMES.c.id == id_).values(_game_columns(game)))
        return game

    # rows

    def rows(self, game_id: str) -> list[Row]:
        """Return the rows of a game in order."""
        with self._read() as connection:
            found = connection.execute(
                select(ROWS).where(ROWS.c.game_id == game_id).order_by(ROWS.c.seq)
            ).all()
        return [_row(*row) for row in found]

    def last_seq(self, game_id: str) -> int:
        """Return the number of a game's last row, 0 for none."""
        with self._read() as connection:
            return self._last(connection, game_id)

    def stamps(self) -> dict[str, int]:
        """Return every game's id -> its number of rows: a game that changed has a new stamp."""
        with self._read() as connection:
            found = connection.execute(
                select(ROWS.c.game_id, func.max(ROWS.c.seq)).group_by(ROWS.c.game_id)
            ).all()
        return {game_id: int(last) for game_id, last in found}

    def append(
        self,
        game_id: str,
        action: Action,
        *,
        entry: Entry | None = None,
        target: int | None = None,
        changes: Mapping[str, Any] | None = None,
        after_seq: int | None = None,
        joined: bool = False,
    ) -> Row:
        """Write one row to a game; it is on disk when this returns.

        Parameters
        ----------
        after_seq : int, optional
            The last row the caller knows of.
        joined : bool
            Whether undo takes this row together with the one before it.

        Raises
        ------
        RowsMoved
            If `after_seq` is no longer the last row; nothing is written.
        """
        with self._write() as connection:
            last = self._last(connection, game_id)
            if after_seq is not None and last != after_seq:
                raise RowsMoved("Another session has logged to this game meanwhile.")
            row = Row(
                seq=last + 1,
                action=action,
                pitch=entry if isinstance(entry, Pitch) else None,
                event=entry if isinstance(entry, Event) else None,
                target=target,
                changes=dict(changes or {}),
                joined=joined,
                at=_now(),
            )
            self._insert(connection, ROWS, [_row_columns(game_id, row)])
        return row

    def extend(self, game_id: str, entries: Iterable[Entry]) -> int:
        """Add many entries to a game in one transaction; returns how many."""
        now = _now()
        with self._write() as connection:
            first = self._last(connection, game_id) + 1
            rows = [
                Row(
                    seq=seq,
                    action="add",
                    pitch=entry if isinstance(entry, Pitch) else None,
                    event=entry if isinstance(entry, Event) else None,
                    at=now,
                )
                for seq, entry in enumerate(entries, first)
            ]
            if rows:
                self._insert(connection, ROWS, [_row_columns(game_id, row) for row in rows])
        return len(rows)

    @staticmethod
    def _last(connection: Connection, game_id: str) -> int:
        last = connection.execute(
            select(func.max(ROWS.c.seq)).where(ROWS.c.game_id == game_id)
        ).scalar()
        return int(last or 0)

    # bullpens

    def bullpens(self, pitcher: str | None = None) -> list[Bullpen]:
        """Return the bullpens of a pitcher, or all, by date, with their throws."""
        everyone = self.everyone()
        with self._read() as connection:
            heads = connection.execute(
                select(BULLPENS.c.id, BULLPENS.c.body).order_by(
                    BULLPENS.c.date, BULLPENS.c.bullpen, BULLPENS.c.id
                )
            ).all()
            thrown = connection.execute(
                select(THROWS.c.bullpen_id, THROWS.c.body).order_by(THROWS.c.bullpen_id, THROWS.c.n)
            ).all()
        throws: dict[str, list[Throw]] = {}
        for id_, body in thrown:
            throws.setdefault(id_, []).append(Throw.model_validate_json(body))
        found = []
        for id_, body in heads:
            pen = Bullpen.model_validate_json(body)
            who = everyone[pen.pitcher].id
            if pitcher is None or who == everyone[pitcher].id:
                found.append(
                    pen.model_copy(update={"pitcher": who, "throws": tuple(throws.get(id_, ()))})
                )
        return found

    def add_bullpen(self, bullpen: Bullpen) -> Bullpen:
        """Keep a bullpen; one of the same id is replaced."""
        with self._write() as connection:
            connection.execute(delete(THROWS).where(THROWS.c.bullpen_id == bullpen.id))
            connection.execute(delete(BULLPENS).where(BULLPENS.c.id == bullpen.id))
            head = {
                "id": bullpen.id,
                "bullpen": bullpen.bullpen,
                "date": bullpen.date,
                "pitcher": bullpen.pitcher,
                "body": _body(bullpen, "throws"),
            }
            self._insert(connection, BULLPENS, [head])
            throws = [
                {"bullpen_id": bullpen.id, "n": n, "body": _body(throw)}
                for n, throw in enumerate(bullpen.throws, 1)
            ]
            if throws:
                self._insert(connection, THROWS, throws)
        return bullpen

    # the book itself

    @property
    def version(self) -> str:
        """The version of the book's tables."""
        return opening.version_of(self._engine, self.path)

    def check(self) -> list[str]:
        """Return what is wrong with the file, one sentence each; empty when it is sound."""
        with self._read() as connection:
            whole = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
            loose = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        problems = [f"The file is damaged: {said}." for said in whole if said != "ok"]
        problems += [f"A row of {row[0]} refers to a missing row of {row[2]}." for row in loose]
        return problems

    def backup(self, path: str | Path) -> Path:
        """Copy the book, whole, to a file that may not exist yet; returns the file."""
        to = Path(path).expanduser()
        if to.exists():
            raise BookError(f"{to} exists already: name another file for the copy.")
        if not to.parent.is_dir():
            raise BookError(f"The folder {to.parent} does not exist: make it, or name another.")
        opening.copy(self._engine, self.path, to)
        return to

    @staticmethod
    def _insert(connection: Connection, table: Table, values: Sequence[Mapping[str, Any]]) -> None:
        connection.execute(insert(table), list(values))


def _end(kept: Mapping[str, str], id_: str) -> str:
    """Follow merges to the person kept; a ring (merged both ways) ends where it began."""
    seen = {id_}
    while id_ in kept and kept[id_] not in seen:
        id_ = kept[id_]
        seen.add(id_)
    return id_


def _by_number(person: Person) -> tuple[str, int, str, str]:
    number = int(person.number) if person.number.isdigit() else 10_000
    return (person.team, number, person.name, person.id)


def _described(person: Person) -> str:
    parts = [person.label, f"#{person.number}" if person.number else "", person.team]
    return ", ".join(dict.fromkeys(part for part in parts if part))


def _person_columns(person: Person) -> dict[str, Any]:
    return {
        "id": person.id,
        "team": person.team,
        "name": person.name,
        "number": person.number,
        "body": _body(person),
    }


def _game_columns(game: Game) -> dict[str, Any]:
    return {
        "id": game.id,
        "game": game.game,
        "date": game.date,
        "game_no": game.game_no,
        "us": game.us,
        "them": game.them,
        "body": _body(game),
    }


def _row_columns(game_id: str, row: Row) -> dict[str, Any]:
    if row.pitch is not None:
        kind, body = "pitch", _body(row.pitch)
    elif row.event is not None:
        kind, body = "event", _body(row.event)
    else:
        kind, body = "", json.dumps(row.changes)
    return {
        "game_id": game_id,
        "seq": row.seq,
        "action": row.action,
        "kind": kind,
        "target": row.target,
        "joined": row.joined,
        "body": body,
        "at": row.at,
    }


def _row(
    _game: str,
    seq: int,
    action: Action,
    kind: str,
    target: int | None,
    joined: bool,
    body: str,
    at: str,
) -> Row:
    return Row(
        seq=seq,
        action=action,
        pitch=Pitch.model_validate_json(body) if kind == "pitch" else None,
        event=Event.model_validate_json(body) if kind == "event" else None,
        changes={} if kind else json.loads(body),
        target=target,
        joined=joined,
        at=at,
    )
