"""What we believe of one pitcher: where each pitch goes when asked for, and how surely."""

from dataclasses import dataclass

import numpy as np

from sequencer.baseball.pitches import family
from sequencer.estimates.arrays import Floats

#: A lost pitch spreads this many times as wide as a thrown one (assumption).
LOST_WIDER = 2.5


@dataclass(frozen=True, slots=True)
class PitchBelief:
    """One pitch of a pitcher.

    Attributes
    ----------
    pitch, family : str
    bias : array (2,)
        Mean of actual minus target in inches: side (positive to the catcher's right), height
        (positive up).
    cov : array (2, 2)
        Spread of one throw about target plus bias, inches squared, observation error taken out.
    bias_cov : array (2, 2)
        How surely the bias is known, inches squared.
    freedom : float
        Degrees of freedom behind `cov` (prior weight and charted throws).
    lost : float
        Share of pitches that slip and spread `LOST_WIDER` times as wide.
    charted : int
        Throws with a target asked before them.
    thrown : int
        Throws counted for strikes.
    strike_share : float
    strike_interval : tuple of float
        Central 90 % of its posterior.
    shelved : bool
        Not there today.
    evidence : str
        Why, in a coach's words; empty when nothing is to be said.
    """

    pitch: str
    family: str
    bias: Floats
    cov: Floats
    bias_cov: Floats
    freedom: float
    lost: float
    charted: int
    thrown: int
    strike_share: float
    strike_interval: tuple[float, float]
    shelved: bool = False
    evidence: str = ""

    @property
    def spread(self) -> float:
        """Inches: the root mean of the variances to the side and in height."""
        return float(np.sqrt(np.trace(self.cov) / 2.0))

    @property
    def spread_sd(self) -> float:
        """Inches: how surely the spread is known (chi-square of 2 x freedom)."""
        return self.spread / float(np.sqrt(4.0 * self.freedom))

    def mixture(self) -> tuple[tuple[float, Floats, Floats], ...]:
        """Return weight, mean (2,) and covariance (2, 2) of each part of actual minus target."""
        return (
            (1.0 - self.lost, self.bias, self.cov),
            (self.lost, self.bias, self.cov * LOST_WIDER**2),
        )


@dataclass(frozen=True, slots=True)
class PitcherBelief:
    """A pitcher as the book knows him; `throws` is R or L, his most thrown pitch comes first."""

    name: str
    throws: str
    level: str
    arsenal: tuple[PitchBelief, ...]
    notes: tuple[str, ...] = ()

    @property
    def available(self) -> tuple[PitchBelief, ...]:
        """The pitches that are not shelved today."""
        return tuple(pitch for pitch in self.arsenal if not pitch.shelved)

    def pitch(self, name: str) -> PitchBelief:
        """Return one pitch of the arsenal; raises KeyError when he does not throw it."""
        for belief in self.arsenal:
            if belief.pitch == name:
                return belief
        raise KeyError(name)


#: Inches of spread to one side at a level for the fastball (pro 8.5, high school 10, 13-14 11,
#: 11-12 12:
#: fitted so that the level's habit gives its published strike share; the others are read between).
SPREAD_IN = {
    "9-10": 13.0,
    "11-12": 12.0,
    "13-14": 11.0,
    "15-16": 10.5,
    "17-18": 10.0,
    "college": 9.25,
    "pro": 8.5,
}
#: Soft and breaking pitches spread more (assumption).
FAMILY_WIDER = {"fast": 1.0, "breaking": 1.2, "off-speed": 1.1, "unknown": 1.1}
#: Share of lost pitches (assumption).
LOST = 0.03
#: Throws that the level's default weighs (assumption: about two bullpens of one pitch).
PRIOR_THROWS = 25.0


def average(
    level: str,
    *,
    arsenal: tuple[str, ...] = ("fastball", "changeup"),
    name: str = "average pitcher",
    throws: str = "R",
) -> PitcherBelief:
    """Return the pitcher of a level of whom nothing is known but what he throws."""
    pitches = []
    for pitch in arsenal:
        kind = family(pitch)
        sd = SPREAD_IN[level] * FAMILY_WIDER[kind]
        cov = np.eye(2) * sd**2
        pitches.append(
            PitchBelief(
                pitch,
                kind,
                np.zeros(2),
                cov,
                cov / PRIOR_THROWS,
                PRIOR_THROWS,
                LOST,
                0,
                0,
                0.6,
                (0.5, 0.7),
            )
        )
    return PitcherBelief(name, throws, level, tuple(pitches))
