"""How often intervals of a pitcher's command hold the truth: python -m tests.estimates.coverage."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.levels import level
from sequencer.baseball.zone import HALF_WIDTH_IN, centre_of
from sequencer.estimates.command import of_throws
from sequencer.estimates.misses import BIAS_THROWS, PRIOR_THROWS, Throws
from sequencer.estimates.pitcher import LOST_WIDER
from sequencer.estimates.places import _COLUMN_SIDES, _ROW_SIDES, SEEN_ERROR_IN
from sequencer.estimates.strikes import Counted, ShareOf

#: A strike share, which no spread depends on.
SHARE: Final = ShareOf(0.6, (0.5, 0.7), Counted(0, 0))
Floats = NDArray[np.float64]
#: Targets in the catcher's frame: a half, a quarter and a cell.
TARGETS: Final = ("left", "low-right", "down-right", "middle", "up-left")
#: How a throw is seen: (seen_from, whether only its cell is kept).
WAYS: Final = {
    "measured": ("measured", False),
    "cell, behind plate": ("behind plate", True),
    "inches, dugout": ("dugout", False),
    "cell, dugout": ("dugout", True),
}


class Truth(NamedTuple):
    """One simulated pitcher: bias (2,), covariance (2, 2), share of lost throws."""

    bias: Floats
    cov: Floats
    lost: float


class Covered(NamedTuple):
    """Whether the truth was held: bias ellipse, spread interval; and the error of the spread."""

    bias: bool
    spread: bool
    off: float


def of_the_prior(rng: np.random.Generator, at: str, lost: float = 0.03) -> Truth:
    """A pitcher drawn from the level's prior."""
    prior = np.eye(2) * level(at).spread_in["fast"] ** 2
    root = np.linalg.cholesky(np.linalg.inv(prior * PRIOR_THROWS))
    normal = root @ rng.normal(size=(2, int(PRIOR_THROWS) + 3))
    cov = np.asarray(np.linalg.inv(normal @ normal.T), dtype=np.float64)
    bias = np.linalg.cholesky(cov / BIAS_THROWS) @ rng.normal(size=2)
    return Truth(bias, cov, lost)


def seen(
    rng: np.random.Generator, at: str, truth: Truth, n: int, seen_from: str, by_cell: bool
) -> Throws:
    """Throws of a pitcher at targets of all sizes, as they would be charted."""
    zone = level(at).zone
    aims = np.array([centre_of(word, zone) for word in TARGETS])[rng.integers(0, len(TARGETS), n)]
    wide = np.where(rng.random(n) < truth.lost, LOST_WIDER, 1.0)
    root = np.linalg.cholesky(truth.cov)
    sd = np.array(SEEN_ERROR_IN[seen_from])
    place = aims + truth.bias + wide[:, None] * (rng.normal(size=(n, 2)) @ root.T)
    place += rng.normal(size=(n, 2)) * sd
    error = np.tile(sd**2, (n, 1))
    if not by_cell:
        return Throws(place - aims, place - aims, error)
    across = [side for side, _ in _COLUMN_SIDES.values()] + [np.inf]
    up = [side for side, _ in reversed(_ROW_SIDES.values())] + [np.inf]
    edges = (
        np.array(across) * HALF_WIDTH_IN,
        zone.middle_in + np.array(up) * zone.half_height_in,
    )
    index = [np.digitize(place[:, k], edges[k][1:-1]) for k in (0, 1)]
    low = np.column_stack([edges[k][index[k]] for k in (0, 1)])
    high = np.column_stack([edges[k][index[k] + 1] for k in (0, 1)])
    return Throws(low - aims, high - aims, error)


def covered(truth: Truth, throws: Throws, at: str) -> Covered:
    """Whether the belief after these throws holds the truth."""
    found = of_throws("fastball", level(at), throws, SHARE)
    spread = float(np.sqrt(np.trace(truth.cov) / 2.0))
    low, high = found.spread_interval
    return Covered(found.bias_may_be(truth.bias), low <= spread <= high, found.spread / spread - 1)


def shares(
    at: str, n: int, way: str, *, pitchers: int, seed: int, lost: float = 0.03
) -> tuple[float, float, float]:
    """Shares of simulated pitchers whose bias and spread were held, and the spread's mean error."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(pitchers):
        truth = of_the_prior(rng, at, lost)
        found.append(covered(truth, seen(rng, at, truth, n, *WAYS[way]), at))
    bias, spread, off = np.array(found, dtype=np.float64).mean(axis=0)
    return float(bias), float(spread), float(off)


def main(pitchers: int = 300) -> None:
    """Print the table."""
    print(f"{'level':<8}{'seen':<20}{'throws':>7}{'bias':>7}{'spread':>8}{'off':>7}")  # noqa: T201
    for at in ("11-12", "17-18"):
        for way in WAYS:
            for n in (15, 60, 300):
                bias, spread, off = shares(at, n, way, pitchers=pitchers, seed=n)
                row = f"{at:<8}{way:<20}{n:>7}{bias:>7.3f}{spread:>8.3f}{off:>+7.3f}"
                print(row)  # noqa: T201


if __name__ == "__main__":
    main()
