"""Type by the pitch before it in the at-bat, and repeats: never two curves running."""

from functools import partial
from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.patterns.by_type import type_conditions
from sequencer.review.question import FIRST, Pattern


def _classes(log: Coded) -> Codes:
    return log.previous


PATTERN: Final = Pattern(
    id="previous pitch",
    question="Does the last pitch give the next one away?",
    factor="last pitch",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=partial(type_conditions, said="After {}", key="previous"),
    repeats=True,
    weight=FIRST,
)
