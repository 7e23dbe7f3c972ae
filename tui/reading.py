"""The pitches of the book as one frame; only games with new rows are read again."""

from typing import TYPE_CHECKING

from sequencer.records.frames import pitch_frame
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd


class Pitches:
    """Every pitch of a book, kept by game and stamp."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._games: dict[str, tuple[int, pd.DataFrame]] = {}

    def all(self) -> "pd.DataFrame":
        """Return every pitch of the book, games by date."""
        import pandas as pd

        stamps = self._book.stamps()
        games = [game.id for game in self._book.games()]
        for game in games:
            stamp = stamps.get(game, 0)
            if self._games.get(game, (-1, None))[0] != stamp:
                self._games[game] = (stamp, pitch_frame(self._book, game=game))
        frames = [self._games[game][1] for game in games]
        filled = [frame for frame in frames if len(frame)]
        return pd.concat(filled, ignore_index=True) if filled else pitch_frame(self._book, game="")
