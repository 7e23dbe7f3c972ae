"""Location by type, side: the change-up only ever on one side of the plate."""

from typing import Final

from sequencer.review.patterns.by_type import thrown, type_conditions
from sequencer.review.question import FIRST, Pattern

PATTERN: Final = Pattern(
    id="side by type",
    question="Does each pitch have its own side of the plate?",
    factor="pitch",
    label="side",
    held=("game", "count", "bats"),
    classes=thrown,
    conditions=type_conditions,
    weight=FIRST,
)
