"""Do two observers see the same tell? Cohen's kappa on the pitches that both watched."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from sequencer.review.statistics import cohen_kappa
from sequencer.review.tell_rows import Watched
from sequencer.review.tell_words import told

#: Kappa below which two observers do not see the same thing: less than moderate of Landis and Koch
#: (1977), Biometrics 33, 159-174, poor of Fleiss (1981).
MODERATE: Final = 0.4
#: Fewest pitches watched by both that are told (assumption: with fewer the interval spans all).
FEWEST: Final = 10


@dataclass(frozen=True)
class Agreement:
    """Two observers and one tell.

    Attributes
    ----------
    tell : str
    observers : tuple of two str
    both, first, second, neither : int
        Pitches on which both saw it, only one of them, neither.
    kappa : float or None
        Agreement beyond chance, 1 at most; None where both always saw it or never did, or too few
        pitches were watched by both.
    interval : tuple of two float or None
        95 %.
    differ : bool
        True below `MODERATE`.
    says : str
    """

    tell: str
    observers: tuple[str, str]
    both: int
    first: int
    second: int
    neither: int
    kappa: float | None
    interval: tuple[float, float] | None
    differ: bool
    says: str


def agreements(watched: Sequence[Watched]) -> tuple[Agreement, ...]:
    """Return every pair of observers and every tell that both watched for."""
    observers = dict.fromkeys(name for row in watched for name in row.by)
    found = []
    for one, other in combinations(observers, 2):
        pairs = [(row.by[one], row.by[other]) for row in watched if {one, other} <= row.by.keys()]
        tells = dict.fromkeys(tell for a, b in pairs for tell in sorted(a.watched & b.watched))
        for tell in tells:
            table = np.zeros((2, 2), dtype=np.int64)
            for a, b in pairs:
                if tell in a.watched and tell in b.watched:
                    table[int(tell not in a.seen), int(tell not in b.seen)] += 1
            found.append(_agreement(tell, (one, other), table))
    return tuple(found)


def _agreement(
    tell: str, observers: tuple[str, str], table: np.ndarray[tuple[int, int], np.dtype[np.int64]]
) -> Agreement:
    (both, first), (second, neither) = table.tolist()
    number = both + first + second + neither
    kappa = cohen_kappa(table) if number >= FEWEST else None
    start = (
        f"{told(tell)}: {observers[0]} and {observers[1]} agree on {both + neither} of {number} "
        "pitches"
    )
    if number < FEWEST:
        says = f"{start}; with fewer than {FEWEST} watched by both nothing can be said."
    elif kappa is None:
        says = f"{start}; both {'always' if both else 'never'} saw it, so nothing can be said."
    else:
        says = f"{start} (kappa {kappa.kappa:.2f}, {kappa.low:.2f} to {kappa.high:.2f})."
        if kappa.kappa < MODERATE:
            says += (
                " Two people do not see the same thing: settle what it looks like before it counts."
            )
    return Agreement(
        tell=tell,
        observers=observers,
        both=both,
        first=first,
        second=second,
        neither=neither,
        kappa=kappa.kappa if kappa else None,
        interval=(kappa.low, kappa.high) if kappa else None,
        differ=kappa is not None and kappa.kappa < MODERATE,
        says=says,
    )
