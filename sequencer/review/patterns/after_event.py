"""Type after a scare: what he throws once one was hit hard foul, or went in the dirt."""

from typing import Final

from sequencer.review.before import EVENTS
from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

_PHRASES: Final = ("After any other pitch", "After a hard foul", "After a ball in the dirt")


def _classes(log: Coded) -> Codes:
    return log.last_event


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"after": event}, phrase, (code,))
        for code, (event, phrase) in enumerate(zip(EVENTS, _PHRASES, strict=True))
    )


PATTERN: Final = Pattern(
    id="after event",
    question="Does a hard foul or a ball in the dirt give the next pitch away?",
    factor="last pitch's event",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
