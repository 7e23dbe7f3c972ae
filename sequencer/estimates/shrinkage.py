"""How far a small sample is trusted: prior weights, and shares with their uncertainty."""

from typing import Final, NamedTuple

import numpy as np

from sequencer.errors import BadInput
from sequencer.estimates.arrays import Floats

_GRID: Final = (np.arange(4000) + 0.5) / 4000.0


def prior_weight(n: float, reliability: float) -> float:
    """Return the sample size n0 that a prior weighs when n observations are this reliable.

    A reliability r at n observations shrinks by n / (n + n0), so n0 = n (1 - r) / r.

    Raises
    ------
    BadInput
        If the reliability is not between nought and one.
    """
    if not 0.0 < reliability < 1.0 or n <= 0:
        raise BadInput(f"A reliability of {reliability:g} at {n:g} observations gives no weight.")
    return n * (1.0 - reliability) / reliability


def shrunk(mean: float, n: float, prior: float, n0: float) -> float:
    """Return a mean of n observations pulled to a prior that weighs n0 of them."""
    return (n * mean + n0 * prior) / (n + n0)


class Share(NamedTuple):
    """A Beta posterior of a share: `a` successes and `b` failures, the prior's included."""

    a: float
    b: float

    @classmethod
    def of(cls, successes: float, n: float, prior: float, weight: float) -> "Share":
        """Return the posterior of successes in n with a prior mean that weighs `weight`."""
        return cls(prior * weight + successes, (1.0 - prior) * weight + n - successes)

    @property
    def mean(self) -> float:
        """The posterior mean."""
        return self.a / (self.a + self.b)

    def below(self, mark: float) -> float:
        """Return the probability that the share is below a mark."""
        return float(np.interp(mark, _GRID, self._cumulated()))

    def interval(self, inside: float = 0.9) -> tuple[float, float]:
        """Return the central interval that holds the share with probability `inside`."""
        tail = (1.0 - inside) / 2.0
        low, high = np.interp([tail, 1.0 - tail], self._cumulated(), _GRID)
        return float(low), float(high)

    def _cumulated(self) -> Floats:
        log = (self.a - 1.0) * np.log(_GRID) + (self.b - 1.0) * np.log1p(-_GRID)
        mass = np.exp(log - log.max())
        # Half of a cell's own mass lies below its middle.
        return np.asarray((np.cumsum(mass) - 0.5 * mass) / mass.sum())
