"""Type by outs."""

from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = ("With nobody out", "With one out", "With two outs")


def _classes(log: Coded) -> Codes:
    return log.outs


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(Condition({"outs": outs}, phrase, (outs,)) for outs, phrase in enumerate(_PHRASES))


PATTERN: Final = Pattern(
    id="outs",
    question="Do the outs give the pitch away?",
    factor="outs",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
