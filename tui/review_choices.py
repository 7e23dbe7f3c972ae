"""Whom and which games a review can be of: games by their headers, people by what was read."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from sequencer.records.game import Game
from sequencer.records.store import Book
from tui.views import Choice, ReviewAsked, ReviewLists

if TYPE_CHECKING:
    import pandas as pd

EVERYONE: Final = "all our pitchers"
_LATE: Final = (1, 3, 5)


def at_once(book: Book, pitchers: Sequence[Choice]) -> ReviewLists:
    """Return what can be told without reading a game: our pitchers, and every game with a pitch.

    Parameters
    ----------
    pitchers : sequence of Choice
        Our people by id, those who have pitched first.
    """
    whom = (*(Choice(f"us/pitcher/{one.id}", one.says) for one in pitchers), _EVERY)
    pitched = book.pitched()
    games = [game for game in book.games() if game.id in pitched]
    return ReviewLists(whom, tuple(_games(games)), tuple(_days(games)))


_EVERY: Final = Choice("us//", EVERYONE)


def _games(games: Sequence[Game]) -> Iterator[Choice]:
    yield Choice("", "all games")
    for number in _LATE:
        yield Choice(
            f"last {number}", f"the last {number} games" if number > 1 else "the last game"
        )
    for them in sorted({game.them for game in games}):
        yield Choice(f"against {them}", f"against {them}")
    for game in reversed(games):
        yield Choice(f"game {game.id}", f"{game.date}  {game.them}   {game.game}")


def _days(games: Sequence[Game]) -> list[Choice]:
    against: dict[str, list[str]] = {}
    for game in reversed(games):
        against.setdefault(str(game.date), []).insert(0, game.them)
    return [Choice(day, f"{day}  {', '.join(them)}") for day, them in against.items()]


def whom(frame: "pd.DataFrame") -> Iterator[Choice]:
    """Yield everybody a review of these pitches can be of: pitchers, callers, catchers, theirs."""
    ours = frame[frame["pitching"].fillna("us").replace("", "us") == "us"]
    for id_, name in dict(zip(ours["pitcher_id"], ours["pitcher"], strict=True)).items():
        yield Choice(f"us/pitcher/{id_}", f"{name}")
    yield _EVERY
    for of, does in (("caller", "calls"), ("catcher", "catches")):
        for name in dict.fromkeys(ours[of].dropna()):
            if name:
                yield Choice(f"us/{of}/{name}", f"{name} {does}")
    theirs = frame[frame["pitching"] == "them"]
    named = zip(theirs["pitcher"], theirs["them"], strict=True)
    for id_, (name, team) in dict(zip(theirs["pitcher_id"], named, strict=True)).items():
        yield Choice(f"them/pitcher/{id_}", f"{name}, {team}: to our hitters")


# which games


def chosen_games(games: Sequence[Game], asked: ReviewAsked) -> list[str]:
    """Return the ids of the games a review may rest on, as far as their headers tell."""
    kind, _, which = asked.games.partition(" ")
    return [
        game.id
        for game in games
        if str(game.date) >= asked.since
        and (kind != "against" or game.them == which)
        and (kind != "game" or game.id == which)
    ]


def last_games(frame: "pd.DataFrame", number: int) -> "pd.DataFrame":
    """Keep the pitches of the last so many games."""
    played = list(dict.fromkeys(frame["game_id"]))
    return frame[frame["game_id"].isin(played[-number:])]


def in_words(frame: "pd.DataFrame", asked: ReviewAsked) -> str:
    """Say which games were asked for; "" for all."""
    kind, _, which = asked.games.partition(" ")
    said = {
        "against": f" against {which}",
        "game": f" ({frame['game'].iloc[0]})",
        "last": f", the last {which}" if which != "1" else ", the last",
    }.get(kind, "")
    return said + (f" since {asked.since}" if asked.since else "")
