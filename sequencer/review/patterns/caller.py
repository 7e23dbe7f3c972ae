"""Type by who called the pitch: catcher, pitcher or a coach."""

from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern


def _classes(log: Coded) -> Codes:
    return log.caller


def _conditions(log: Coded, present: tuple[int, ...]) -> tuple[Condition, ...]:
    names = log.words.callers
    return tuple(
        Condition({"caller": names[code]}, f"When {_said(names[code])} calls", (code,))
        for code in present
    )


def _said(name: str) -> str:
    return f"the {name}" if name in ("coach", "catcher", "pitcher", "bench") else name


PATTERN: Final = Pattern(
    id="caller",
    question="Does it matter who calls?",
    factor="caller",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
    whole_games=True,
)
