"""The pitches of the book as one frame; only games that have changed are read again."""

from typing import TYPE_CHECKING

from sequencer.records.frames import pitch_frame
from sequencer.records.game import Game
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd


class Pitches:
    """Every pitch of a book, kept by game, header and stamp, while who is one person stands."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._games: dict[str, tuple[tuple[Game, int], pd.DataFrame]] = {}
        self._merges: list[tuple[int, str, str]] = []

    def all(self) -> "pd.DataFrame":
        """Return every pitch of the book, games by date."""
        import pandas as pd

        merges, stamps, games = self._book.merges(), self._book.stamps(), self._book.games()
        if merges != self._merges:
            self._games.clear()
            self._merges = merges
        for game in games:
            now = (game, stamps.get(game.id, 0))
            if game.id not in self._games or self._games[game.id][0] != now:
                self._games[game.id] = (now, pitch_frame(self._book, game=game.id))
        frames = [self._games[game.id][1] for game in games]
        filled = [frame for frame in frames if len(frame)]
        return pd.concat(filled, ignore_index=True) if filled else pitch_frame(self._book, game="")
