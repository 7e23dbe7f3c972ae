"""How well a catcher blocks, by the balls that got away from him: Gamma-Poisson, to the level.

Expected are the balls an average catcher of his level would have lost on the same pitches with a
runner on; a pitch charted below the zone counts for more, so that a wild staff is not his fault.
"""

from dataclasses import dataclass
from typing import Final

#: Shape of the prior of a catcher's factor about 1: standard deviation .45, so that two in three
#: lie between .6 and 1.5 times the usual (assumption).
PRIOR: Final = 5.0
#: Share of pitches in the dirt, of all and of those charted below the zone or not (assumption;
#: one in five is charted below).
DIRT: Final = 0.07
DIRT_BELOW: Final = 0.30
DIRT_ELSEWHERE: Final = 0.01


@dataclass(frozen=True, slots=True)
class Blocking:
    """A catcher's factor on how often a ball in the dirt gets away: 1 is his level's usual.

    Attributes
    ----------
    lost : pitches that got away from him with a runner on
    expected : pitches an average catcher would have lost of the same
    pitches : with a runner on, that he caught or lost
    """

    lost: int
    expected: float
    pitches: int

    @property
    def factor(self) -> float:
        """Posterior mean."""
        return (PRIOR + self.lost) / (PRIOR + self.expected)

    @property
    def sd(self) -> float:
        """Posterior standard deviation."""
        return float((PRIOR + self.lost) ** 0.5 / (PRIOR + self.expected))

    def says(self, name: str) -> str:
        """Return what this rests on, in a sentence."""
        if not self.pitches:
            return f"{name} has caught nothing with a runner on: taken for an average catcher"
        return (
            f"{name} has lost {self.lost} of {self.pitches} pitches with a runner on (usual "
            f"{self.expected:.1f}): balls get away {self.factor:.1f} times as often as usual "
            f"(sd {self.sd:.1f})"
        )


def expected_lost(gets_away: float, below: int, elsewhere: int, unknown: int) -> float:
    """Return how many pitches an average catcher loses.

    Parameters
    ----------
    gets_away : float
        Chance that a ball in the dirt gets away at his level.
    below, elsewhere, unknown : int
        Pitches with a runner on: charted below the zone, anywhere else, or not charted.
    """
    return gets_away * (DIRT_BELOW * below + DIRT_ELSEWHERE * elsewhere + DIRT * unknown)
