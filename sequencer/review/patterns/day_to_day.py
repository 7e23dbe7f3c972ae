"""Type by the day: one game's mix that was not the others'. A fact of that day."""

from typing import Final

import numpy as np

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import FEWEST_PITCHES, Condition, Pattern

#: Days asked about at most, the last ones: what he was like before is no use to anyone.
LATEST: Final = 12


def _classes(log: Coded) -> Codes:
    return log.game if (_sizes(log) >= FEWEST_PITCHES).any() else np.full_like(log.game, -1)


def _sizes(log: Coded) -> Codes:
    return np.bincount(log.game[log.pitch >= 0], minlength=len(log.words.games))


def _conditions(log: Coded, present: tuple[int, ...]) -> tuple[Condition, ...]:
    size, days = _sizes(log), log.words.days
    enough = [game for game in present if size[game] >= FEWEST_PITCHES]
    return tuple(
        Condition({"game": days[game]}, f"In {days[game]}", (game,)) for game in enough[-LATEST:]
    )


PATTERN: Final = Pattern(
    id="day to day",
    question="Is his mix another one from day to day?",
    factor="day",
    label="pitch",
    held=("count", "bats"),
    classes=_classes,
    conditions=_conditions,
    of_days=True,
)
