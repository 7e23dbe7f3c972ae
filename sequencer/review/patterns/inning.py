"""Type by the inning: the curve kept for the last innings."""

from typing import Final

from sequencer.review.before import PARTS
from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = ("In the first two innings", "In the middle innings", "In the last innings")


def _classes(log: Coded) -> Codes:
    return log.part


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"inning": part}, phrase, (code,))
        for code, (part, phrase) in enumerate(zip(PARTS, _PHRASES, strict=True))
    )


PATTERN: Final = Pattern(
    id="inning",
    question="Does the inning give the pitch away?",
    factor="inning",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
