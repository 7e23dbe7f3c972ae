"""Minds that read a pitcher, from crude to good, each counting what came in contexts it can see.

A mind's contexts go from coarse to fine; each is smoothed toward the one before it by a fixed
number of pitches, and forgets at its own pace: what a pitcher does at 0-2 to left-handers drifts
over the times that it comes up. How far back to look is either fixed, at the finest, or mixed over
all trees of contexts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np

from sequencer.estimates import context_tree
from sequencer.estimates.arrays import Floats
from sequencer.estimates.visits import Contexts

#: Pitches a coarser context counts for in a finer one. Chosen on the first seven tenths of two
#: long series and their pieces of 150 and 600 pitches: with 10 the reader loses .002 to .004 nats
#: a pitch more, with 5 .004 to .012; single minds are as good with 40.
COARSER_COUNTS: Final = 20.0
#: Pitches an even guess counts for before anything has come. Assumption.
EVEN_GUESS: Final = 1.0


@dataclass(frozen=True)
class Mind:
    """A way of reading.

    Attributes
    ----------
    name : str
    contexts : tuple of str
        Columns of a `Seen`, coarse to fine: the second context is the first column, the third the
        first two. Columns that a log does not have are passed over.
    memory : float
        Times that a context comes up until a pitch in it weighs 1/e of the last one.
    weighs : bool
        Mixed over all trees of its contexts; otherwise the finest alone.
    """

    name: str
    contexts: tuple[str, ...] = ()
    memory: float = inf
    weighs: bool = False

    @property
    def keep(self) -> float:
        """Weight of a pitch against the next in its context."""
        return 1.0 - 1.0 / self.memory


#: From the hitter's side to the count, by way of the counts that a coach puts together.
_COUNT: Final = ("bats", "card row", "count")
#: The minds, crude ones first. Contexts, memories and who is in were chosen on the first seven
#: tenths of two long series and on their pieces of 150 and 600 pitches; see
#: tests/estimates/readers_open.py for what each is worth on the rest. Bases, outs and innings are
#: in none: where a log has them, a mind that knew them changed less than .0005 nats a pitch.
MINDS: Final = (
    Mind("favourite"),
    Mind("favourite of late", (), 25),
    Mind("by count", ("count",)),
    Mind("by side and count", _COUNT, 25),
    Mind("by side, count and last pitch", (*_COUNT, "previous"), 100),
    Mind("tree of last pitches", (*_COUNT, "previous", "second last"), 15, weighs=True),
    Mind("tree of what came of it", (*_COUNT, "came of it", "previous"), 100, weighs=True),
    Mind("tree of times through", (*_COUNT, "time through"), 25, weighs=True),
    Mind("tree of long memory", ("card row", "previous", "count", "bats"), weighs=True),
    Mind("tree of the last pitch", ("previous", "card row"), weighs=True),
)
#: The best forward constant: always the pitch thrown most so far.
CONSTANT: Final = MINDS[0].name


def chances(mind: Mind, seen: Contexts) -> Floats:
    """Return what a mind expects before each pitch, (pitches, labels): positive, rows sum to 1."""
    depths = [name for name in mind.contexts if name in seen.columns]
    found = by_depth(depths, mind.keep, seen)
    if not mind.weighs:
        return found[-1]
    visits = [seen.visits(depths[:depth]) for depth in range(len(depths) + 1)]
    return context_tree.weigh(found, visits, seen.label)


def by_depth(columns: Sequence[str], keep: float, seen: Contexts) -> list[Floats]:
    """Return forward chances of no context, of the first column, of the first two, and so on."""
    coarser = np.full((len(seen.label), seen.labels), 1.0 / seen.labels)
    found, weight, ones = [], EVEN_GUESS, np.ones(seen.labels)
    for depth in range(len(columns) + 1):
        counts = seen.counts(columns[:depth], keep)
        coarser = (counts + weight * coarser) / (counts @ ones + weight)[:, None]
        found.append(coarser)
        weight = COARSER_COUNTS
    return found
