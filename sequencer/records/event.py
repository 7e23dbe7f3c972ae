"""Everything of a game that is not a pitch: runners, substitutions, who is up, the count."""

from typing import Final, Literal

from sequencer.records.base import Record

#: Events a runner makes; baseball.situation.RUNNER_OUTS are those that put him out.
RUNNER_EVENTS: Final = (
    "steal",
    "caught stealing",
    "pickoff",
    "balk",
    "wild pitch",
    "passed ball",
    "advance",
    "out on bases",
)
EVENTS: Final = (
    *RUNNER_EVENTS,
    "line-up",
    "at",
    "absent",
    "substitution",
    "pitcher",
    "throws",
    "catcher",
    "visit",
    "intentional walk",
    "count",
    "score",
    "pitch count",
    "not there",
    "there",
    "half ended",
    "note",
)

Side = Literal["us", "them"]


class Event(Record):
    """One event. Which fields count depends on `event`.

    - runner events: `base_from`, `base_to` (1, 2, 3, home, out; `who` is filled by replay)
    - line-up: `who`, `slot` (1..), `side`, `bats`
    - at: `who` is up, hitting from `bats`; `at_bat` numbers it when a log says so
    - absent: `who` of the order is not there; his turn is an out or passes, as the rules have it
    - substitution: `who` for `for_whom`; pitcher, catcher: `who`
    - throws: the hand, `throws`, that whoever pitches shows for this at-bat; `reason` is "injury"
      where he may use the other no more
    - count: `balls`, `strikes` as the umpire has them
    - pitch count: `pitches` of whoever pitches, as the official book has them
    - not there, there: `reason` is the pitch type that whoever pitches has not, or has, today
    - score: `score_us`, `score_them` as the board has them
    - half ended: `reason`; note, visit: `reason`

    `imported` marks an event of an outside log: where it does not fit what replay derives it is
    kept, noted among the game's problems and moves nobody, instead of being refused.
    """

    event: str
    who: str = ""
    for_whom: str = ""
    base_from: Literal["", "1", "2", "3"] = ""
    base_to: Literal["", "1", "2", "3", "home", "out"] = ""
    side: Literal["", "us", "them"] = ""
    slot: int | None = None
    bats: Literal["", "R", "L"] = ""
    throws: Literal["", "R", "L"] = ""
    at_bat: int | None = None
    balls: int | None = None
    strikes: int | None = None
    score_us: int | None = None
    score_them: int | None = None
    pitches: int | None = None
    reason: str = ""
    imported: bool = False
