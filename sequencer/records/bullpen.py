"""Bullpens: sets of throws, each with the call before it and where it went."""

import datetime as dt
from typing import Literal

from sequencer.records.base import Record


class Throw(Record):
    """One throw. `cell` and `target` are in the catcher's frame, as for a pitch."""

    set_no: int
    throw_no: int
    pitch: str = "unknown"
    called: str = ""
    target: str = ""
    cell: str = ""
    side_in: float | None = None
    height_in: float | None = None
    seen_from: str = ""
    speed_mph: float | None = None
    strike: bool | None = None
    count: str = ""
    hitter_side: Literal["", "R", "L"] = ""
    drill: str = ""
    tells: tuple[str, ...] = ()
    tells_watched: tuple[str, ...] = ()
    note: str = ""


class Bullpen(Record):
    """One bullpen of one pitcher (and a warm-up before a game, when `game` is set)."""

    id: str
    bullpen: str
    date: dt.date
    pitcher: str
    catcher: str = ""
    game: str = ""
    throws: tuple[Throw, ...] = ()
    note: str = ""
