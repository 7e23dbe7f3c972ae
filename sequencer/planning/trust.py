"""How far to lean on the book about a hitter: as surely as it knows his habit, up to a ceiling.

His habit is what he takes and what he looks for; pitches seen and marks given tell it. A hitter
who learns that he is read stops, so that nothing is leaned on wholly.
"""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from sequencer.errors import BadInput
from sequencer.estimates.hitter import HitterBelief, spread
from sequencer.estimates.traits import INDEX
from sequencer.planning.arrays import Floats

#: Trust by what the book knows of each hitter.
AUTO: Final = "auto"
Trust = float | Literal["auto"]
#: Most that the book can be leaned on: a plan wholly on it would be read at once.
MOST_TRUST: Final = 0.9
#: The traits that make the habit of looks.
HABIT: Final = ("aggressive", "first_pitch", "fast_belief")
#: Trust in a habit that is wholly known. Measured (`python -m tests.planning.trust_rule`, 96
#: hitters drawn at 17-18 and at 13-14 who bring their habit in half of their at-bats, 0 to 600
#: pitches seen): on average .04 and .05 runs per 100 plate appearances more than the best trust in
#: hindsight, the least of the rules that leave an unknown hitter the safe plan (.5 times: .06 and
#: .09; none at all: .10 and .15); at worst, after 30 pitches of hitters who always bring it, .48.
CEILING: Final = MOST_TRUST


def known(hitter: HitterBelief) -> float:
    """Return how surely a hitter's habit is known, 0 (only his level's) to 1.

    The share of what hitters of his level differ by that is gone: a trait's variance against its
    prior one. A mark that moves a trait by s prior spreads is taken to explain s^2 / (1 + s^2) of
    it, which is what an observation that says so much on average explains.
    """
    prior, now = spread(hitter.level) ** 2, np.diag(hitter.cov)
    marked = hitter.start**2 / prior
    left = np.clip(now / prior, 0.0, 1.0) / (1.0 + marked)
    return float(1.0 - np.mean([left[INDEX[name]] for name in HABIT]))


def trust_in(hitter: HitterBelief) -> float:
    """Return the trust that what is known of a hitter's habit deserves, to two digits."""
    return round(CEILING * known(hitter), 2)


def from_tenths(tenths: int) -> Trust:
    """Return a trust said in tenths; below nought it is by the book."""
    return AUTO if tenths < 0 else tenths / 10


def trusts(trust: Trust, hitters: Sequence[HitterBelief]) -> Floats:
    """Return the trust in each hitter's habit, (hitters,): as said, or by what is known.

    Raises
    ------
    BadInput
        If it is out of range.
    """
    if trust == AUTO:
        return np.array([trust_in(hitter) for hitter in hitters])
    if isinstance(trust, str) or not 0.0 <= trust <= MOST_TRUST:
        raise BadInput(f"Trust goes from 0 (safe) to {MOST_TRUST}, or is auto; not {trust}.")
    return np.full(len(hitters), float(trust))
