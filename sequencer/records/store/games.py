"""Games and their rows."""

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from sqlalchemy import Connection, Select, func, or_, select, update

from sequencer.errors import BookError, NotInBook
from sequencer.records.event import Event
from sequencer.records.game import Entry, Game, Row
from sequencer.records.migrations.schema import GAMES, ROWS
from sequencer.records.people import Team
from sequencer.records.pitch import Pitch
from sequencer.records.store.door import body_of, put, stamp
from sequencer.records.store.people import People

Action = Literal["add", "insert", "correct", "remove", "undo", "redo"]


class RowsMoved(BookError):
    """Another session has written to the game since it was read."""


class Games(People):
    """What happened."""

    def games(self) -> list[Game]:
        """Return every game by date and number of the day."""
        return self._games(select(GAMES.c.body))

    def _games(self, query: Select[Any]) -> list[Game]:
        by_day = query.order_by(GAMES.c.date, GAMES.c.game_no, GAMES.c.game)
        with self._read() as connection:
            bodies = connection.execute(by_day).scalars().all()
        return [Game.model_validate_json(body) for body in bodies]

    def find_game(self, said: str, date: dt.date | None = None) -> Game | None:
        """Return the game of this name or id (and day), the latest when a name came again."""
        called = select(GAMES.c.body).where(or_(GAMES.c.id == said, GAMES.c.game == said))
        found = [game for game in self._games(called) if date in (None, game.date)]
        return found[-1] if found else None

    def add_game(self, game: Game) -> Game:
        """Keep a new game; teams the book does not know yet are added, `us` as ours."""
        with self._write() as connection:
            known = {team.name for team in self.teams()}
            for name, ours in ((game.us, True), (game.them, False)):
                if name not in known:
                    self.add_team(Team(name=name, ours=ours, level=game.level if ours else ""))
                    known.add(name)
            put(connection, GAMES, [_game_columns(game)])
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

    def pitched(self) -> frozenset[str]:
        """Return the ids of the games in which any pitch was logged."""
        with self._read() as connection:
            found = connection.execute(
                select(ROWS.c.game_id).where(ROWS.c.kind == "pitch").distinct()
            ).scalars()
            return frozenset(found)

    def mentioned(self, games: Iterable[str]) -> dict[str, frozenset[str]]:
        """Return whom the events and corrections of games name, by id: game -> their words.

        Everyone who pitched or hit is among them, but for the stand-ins of people nobody named,
        whose ids begin with the game's.
        """
        found: dict[str, set[str]] = {game: set() for game in games}
        with self._read() as connection:
            rows = connection.execute(
                select(ROWS.c.game_id, ROWS.c.body).where(ROWS.c.kind != "pitch")
            )
            for game_id, body in rows:
                if game_id in found:
                    found[game_id].update(v for v in json.loads(body).values() if type(v) is str)
        return {game: frozenset(words) for game, words in found.items()}

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
                at=stamp(),
            )
            put(connection, ROWS, [_row_columns(game_id, row)])
        return row

    def extend(self, game_id: str, entries: Iterable[Entry], *, joined: bool = False) -> int:
        """Add many entries to a game in one transaction; returns how many.

        `joined` makes them one act with what was there before: what a game begins with is never
        undone.
        """
        at = stamp()
        with self._write() as connection:
            first = self._last(connection, game_id) + 1
            rows = [
                Row(
                    seq=seq,
                    action="add",
                    pitch=entry if isinstance(entry, Pitch) else None,
                    event=entry if isinstance(entry, Event) else None,
                    joined=joined,
                    at=at,
                )
                for seq, entry in enumerate(entries, first)
            ]
            if rows:
                put(connection, ROWS, [_row_columns(game_id, row) for row in rows])
        return len(rows)

    @staticmethod
    def _last(connection: Connection, game_id: str) -> int:
        last = connection.execute(
            select(func.max(ROWS.c.seq)).where(ROWS.c.game_id == game_id)
        ).scalar()
        return int(last or 0)


def _game_columns(game: Game) -> dict[str, Any]:
    return {
        "id": game.id,
        "game": game.game,
        "date": game.date,
        "game_no": game.game_no,
        "us": game.us,
        "them": game.them,
        "body": body_of(game),
    }


def _row_columns(game_id: str, row: Row) -> dict[str, Any]:
    if row.pitch is not None:
        kind, text = "pitch", body_of(row.pitch)
    elif row.event is not None:
        kind, text = "event", body_of(row.event)
    else:
        kind, text = "", json.dumps(row.changes)
    return {
        "game_id": game_id,
        "seq": row.seq,
        "action": row.action,
        "kind": kind,
        "target": row.target,
        "joined": row.joined,
        "body": text,
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
