"""What we believe of one hitter: traits and habit, each with its spread."""

from dataclasses import dataclass

import numpy as np

from sequencer.estimates.arrays import Floats
from sequencer.estimates.traits import TRAITS, prior_sd

__all__ = ["TRAITS", "HitterBelief", "average"]


@dataclass(frozen=True, slots=True)
class HitterBelief:
    """A hitter as the book knows him.

    Attributes
    ----------
    name : str
    bats : str
        R or L: the side he hits from against this pitcher.
    level : str
    mean : array (traits,)
        Mean of each trait in the order of `TRAITS`; nought is the league's hitter. Units as in
        `traits`.
    cov : array (traits, traits)
        Its covariance.
    take_share : array (4, 3)
        How often he takes whatever comes, by balls and strikes: his habit.
    fast_belief : array (4, 3)
        The probability of a fast pitch that he expects, by balls and strikes: his habit.
    protect : array (4, 3)
        How often he protects rather than drives when he does not take (1 with two strikes for the
        league).
    pitches : int
        Logged pitches behind it.
    notes : tuple of str
        Sentences for a coach: what moved him, and where marks and pitches disagree.
    """

    name: str
    bats: str
    level: str
    mean: Floats
    cov: Floats
    take_share: Floats
    fast_belief: Floats
    protect: Floats
    pitches: int = 0
    notes: tuple[str, ...] = ()

    def trait(self, name: str) -> tuple[float, float]:
        """Return mean and standard deviation of one trait."""
        i = TRAITS.index(name)
        return float(self.mean[i]), float(np.sqrt(self.cov[i, i]))


def average(level: str, *, name: str = "average hitter", bats: str = "R") -> HitterBelief:
    """Return the hitter of whom nothing is known: his level's habit, the whole prior spread."""
    from sequencer.estimates import league

    at = league.load(level)
    sd = prior_sd()
    protect = np.zeros((4, 3))
    protect[:, 2] = 1.0
    return HitterBelief(
        name,
        bats,
        level,
        np.zeros(len(TRAITS)),
        np.diag(sd**2),
        at.take_share,
        at.fast_share,
        protect,
    )
