"""One pitch as logged: what was asked for, what was thrown, where, and what happened."""

from typing import Literal

from sequencer.records.base import Record


class Observed(Record):
    """What an outside log says of the moment before a pitch, kept where it differs from replay.

    Bases hold a person id, "1" for a runner without a name, or "" for an empty base; None means
    the log did not say. A pitch with an `Observed` (even an empty one) comes from an outside log:
    replay never refuses it.
    """

    inning: int | None = None
    half: Literal["top", "bottom"] | None = None
    outs: int | None = None
    on_first: str | None = None
    on_second: str | None = None
    on_third: str | None = None
    score_us: int | None = None
    score_them: int | None = None
    balls: int | None = None
    strikes: int | None = None
    pitch_no: int | None = None


class Pitch(Record):
    """What one pitch was. Everything but the result is optional.

    `cell` and `target` are kept in the catcher's frame (`down-right`, `left`, `high-left`,
    `belt-off-left`; see baseball.zone), so that correcting the hitter's side corrects in and
    away; `entered` says in which frame the words came. `moves` overrides the usual advance of
    runners (`1-3;2-home;b-2`; b is the hitter). `target_when` is "after" for a target entered
    once the result was known: such a target counts in no command estimate. What a radar measured
    of the ball off the bat is `exit_mph`, `launch_deg` and, where it says so itself, the expected
    batting value of a ball so hit, `contact_value`.
    """

    result: str
    pitch: str = "unknown"
    cell: str = ""
    entered: Literal["", "hitter", "catcher"] = ""
    called: str = ""
    target: str = ""
    target_when: Literal["", "before", "after"] = ""
    caller: str = ""
    shakes: int | None = None
    side_in: float | None = None
    height_in: float | None = None
    top_in: float | None = None
    bottom_in: float | None = None
    seen_from: str = ""
    speed_mph: float | None = None
    break_side_in: float | None = None
    break_up_in: float | None = None
    intent: str = ""
    bunt: bool = False
    third_strike: str = ""
    timing: str = ""
    contact: str = ""
    flight: str = ""
    spray: str = ""
    play: str = ""
    exit_mph: float | None = None
    launch_deg: float | None = None
    contact_value: float | None = None
    fielders: str = ""
    moves: str = ""
    tells: tuple[str, ...] = ()
    tells_watched: tuple[str, ...] = ()
    advice: str = ""
    note: str = ""
    observed: Observed | None = None
