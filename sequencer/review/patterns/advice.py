"""Type where the call shown is not followed: back to the fastball whenever it is his own choice.

He cannot have thrown what he refused, so these pitches would look unlike his others even if he
chose from his usual mix. Each is held against pitches no call was shown for, as unlike: these are
given the calls of their own game, kind of count and side of the hitter in turn, and one that is
what its call says is left out. Whoever pays no heed to advice then shows no habit.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches
from sequencer.review.coded import COUNT_GROUPS, Coded, Codes
from sequencer.review.question import Condition, Pattern

#: Types that stand for any of their family on a coarse chart.
_COARSE: Final = ("fastball", "breaking ball", "off-speed")


def _agree() -> NDArray[np.bool_]:
    """Return which types are the same pitch to a coach, (types, types)."""
    family = np.array(list(pitches.TYPES.values()))
    coarse = np.isin(list(pitches.TYPES), _COARSE)
    alike = (family[:, None] == family) & (coarse[:, None] | coarse)
    return np.asarray(alike | np.eye(len(family), dtype=bool))


_AGREE: Final = _agree()
_UNREADABLE: Final = list(pitches.TYPES).index("unknown")


def _classes(log: Coded) -> Codes:
    shown = (log.advised >= 0) & (log.advised != _UNREADABLE)
    call = np.where(shown, log.advised, _lent(log, shown))
    apart = (log.pitch >= 0) & (call >= 0) & ~_AGREE[call, log.pitch]
    return np.where(apart & (shown | (log.advised < 0)), shown.astype(np.int64), -1)


def _lent(log: Coded, shown: NDArray[np.bool_]) -> Codes:
    """Return for each pitch a call shown on one like it, in turn; -1 where none was."""
    groups = len(COUNT_GROUPS) + 1
    alike = (log.pitcher + 1) * (int(log.game.max()) + 1) + log.game
    alike = (alike * groups + log.count_group + 1) * 3 + log.bats + 1
    _, alike = np.unique(alike, return_inverse=True)
    calls = np.bincount(alike[shown], minlength=int(alike.max()) + 1)
    first = np.cumsum(calls) - calls
    rows = np.flatnonzero(~shown)[np.argsort(alike[~shown], kind="stable")]
    others = np.bincount(alike[rows], minlength=len(calls))
    turn = np.arange(len(rows)) - np.repeat(np.cumsum(others) - others, others)
    lent = np.full(len(log), -1, dtype=np.int64)
    some = calls[alike[rows]] > 0
    rows, turn = rows[some], turn[some]
    by_kind = log.advised[shown][np.argsort(alike[shown], kind="stable")]
    lent[rows] = by_kind[first[alike[rows]] + turn % calls[alike[rows]]]
    return lent


def _conditions(_log: Coded, _present: tuple[int, ...]) -> tuple[Condition, ...]:
    return (Condition({"advice": "not followed"}, "Where the call shown is not followed", (1,)),)


PATTERN: Final = Pattern(
    id="advice",
    question="What does he throw where he does not follow the call shown?",
    factor="advice",
    label="pitch",
    held=("game", "count", "bats"),
    classes=_classes,
    conditions=_conditions,
)
