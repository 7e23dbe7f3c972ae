"""The pitches of the book as one frame; only games that are asked for and have changed are read."""

import time
from collections.abc import Callable, Collection
from typing import TYPE_CHECKING, Final, NamedTuple

from sequencer.records.frames import games_frame
from sequencer.records.game import Game
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd

#: What a game is known by: its header and how many rows it has.
_Stamp = tuple[Game, int]
#: Games read in one go: between two of them it is told how far it is, and a stop loses only one.
_AT_ONCE: Final = 100
#: Seconds from which on it is told how far reading is, and from one time to the next.
_TOLD_EVERY: Final = 0.3
Told = Callable[[str], None]


class _Part(NamedTuple):
    """Games that were read together, and their pitches."""

    read: dict[str, _Stamp]
    frame: "pd.DataFrame"


def quiet(_: str) -> None:
    """Take no notice of how far something is."""


class Pitches:
    """Pitches of a book, read game by game as they are asked for; who is one person may change."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._merges: list[tuple[int, str, str]] = []
        self._named: dict[str, tuple[_Stamp, frozenset[str]]] = {}
        self._parts: list[_Part] = []

    def all(self, told: Told = quiet) -> "pd.DataFrame":
        """Return every pitch of the book, games by date."""
        games = self._games()
        return self._of_games(games, games, told)

    def of(self, people: Collection[str], told: Told = quiet) -> "pd.DataFrame":
        """Return every pitch of the games in which any of these people played, games by date.

        Parameters
        ----------
        people : collection of str
            Ids; whoever is the same person by a merge is meant too.
        told : callable
            Takes sentences on how far it is. Who stops it midway loses nothing that was read.
        """
        games = self._games()
        return self._of_games(games, self._with(games, people), told)

    def in_games(self, games: Collection[str], told: Told = quiet) -> "pd.DataFrame":
        """Return every pitch of some games (ids), by date."""
        return self._of_games(self._games(), games, told)

    @property
    def held(self) -> frozenset[str]:
        """The ids of the games that have been read."""
        return frozenset(self._read())

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
            self._merges, self._parts = merges, []
        return {game.id: (game, stamps.get(game.id, 0)) for game in self._book.games()}

    def _words(self, games: dict[str, _Stamp]) -> dict[str, frozenset[str]]:
        moved = [id_ for id_, now in games.items() if self._named.get(id_, (None,))[0] != now]
        if moved:
            for id_, words in self._book.mentioned(moved).items():
                self._named[id_] = games[id_], words
        return {id_: self._named[id_][1] for id_ in games}

    def _of_games(
        self, games: dict[str, _Stamp], wanted: Collection[str], told: Told
    ) -> "pd.DataFrame":
        """Return the pitches of some games, those that have changed read again."""
        read = self._read()
        wanted = frozenset(wanted) & games.keys()
        moved = [id_ for id_ in games if id_ in wanted and read.get(id_) != games[id_]]
        self._read_in(games, moved, told)
        frame = self._whole(games)
        if wanted >= self._read().keys():
            return frame
        return frame[frame["game_id"].isin(wanted)].reset_index(drop=True)

    def _read(self) -> dict[str, _Stamp]:
        """Return the games that are held, as they stood when they were read last."""
        return {id_: stamp for part in self._parts for id_, stamp in part.read.items()}

    def _read_in(self, games: dict[str, _Stamp], moved: list[str], told: Told) -> None:
        due = time.monotonic() + _TOLD_EVERY
        for at in range(0, len(moved), _AT_ONCE):
            if time.monotonic() > due:
                told(f"Reading the book: {at} of {len(moved)} games …")
                due = time.monotonic() + _TOLD_EVERY
            some = moved[at : at + _AT_ONCE]
            frame = games_frame(self._book, some)
            # One step, so that work stopped here has read these games or has not.
            self._parts.append(_Part({id_: games[id_] for id_ in some}, frame))

    def _whole(self, games: dict[str, _Stamp]) -> "pd.DataFrame":
        """Return all that is held, as one part from now on."""
        import pandas as pd

        if not self._parts:
            return games_frame(self._book, ())
        if len(self._parts) > 1:
            newest = {id_: n for n, part in enumerate(self._parts) for id_ in part.read}
            held = [
                part.frame[part.frame["game_id"].map(newest) == n]
                for n, part in enumerate(self._parts)
            ]
            both = pd.concat([each for each in held if len(each)] or held[:1], ignore_index=True)
            place = {id_: i for i, id_ in enumerate(games)}
            by_day = both["game_id"].map(place)
            if not by_day.is_monotonic_increasing:
                order = by_day.to_numpy().argsort(kind="stable")
                both = both.iloc[order].reset_index(drop=True)
            self._parts = [_Part(self._read(), both)]
        return self._parts[0].frame
