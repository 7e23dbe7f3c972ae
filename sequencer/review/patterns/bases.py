"""Type by who is on base: only fastballs with a runner on third, no curve with one who steals."""

from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import FIRST, Condition, Pattern

#: Words for JSON -> (phrase, occupied bases as bits: first 1, second 2, third 4).
_STATES: Final = {
    "empty": ("With nobody on", (0,)),
    "runners on": ("With runners on", (1, 2, 3, 4, 5, 6, 7)),
    "runner on second": ("With a runner on second", (2, 3, 6, 7)),
    "runner on third": ("With a runner on third", (4, 5, 6, 7)),
}


def _classes(log: Coded) -> Codes:
    return log.bases


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"bases": state}, phrase, members) for state, (phrase, members) in _STATES.items()
    )


PATTERN: Final = Pattern(
    id="bases",
    question="Do the runners give the pitch away?",
    factor="runners",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
    weight=FIRST,
)
