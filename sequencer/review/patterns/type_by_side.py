"""Type by side of the plate: what comes inside is the fastball."""

from typing import Final

from sequencer.review.coded import SIDES, Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = {
    "in": "Inside",
    "middle": "Over the middle",
    "away": "On the outer side",
}


def _classes(log: Coded) -> Codes:
    return log.side


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"side": side}, _PHRASES[side], (code,)) for code, side in enumerate(SIDES)
    )


PATTERN: Final = Pattern(
    id="type by side",
    question="Does the side of the plate give the pitch away?",
    factor="side of the plate",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
