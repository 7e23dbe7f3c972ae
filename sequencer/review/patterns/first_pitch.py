"""The first pitch of an at-bat: always the fastball, never the breaking ball."""

from typing import Final

import numpy as np

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import FIRST, Condition, Pattern


def _classes(log: Coded) -> Codes:
    return np.where(log.count_group < 0, -1, (log.count_group == 0).astype(np.int64))


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return (
        Condition({"count": "0-0"}, "On the first pitch", (1,)),
        Condition({"count": "not 0-0"}, "After the first pitch", (0,)),
    )


PATTERN: Final = Pattern(
    id="first pitch",
    question="Does he start every hitter with the same pitch?",
    factor="first pitch",
    label="pitch",
    held=("game", "bats"),
    classes=_classes,
    conditions=_conditions,
    weight=FIRST,
)
