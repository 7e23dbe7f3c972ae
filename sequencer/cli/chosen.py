"""Which pitches of a log a review looks at: of one pitcher, catcher, opponent, game; of late."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    import pandas as pd

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--pitcher", metavar="NAME", help="Only this pitcher."),
    click.option("--catcher", metavar="NAME", help="Only what this catcher caught."),
    click.option("--against", metavar="OPPONENT", help="Only games against this team."),
    click.option("--game", metavar="NAME", help="Only this game."),
    click.option(
        "--since",
        metavar="DATE",
        type=click.DateTime(formats=["%Y-%m-%d"]),
        help="Only games from this day on (2026-04-01).",
    ),
    click.option(
        "--last", metavar="N", type=click.IntRange(min=1), help="Only the last N of these games."
    ),
)


def chosen_options(function: F) -> F:
    """Add the options that choose pitches of a log."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


@dataclass(frozen=True)
class Chosen:
    """The pitches wanted; what is None is not asked about."""

    pitcher: str | None = None
    catcher: str | None = None
    against: str | None = None
    game: str | None = None
    since: dt.datetime | None = None
    last: int | None = None

    @classmethod
    def of(cls, said: dict[str, Any]) -> "Chosen":
        """Return what a command's options say."""
        return cls(**{each.name: said[each.name] for each in fields(cls)})

    def of_log(self, frame: "pd.DataFrame") -> "pd.DataFrame":
        """Keep the pitches chosen; of a log without any there is nothing to choose.

        Raises
        ------
        NotInBook
            With the names there are, when nothing of a name, a game or a day is left.
        """
        if frame.empty:
            return frame
        for column, said, what in (
            ("them", self.against, "games against"),
            ("game", self.game, "game called"),
            ("pitcher", self.pitcher, "pitches of"),
            ("catcher", self.catcher, "pitches caught by"),
        ):
            if said is not None:
                frame = _named(frame, column, said, what)
        if self.since is not None:
            frame = _since(frame, self.since)
        return frame if self.last is None else _last(frame, self.last)


def _named(frame: "pd.DataFrame", column: str, said: str, what: str) -> "pd.DataFrame":
    from sequencer.errors import NotInBook

    words = frame[column].fillna("").astype(str) if column in frame else None
    kept = None if words is None else words.str.casefold() == said.strip().casefold()
    if kept is None or not kept.any():
        names = sorted(set(words[words != ""])) if words is not None else []
        known = ", ".join(names) if names else "none that is named"
        raise NotInBook(f"No {what} '{said}' among these pitches; there is {known}.")
    return frame[kept]


def _since(frame: "pd.DataFrame", since: dt.datetime) -> "pd.DataFrame":
    import pandas as pd

    from sequencer.errors import NotInBook

    day = pd.to_datetime(frame["date"], errors="coerce")
    kept = frame[day >= pd.Timestamp(since)]
    if kept.empty:
        latest = (
            "no game has a date" if day.isna().all() else f"the last was on {day.max():%Y-%m-%d}"
        )
        raise NotInBook(f"No game is left from {since:%Y-%m-%d} on; {latest}.")
    return kept


def _last(frame: "pd.DataFrame", games: int) -> "pd.DataFrame":
    """Keep the last games by day, and by number or as the log has them within a day."""
    by = [name for name in ("date", "game_no") if name in frame]
    key = "game_id" if "game_id" in frame else "game"
    played = frame.drop_duplicates([*by, key]).sort_values(by, kind="stable")
    late = played[[*by, key]].tail(games)
    return frame[frame.set_index([*by, key]).index.isin(late.set_index([*by, key]).index)]
