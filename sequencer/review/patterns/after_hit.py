"""The first pitch to the next hitter: back to the fastball once the last one got on."""

from typing import Final

from sequencer.review.before import LAST_HITTER
from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = ("On the first pitch after an out", "On the first pitch after a hit or a walk")


def _classes(log: Coded) -> Codes:
    return log.last_hitter


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"last_hitter": became}, phrase, (code,))
        for code, (became, phrase) in enumerate(zip(LAST_HITTER, _PHRASES, strict=True))
    )


PATTERN: Final = Pattern(
    id="after hit",
    question="Does the last hitter give the first pitch to the next away?",
    factor="last hitter",
    label="pitch",
    held=("game", "bats"),
    classes=_classes,
    conditions=_conditions,
)
