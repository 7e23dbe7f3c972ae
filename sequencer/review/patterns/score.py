"""Type by the score: nothing but fastballs once they are far behind."""

from typing import Final

import numpy as np

from sequencer.review.before import FAR, SCORES
from sequencer.review.coded import Coded, Codes
from sequencer.review.question import FEWEST_PITCHES, Condition, Pattern

#: Words for JSON -> (phrase, scores it holds).
_STATES: Final = {
    "ahead": ("When {} are ahead", (3, 4)),
    "tied": ("With the score tied", (2,)),
    "behind": ("When {} are behind", (0, 1)),
}
_FAR: Final = {
    "far ahead": (f"When {{}} are ahead by {FAR} runs or more", (4,)),
    "far behind": (f"When {{}} are behind by {FAR} runs or more", (0,)),
}


def _classes(log: Coded) -> Codes:
    return log.score


def _conditions(log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    size = np.bincount(log.score[log.score >= 0], minlength=len(SCORES))
    # far ahead is asked apart where near and far both have pitches enough to differ
    far = {
        state: told
        for state, told in _FAR.items()
        for near in (3 if state == "far ahead" else 1,)
        if min(size[told[1][0]], size[near]) >= FEWEST_PITCHES
    }
    side = "we" if log.words.whose == "us" else "they"
    return tuple(
        Condition({"score": state}, phrase.format(side), members)
        for state, (phrase, members) in (_STATES | far).items()
    )


PATTERN: Final = Pattern(
    id="score",
    question="Does the score give the pitch away?",
    factor="score",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
