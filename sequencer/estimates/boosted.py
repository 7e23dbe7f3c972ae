"""Boosted trees as one more mind: slow, never live, for measuring what counting minds miss.

Grown anew on all earlier pitches at the ends of blocks that lengthen with the log, so that no
pitch is named by trees that knew it or a later one.
"""

from collections.abc import Iterator
from contextlib import nullcontext
from typing import Final

import numpy as np

from sequencer.estimates import minds, rivals
from sequencer.estimates.arrays import Floats
from sequencer.estimates.visits import Contexts
from sequencer.estimates.watched import Seen

#: What trees see of a pitch, where the log has it.
COLUMNS: Final = (
    *("count", "bats", "previous", "second last", "came of it", "nth pitch", "time through"),
    *("outs", "bases", "inning", "lead"),
)
#: Minds whose chances trees see as well: without them, a mix that moves is beyond trees grown on
#: all of it alike (held out, with 8 leaves: 1.245 nats a pitch without, 1.170 with them).
TOLD: Final = ("favourite of late", "by side and count")
#: Pitches before trees are grown at all, and how much longer a log has grown when they are grown
#: anew. Common practice, no source.
FIRST: Final = 300
GROWTH: Final = 1.15
#: Pitches that his mix counts for against the trees' pitches in what they say: a type they have
#: not met keeps a chance. Assumption.
MIX_COUNTS: Final = 20.0
#: How trees are grown: few steps and small trees, since most of what comes is chance. On the first
#: seven tenths of two long series trees by themselves lose 1.2178 nats a pitch and the reader with
#: them 1.2025; with 80 steps of .05 (and three times the time) 1.2168 and 1.2023; with 30 steps of
#: .1 and 4 leaves 1.2128 and 1.2032; with 50 and 8 leaves 1.2282 and 1.2034.
_GROWN: Final = {
    "learning_rate": 0.15,
    "max_iter": 25,
    "max_leaf_nodes": 6,
    "min_samples_leaf": 40,
    "l2_regularization": 5.0,
    "early_stopping": False,
    "random_state": 0,
}


def mind(seen: Seen) -> Floats:
    """Return what trees grown on earlier pitches expect of each, (pitches, labels).

    Parameters
    ----------
    seen : Seen
        One pitcher's pitches in the order thrown.

    Returns
    -------
    ndarray, shape (pitches, labels)
        Positive, rows sum to one; the pitcher's mix so far until trees can be grown.
    """
    contexts = Contexts(seen.columns, seen.label, seen.labels)
    said = minds.chances(minds.MINDS[0], contexts).copy()
    x = features(seen, contexts)
    named = [(start, end) for start, end in blocks(len(seen)) if np.ptp(seen.label[:start])]
    with rivals.one_thread() if named else nullcontext():
        for start, end in named:
            trees = _grown(x[:start], seen, x[start:end])
            mix = MIX_COUNTS / (start + MIX_COUNTS)
            said[start:end] = mix * said[start:end] + (1.0 - mix) * trees
    return said


def features(seen: Seen, contexts: Contexts) -> Floats:
    """Return what trees see, (pitches, features): the columns, and what counting minds expect."""
    columns = [_with_unknown(seen, name) for name in COLUMNS if name in seen.columns]
    told = [np.log(minds.chances(each, contexts)) for each in minds.MINDS if each.name in TOLD]
    return np.column_stack([*columns, *told])


def _with_unknown(seen: Seen, name: str) -> Floats:
    column = seen.columns[name].astype(np.float64)
    return column if name == "lead" else np.where(column < 0, np.nan, column)


def blocks(pitches: int) -> Iterator[tuple[int, int]]:
    """Yield first and past-the-last pitch of each block that one growth of trees names."""
    start = FIRST
    while start < pitches:
        end = min(int(np.ceil(start * GROWTH)), pitches)
        yield start, end
        start = end


def _grown(x: Floats, seen: Seen, later: Floats) -> Floats:
    """Return what trees grown on the first pitches say of later ones, (later pitches, labels)."""
    # heavy, and wanted only where trees are asked for
    from sklearn.ensemble import HistGradientBoostingClassifier

    known = np.isfinite(x)
    highest = np.where(known, x, -np.inf).max(axis=0)
    use = highest > np.where(known, x, np.inf).min(axis=0)
    trees = HistGradientBoostingClassifier(**_GROWN).fit(x[:, use], seen.label[: len(x)])
    said = np.zeros((len(later), seen.labels))
    said[:, trees.classes_] = trees.predict_proba(later[:, use])
    return said


#: The mind under its name, as `next_pitch.forward` takes further minds.
OUTSIDER: Final = {"boosted trees": mind}
