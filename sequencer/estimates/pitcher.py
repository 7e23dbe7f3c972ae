"""A pitcher as the book knows him: one belief for each pitch he throws."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats

#: A lost pitch spreads this many times as wide as a thrown one (assumption).
LOST_WIDER: Final = 2.5


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
    def mean_miss(self) -> float:
        """Inches from target plus bias to the ball, on average: of a round Gaussian."""
        return self.spread * float(np.sqrt(np.pi / 2.0))

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
