"""Type by how many pitches he has thrown: the curve is gone once he tires."""

from typing import Final

import numpy as np

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Pattern

#: Pitches of a step, and the last step, which has no end. Common practice, no source.
_STEP: Final = 25
_PHRASES: Final = {
    "1-25": "In the first 25 pitches of a game",
    "26-50": "From the 26th to the 50th pitch of a game",
    "51-75": "From the 51st to the 75th pitch of a game",
    "76 on": "From the 76th pitch of a game on",
}


def _classes(log: Coded) -> Codes:
    return np.minimum((log.game_pitch - 1) // _STEP, len(_PHRASES) - 1)


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return tuple(
        Condition({"pitch_number": numbers}, phrase, (step,))
        for step, (numbers, phrase) in enumerate(_PHRASES.items())
    )


PATTERN: Final = Pattern(
    id="pitch number",
    question="Does he change as his pitches add up?",
    factor="pitches thrown",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
