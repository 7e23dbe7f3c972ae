"""Type by the side the hitter stands on: the change-up only to left-handers."""

from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import FIRST, Condition, Pattern


def _classes(log: Coded) -> Codes:
    return log.bats


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return (
        Condition({"bats": "R"}, "To right-handed hitters", (0,)),
        Condition({"bats": "L"}, "To left-handed hitters", (1,)),
    )


PATTERN: Final = Pattern(
    id="hitter side",
    question="Does the side the hitter stands on give the pitch away?",
    factor="hitter's side",
    label="pitch",
    held=("game", "count"),
    classes=_classes,
    conditions=_conditions,
    weight=FIRST,
    of_hitters=True,
)
