"""Type by what the last pitch came to: the curve after every called strike."""

from typing import Final

import numpy as np

from sequencer.review.before import LAST_PITCH
from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = (
    "With a strike on the hitter, after a ball",
    "After a called strike",
    "After a swing and a miss or a foul",
)


def _classes(log: Coded) -> Codes:
    # without a strike only balls have gone before: there the count is all there is to know
    return np.where(log.strikes > 0, log.last_result, -1)


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"after": result}, phrase, (code,))
        for code, (result, phrase) in enumerate(zip(LAST_PITCH, _PHRASES, strict=True))
    )


PATTERN: Final = Pattern(
    id="after result",
    question="Does what the last pitch came to give the next one away?",
    factor="result of the last pitch",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
