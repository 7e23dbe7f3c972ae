"""How often hitters take whatever comes, told apart from choosing what to swing at."""

from typing import Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.surface import Rows, Surface

#: In-zone share of swings by balls and strikes, pitch tracking to 2012: Brooks and Pavlidis (2012),
#: Baseball Prospectus 17941.
SWING_IN_ZONE: Final = (
    np.array(
        [[37.39, 71.12, 85.30], [57.49, 76.29, 88.01], [56.49, 80.41, 90.16], [9.72, 73.85, 92.57]]
    )
    / 100.0
)
#: Share of pitches taken whatever comes, before data: what a count lacks of the full count's swings
#: in the zone. Only where data begin: in the open data hitters swing at .52 of first pitches within
#: half the zone of its middle, more than the .40 this leaves; it takes for habit what is choice.
TAKE_BEFORE: Final = 1.0 - SWING_IN_ZONE / SWING_IN_ZONE[3, 2]
#: Pitches in a count that it weighs (assumption).
TAKE_PITCHES: Final = 25.0
#: Steps of expectation and maximisation (measured: half of them move no share by .0001 more).
_EXPECTATIONS: Final = 60


def taken(rows: Rows, swung: Floats, ready: Surface, take: Floats) -> Floats:
    """Return the share of pitches taken whatever comes, (4, 3), given how a ready hitter swings.

    Expectation and maximisation from a start: a take is one of these by the chance that a ready
    hitter would have swung. `TAKE_BEFORE` weighs `TAKE_PITCHES` in every count.
    """
    swing = np.zeros(len(rows))
    for i, family in enumerate((*FAMILIES, "unknown")):
        own = rows.family == i
        r = rows.take(own)
        balls, strikes = r.balls.astype(np.float64), r.strikes.astype(np.float64)
        place = ready.at(family, r.u, r.v, r.same, (strikes == 2.0).astype(np.float64))
        swing[own] = expit(place + ready.in_count(r.u, r.v, balls, strikes))
    count = rows.balls * 3 + rows.strikes
    seen = np.bincount(count, minlength=12) + TAKE_PITCHES
    for _ in range(_EXPECTATIONS):
        here = take.ravel()[count]
        by_habit = (1.0 - swung) * here / np.maximum(1.0 - (1.0 - here) * swing, 1e-9)
        total = np.bincount(count, by_habit, minlength=12) + TAKE_PITCHES * TAKE_BEFORE.ravel()
        take = (total / seen).reshape(4, 3)
    return np.asarray(take)
