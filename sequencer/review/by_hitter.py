"""Does what he throws go by the hitter? Then every hitter's own mix is held beside all else.

Whoever plans each hitter by himself gives nothing away by it, yet a hitter who is thrown fastballs
makes every fastball before him look like a sign of the next. Without holding hitters, 12 of 100
logs without a habit rang where hitters' mixes differ by some 14 points (measured; 4.4 where they
do not). Held only where the log shows it: thirty levels more cost a tenth of three hundred pitches.
"""

from collections.abc import Mapping
from typing import Final, get_args

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from sequencer.review.coded import Coded, Codes, Label
from sequencer.review.question import FEWEST_PITCHES, Held, held_by
from sequencer.review.usual import Usual

Floats = NDArray[np.float64]

#: Of a hitter faced less often than this nothing is held. Common practice, no source.
ENOUGH_FACED: Final = 6
#: Hitters held at most, those faced most: a level for each of hundreds takes longer than it tells.
MOST: Final = 60
#: Level at which hitters are told to differ (assumption; what it costs where they do not is
#: measured with the rest: tests.review.power).
LEVEL: Final = 0.05
#: What usual rates go by when hitters are compared: a hitter's side is not his own.
_HELD: Final[tuple[Held, ...]] = ("game", "count", "bats")


def differing(log: Coded, also_held: tuple[Held, ...] = ()) -> Mapping[Label, Codes]:
    """Return who each pitch was thrown to, for the labels that hitters differ in.

    Parameters
    ----------
    log : Coded
    also_held : tuple
        More to hold, such as the pitcher.

    Returns
    -------
    mapping
        Label -> (pitches of the log,) codes from 0: 1 and more a hitter, 0 all who were faced too
        seldom.
    """
    hitter = _faced(log.hitter)
    if hitter.max(initial=0) < 2:
        return {}
    labels: tuple[Label, ...] = get_args(Label)
    return {label: hitter for label in labels if _differ(log, label, hitter, also_held)}


def _faced(hitter: Codes) -> Codes:
    """Return numbers from 1 for those faced most and often enough, 0 for the others."""
    known = hitter[hitter >= 0]
    faced = np.bincount(known, minlength=1)
    most = np.argsort(-faced, kind="stable")[:MOST]
    place = np.zeros(len(faced) + 1, dtype=np.int64)
    most = most[faced[most] >= ENOUGH_FACED]
    place[most] = np.arange(1, len(most) + 1)
    return place[hitter]


def _differ(log: Coded, label: Label, hitter: Codes, also_held: tuple[Held, ...]) -> bool:
    rows = np.flatnonzero(log.label(label) >= 0)
    if len(rows) < FEWEST_PITCHES:
        return False
    known, labels = np.unique(log.label(label)[rows], return_inverse=True)
    if len(known) < 2:
        return False
    own = log.only(rows)
    usual = Usual.of(held_by(_HELD, own, also_held), labels.astype(np.int64), len(known))
    off = (np.eye(len(known))[labels] - usual.rates) / np.sqrt(np.bincount(labels) / len(rows))
    return alike(off, own.at_bat, hitter[rows]) >= float(-ndtri(LEVEL))


def alike(off: Floats, at_bat: Codes, hitter: Codes) -> float:
    """Return how much more alike a hitter's at-bats are than those of different ones, in errors.

    Products of what different at-bats of one hitter have over the usual, added up: a pitch that
    hangs on the one before makes an at-bat alike in itself, and is not counted.

    Parameters
    ----------
    off : ndarray, shape (pitches, labels)
        Seen less usual, by label.
    at_bat : ndarray, shape (pitches,)
    hitter : ndarray, shape (pitches,)
        Codes; 0 is left out.
    """
    _, first, place = np.unique(at_bat, return_index=True, return_inverse=True)
    of_at_bat = np.stack([np.bincount(place, weights=one) for one in off.T], axis=1)
    who = hitter[first]
    together = squared = 0.0
    for one in range(1, int(who.max(initial=0)) + 1):
        own = of_at_bat[who == one]
        products = own @ own.T
        np.fill_diagonal(products, 0.0)
        together += float(products.sum())
        squared += float((products**2).sum())
    return together / np.sqrt(2.0 * squared) if squared > 0.0 else 0.0
