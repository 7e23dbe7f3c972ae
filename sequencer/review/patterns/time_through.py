"""Type by the time through the order: the breaking ball kept for the second look."""

from typing import Final

import numpy as np

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = (
    "The first time through the order",
    "The second time through the order",
    "From the third time through the order on",
)


def _classes(log: Coded) -> Codes:
    return np.minimum(log.time_through, len(_PHRASES))


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"time_through": time}, phrase, (time,))
        for time, phrase in enumerate(_PHRASES, start=1)
    )


PATTERN: Final = Pattern(
    id="time through the order",
    question="Does he change as the order comes round again?",
    factor="time through the order",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
