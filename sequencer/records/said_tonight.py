"""What was said of whoever pitches: the official book's pitch count, what is there, his hand."""

from collections.abc import Mapping

from sequencer.baseball.hands import BOTH
from sequencer.records.state import State

#: Balls and strikes that the umpire gives; nothing was thrown.
_NOT_THROWN = ("automatic ball", "automatic strike")


def official_count(state: State, pitcher: str) -> int | None:
    """Return a pitcher's count by the official book; None while nobody has said it.

    What was thrown since it was said is added: the next pitch moves both counts by one.
    """
    said = [
        happened
        for happened in state.happened
        if happened.event.event == "pitch count" and happened.before.pitcher == pitcher
    ]
    if not said or said[-1].event.pitches is None:
        return None
    since = sum(
        logged.before.pitcher == pitcher and logged.pitch.result not in _NOT_THROWN
        for logged in state.log[said[-1].after_n :]
    )
    return said[-1].event.pitches + since


def said_there(state: State, pitcher: str) -> Mapping[str, bool]:
    """Return the pitches of a pitcher that were said to be there today, or not, as said last."""
    return {
        happened.event.reason: happened.event.event == "there"
        for happened in state.happened
        if happened.event.event in ("there", "not there") and happened.before.pitcher == pitcher
    }


def two_handed(state: State) -> bool:
    """Return whether whoever pitches throws with both hands, or with another than is known."""
    pitcher = state.people.get(state.pitcher)
    known = pitcher.throws if pitcher else ""
    return known == BOTH or (bool(state.shown) and known not in ("", state.shown))
