"""Location by type, height: the fastball always up, the curve always down."""

from typing import Final

from sequencer.review.patterns.by_type import thrown, type_conditions
from sequencer.review.question import FIRST, Pattern

PATTERN: Final = Pattern(
    id="height by type",
    question="Does each pitch have its own height?",
    factor="pitch",
    label="height",
    held=("game", "count", "bats"),
    classes=thrown,
    conditions=type_conditions,
    weight=FIRST,
)
