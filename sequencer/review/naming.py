"""Who is who in a log, and which game is which: codes, names, and a game as a coach says it."""

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.review.placing import Codes, Spelled, spelled

if TYPE_CHECKING:
    import pandas as pd


def keyed(frame: "pd.DataFrame", what: str) -> Spelled:
    """Return the book's own key where there is one, else the name (and day, for a game)."""
    name = spelled(frame, what)
    if what == "game":
        name = name.then(spelled(frame, "date")).then(spelled(frame, "game_no"))
    return spelled(frame, f"{what}_id").otherwise(name)


def numbered_hitter(frame: "pd.DataFrame") -> Spelled:
    """Return a key of the hitter: two of one name differ by number or team."""
    number, team = spelled(frame, "hitter_no"), spelled(frame, "team")
    return keyed(frame, "hitter").then(number).then(team)


def named(frame: "pd.DataFrame", what: str) -> tuple[Codes, tuple[str, ...]]:
    """Return numbers by key, and a name for each; two people of one name stay two."""
    code, keys = keyed(frame, what).numbered()
    name = spelled(frame, what)
    last = np.zeros(len(keys) + 1, dtype=np.int64)
    last[code] = name.code  # one without a key writes to the spare place at the end
    said = name.words[last[:-1]].tolist()
    return code, tuple(word or key for word, key in zip(said, keys, strict=True))


def days(frame: "pd.DataFrame", game: Codes, games: int) -> tuple[str, ...]:
    """Return each game as a coach says it: by its day, and which of the day; else by its name."""
    if not games:
        return ()
    first = np.full(games, len(game))
    np.minimum.at(first, game, np.arange(len(game)))
    rows = frame.iloc[first]
    dates = [_day(word) for word in spelled(rows, "date").each().tolist()]
    names = spelled(rows, "game").each().tolist()
    several = len({date.year for date in dates if date}) > 1
    that_day = Counter(dates)
    said, which = [], Counter[dt.date]()
    for date, name in zip(dates, names, strict=True):
        if date is None:
            said.append(name if name.lower().startswith("game") else f"the game {name}".strip())
            continue
        which[date] += 1
        one = _ORDINALS.get(which[date], "last") + " " if that_day[date] > 1 else ""
        year = f" {date.year}" if several else ""
        said.append(f"the {one}game of {date.day} {_MONTHS[date.month - 1]}{year}")
    return tuple(said)


_ORDINALS: Final = {1: "first", 2: "second", 3: "third"}
_MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def _day(word: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(word[:10])
    except ValueError:
        return None
