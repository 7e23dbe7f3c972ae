"""Type after two pitches of one type running: never three alike."""

from functools import partial
from typing import Final

import numpy as np

from sequencer.review.coded import Coded, Codes
from sequencer.review.patterns.by_type import type_conditions
from sequencer.review.question import Pattern


def _classes(log: Coded) -> Codes:
    before = np.where(np.diff(log.at_bat, prepend=-1) == 0, np.roll(log.previous, 1), -1)
    return np.where(before == log.previous, log.previous, -1)


PATTERN: Final = Pattern(
    id="two in a row",
    question="After two alike, does he always change?",
    factor="last two pitches",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=partial(type_conditions, said="After {} twice running", key="twice"),
    repeats=True,
    run=2,
)
