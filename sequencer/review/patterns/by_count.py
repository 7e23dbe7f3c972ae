"""Type by the kind of count: the fastball in hitter's counts, the curve in pitcher's."""

from typing import Final

from sequencer.review.coded import COUNT_GROUPS, Coded, Codes
from sequencer.review.question import FIRST, Condition, Pattern

# The first pitch is among the even counts, as the trade has it.
_EVEN: Final = (COUNT_GROUPS.index("first pitch"), COUNT_GROUPS.index("even"))
_PHRASES: Final = {
    "hitter's": "In hitter's counts",
    "pitcher's": "In pitcher's counts",
    "even": "In even counts",
    "full": "At 3-2",
}


def _classes(log: Coded) -> Codes:
    return log.count_group


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition(
            {"count": group},
            phrase,
            _EVEN if group == "even" else (COUNT_GROUPS.index(group),),
        )
        for group, phrase in _PHRASES.items()
    )


PATTERN: Final = Pattern(
    id="count",
    question="Does the count give the pitch away?",
    factor="count",
    label="pitch",
    held=("game", "bats"),
    classes=_classes,
    conditions=_conditions,
    weight=FIRST,
)
