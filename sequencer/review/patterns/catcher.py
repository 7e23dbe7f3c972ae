"""Type by who catches: one catcher calls what another does not."""

from typing import Final

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern


def _classes(log: Coded) -> Codes:
    return log.catcher


def _conditions(log: Coded, present: tuple[int, ...]) -> tuple[Condition, ...]:
    names = log.words.catchers
    return tuple(
        Condition({"catcher": names[code]}, f"With {names[code]} catching", (code,))
        for code in present
    )


PATTERN: Final = Pattern(
    id="catcher",
    question="Does the catcher give the pitch away?",
    factor="catcher",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
    whole_games=True,
)
