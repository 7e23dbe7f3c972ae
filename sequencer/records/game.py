"""A game: its header, and the append-only stream of rows that replay turns into the game."""

import datetime as dt
from typing import Any, Literal

from pydantic import Field

from sequencer.records.base import Record
from sequencer.records.event import Event
from sequencer.records.pitch import Pitch

Entry = Pitch | Event


class Game(Record):
    """What is fixed about a game. `rule_edits` changes single rules of the named rule set."""

    id: str
    game: str
    date: dt.date
    us: str
    them: str
    home: Literal["us", "them"] = "us"
    game_no: int = 1
    level: str = ""
    rules: str = ""
    rule_edits: dict[str, Any] = Field(default_factory=dict)
    both_halves: bool = False


class Row(Record):
    """One committed row of a game's stream; rows are only ever added.

    - add: `pitch` or `event` at the end
    - insert: the same, placed just before row `target`
    - correct: `changes` to the fields of the entry first written by row `target`
    - remove: the entry first written by row `target` never happened
    - undo: takes back the last row still standing; redo: brings back the last one undone

    A `joined` row was written in one act with the row before it: undo and redo take both. Joined
    rows that nothing comes before were written with the game itself: undo leaves them alone.
    """

    seq: int
    action: Literal["add", "insert", "correct", "remove", "undo", "redo"]
    pitch: Pitch | None = None
    event: Event | None = None
    target: int | None = None
    changes: dict[str, Any] = Field(default_factory=dict)
    joined: bool = False
    at: str = ""

    @property
    def entry(self) -> Entry:
        """The pitch or event of an add or insert row."""
        entry = self.pitch or self.event
        if entry is None:
            raise ValueError(f"row {self.seq} ({self.action}) holds no entry")
        return entry
