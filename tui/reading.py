"""The pitches of the book as one frame; only games that are asked for and have changed are read."""

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from sequencer.records.frames import games_frame
from sequencer.records.game import Game
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd

#: What a game is known by: its header and how many rows it has.
_Stamp = tuple[Game, int]


class Pitches:
    """Pitches of a book, read game by game as they are asked for; who is one person may change."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._merges: list[tuple[int, str, str]] = []
        self._named: dict[str, tuple[_Stamp, frozenset[str]]] = {}
        self._read: dict[str, _Stamp] = {}
        self._frame: pd.DataFrame | None = None

    def all(self) -> "pd.DataFrame":
        """Return every pitch of the book, games by date."""
        games = self._games()
        return self._of_games(games, games)

    def of(self, people: Collection[str]) -> "pd.DataFrame":
        """Return every pitch of the games in which any of these people played, games by date.

        Parameters
        ----------
        people : collection of str
            Ids; whoever is the same person by a merge is meant too.
        """
        games = self._games()
        return self._of_games(games, self._with(games, people))

    def games_of(self, people: Collection[str]) -> frozenset[str]:
        """Return the ids of the games in which any of these people may have played."""
        return self._with(self._games(), people)

    def _with(self, games: dict[str, _Stamp], people: Collection[str]) -> frozenset[str]:
        everyone = self._book.everyone()
        wanted = {everyone[id_].id for id_ in people if id_ in everyone}
        ids = {id_ for id_, person in everyone.items() if person.id in wanted}.union(people)
        stand_ins = {id_.rsplit("?", 2)[0] for id_ in ids if "?" in id_}
        named = self._words(games)
        return frozenset(id_ for id_ in games if id_ in stand_ins or not named[id_].isdisjoint(ids))

    def _games(self) -> dict[str, _Stamp]:
        """Return every game by date, as it stands."""
        merges, stamps = self._book.merges(), self._book.stamps()
        if merges != self._merges:
            self._merges, self._frame = merges, None
            self._read.clear()
        return {game.id: (game, stamps.get(game.id, 0)) for game in self._book.games()}

    def _words(self, games: dict[str, _Stamp]) -> dict[str, frozenset[str]]:
        moved = [id_ for id_, now in games.items() if self._named.get(id_, (None,))[0] != now]
        if moved:
            for id_, words in self._book.mentioned(moved).items():
                self._named[id_] = games[id_], words
        return {id_: self._named[id_][1] for id_ in games}

    def _of_games(self, games: dict[str, _Stamp], wanted: Iterable[str]) -> "pd.DataFrame":
        """Return the pitches of some games, those that have changed read again."""
        import pandas as pd

        wanted = set(wanted)
        moved = {id_ for id_ in wanted if self._read.get(id_) != games[id_]}
        if moved or self._frame is None:
            more = games_frame(self._book, moved)
            if self._frame is None:
                self._frame = more
            else:
                held = self._frame[~self._frame["game_id"].isin(moved)]
                both = pd.concat([held, more], ignore_index=True) if len(more) else held
                place = {id_: i for i, id_ in enumerate(games)}
                order = both["game_id"].map(place).to_numpy().argsort(kind="stable")
                self._frame = both.iloc[order].reset_index(drop=True)
            self._read.update({id_: games[id_] for id_ in moved})
        if wanted >= self._read.keys():
            return self._frame
        return self._frame[self._frame["game_id"].isin(wanted)].reset_index(drop=True)
