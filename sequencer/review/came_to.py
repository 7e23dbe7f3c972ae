"""What each pitch of a log came to: the next count, or how the at-bat ended, as one number."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.count import COUNTS, Count, after
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.pitches import PLAYS, RESULTS
from sequencer.review.placing import Spelled

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

#: How an at-bat ends.
ENDS: Final = ("walk", "strikeout", "hit by pitch", "catcher's interference", *PLAYS)
#: What a pitch can lead to: the twelve counts, then the ends.
STATES: Final = (*map(str, COUNTS), *ENDS)
UNKNOWN: Final = -1
#: How a flag that is set reads, whatever the log holds it as.
_YES: Final = ("1", "1.0", "True", "yes", "true")


def _state(count: Count, result: str, bunt: bool) -> int:
    """Return the place in `STATES` of what a result leads to; `UNKNOWN` in play, for its play."""
    if result == "unknown":
        return UNKNOWN
    step = after(count, result, bunt=bunt)
    if step.end == "in play":
        return UNKNOWN
    return STATES.index(step.end or str(step.count))


#: (results, bunted or not, 12 counts).
_LEADS: Final = np.array(
    [
        [[_state(count, result, bunt) for count in COUNTS] for bunt in (False, True)]
        for result in RESULTS
    ]
)
AFTER_BALL: Final = _LEADS[RESULTS.index("ball"), 0]
AFTER_STRIKE: Final = _LEADS[RESULTS.index("called strike"), 0]
AFTER_FOUL: Final = _LEADS[RESULTS.index("foul"), 0]


def came_to(count: Codes, result: Spelled, play: Spelled, bunt: Spelled) -> Codes:
    """Return the place in `STATES` of what each pitch came to, (pitches,).

    Parameters
    ----------
    count : ndarray, shape (pitches,)
        Place in `COUNTS` of the count before; -1 where there is none such.
    result, play, bunt : Spelled
        Columns of the log.

    Returns
    -------
    ndarray, shape (pitches,)
        `UNKNOWN` where the log does not say: no result, or a ball in play without its play.
    """
    how = result.placed({word: i for i, word in enumerate(RESULTS)})
    known = (count >= 0) & (how >= 0)
    states = _LEADS[np.maximum(how, 0), bunt.isin(_YES).astype(np.int64), np.maximum(count, 0)]
    plays = play.placed({word: STATES.index(word) for word in PLAYS})
    states = np.where(how == RESULTS.index("in play"), plays, states)
    return np.where(known, states, UNKNOWN)


def state_runs(counts: Floats, runs_per_game: float) -> Floats:
    """Return the runs of every state, (states,): given those of the counts, (12,)."""
    return np.concatenate([counts, [event_value(end, runs_per_game) for end in ENDS]])
