"""Where pitches went, smoothed over the plane, and shares smoothed the same way.

A Gaussian kernel. A pitch whose cell alone is known is anywhere in its cell with the same chance,
and its kernel is the Gaussian averaged over the cell: a cell is never made a point.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from sequencer.baseball.zone import (
    BALL_RADIUS_IN,
    CATCHER_COLUMNS,
    HALF_WIDTH_IN,
    ROWS,
    Zone,
    centre_of,
)
from tui.picture_views import Seen

Floats = NDArray[np.float64]
#: Fewer pitches with a place than this are never smoothed (assumption): of 30 a cell that holds a
#: tenth may hold from a fiftieth to a quarter.
LEAST: Final = 30
#: Points of the fine grid across and up: finer than the characters of any picture but the largest.
ACROSS: Final = 45
UP: Final = 30
#: How far the grid reaches, in zone halves as named: the zone and a third around it.
REACH: Final = 5 / 3


@dataclass(frozen=True, eq=False)
class Kernels:
    """One Gaussian for each pitch, over points in catcher's inches.

    Attributes
    ----------
    low, high : arrays (pitches, 2)
        Sides of what is known of its place: equal where inches were measured.
    bandwidth : array (2,)
        Inches, to the side and in height.
    """

    low: Floats
    high: Floats
    bandwidth: Floats

    @classmethod
    def of(cls, seen: Sequence[Seen], zone: Zone) -> "Kernels":
        """Place pitches, all of which have a place, and choose the bandwidth by Scott's rule.

        Notes
        -----
        Scott (1992), Multivariate Density Estimation, section 6.3: in two dimensions the standard
        deviation of each side over the sixth root of how many (as scipy.stats.gaussian_kde has
        it). Never below a ball's radius.
        """
        low, high = (
            np.array(part) for part in zip(*(_box(one, zone) for one in seen), strict=True)
        )
        middle = (low + high) / 2.0
        within = ((high - low) ** 2 / 12.0).mean(axis=0)
        spread = np.sqrt(middle.var(axis=0, ddof=1) + within)
        return cls(low, high, np.maximum(spread * len(low) ** (-1 / 6), BALL_RADIUS_IN))

    def density(self, x: Floats, y: Floats) -> Floats:
        """Return the density of all pitches on a grid, per square inch, (len(y), len(x))."""
        return self._along(y, 1).T @ self._along(x, 0) / len(self.low)

    def near(self, x: Floats, y: Floats, counted: Floats) -> tuple[Floats, Floats]:
        """Return how many pitches are near each point, and the share of them that are counted.

        Parameters
        ----------
        counted : array (pitches,)
            1 or 0.

        Returns
        -------
        near, share : arrays (len(y), len(x))
            A pitch measured at the point itself is one, one a bandwidth away .61.
        """
        across, up = self._along(x, 0), self._along(y, 1)
        all_of = up.T @ across
        some = (up * counted[:, None]).T @ across
        peak = 1.0 / (2.0 * np.pi * self.bandwidth.prod())
        return all_of / peak, some / np.maximum(all_of, 1e-300)

    def density_error(self, density: Floats) -> Floats:
        """Return the standard error of a density.

        Notes
        -----
        Silverman (1986), Density Estimation, section 4.3: the density times the square integral of
        the kernel, 1 / (4 pi h h), over how many; what smoothing itself blurs is not in it.
        """
        roughness = 1.0 / (4.0 * np.pi * self.bandwidth.prod())
        return np.sqrt(density * roughness / len(self.low))  # type: ignore[no-any-return]

    def _along(self, at: Floats, axis: int) -> Floats:
        """Return each pitch's kernel along one side, (pitches, points)."""
        h, low, high = self.bandwidth[axis], self.low[:, axis, None], self.high[:, axis, None]
        size = high - low
        point = np.exp(-0.5 * ((at - low) / h) ** 2) / (h * np.sqrt(2.0 * np.pi))
        box = (ndtr((at - low) / h) - ndtr((at - high) / h)) / np.where(size > 0.0, size, 1.0)
        return np.where(size > 0.0, box, point)  # type: ignore[no-any-return]


def _box(one: Seen, zone: Zone) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the corners of what is known of a place; an outer cell is as wide as a third."""
    if one.side_in is not None and one.height_in is not None:
        return (one.side_in, one.height_in), (one.side_in, one.height_in)
    side, height = centre_of(one.cell, zone)
    across, up = HALF_WIDTH_IN / 3.0, zone.half_height_in / 3.0
    return (side - across, height - up), (side + across, height + up)


def grid(zone: Zone) -> tuple[Floats, Floats]:
    """Return the fine grid in catcher's inches: across, and up from the highest down."""
    u = (np.arange(ACROSS) + 0.5) / ACROSS * 2.0 * REACH - REACH
    v = REACH - (np.arange(UP) + 0.5) / UP * 2.0 * REACH
    return u * HALF_WIDTH_IN, zone.middle_in + v * zone.half_height_in


def middles(zone: Zone) -> tuple[Floats, Floats]:
    """Return the middles of the columns and of the rows of cells, as `grid` has them."""
    x = [centre_of(f"belt-{column}", zone)[0] for column in CATCHER_COLUMNS]
    y = [centre_of(f"{row}-middle", zone)[1] for row in ROWS]
    return np.array(x), np.array(y)


def ninth(zone: Zone) -> float:
    """Return the square inches of a ninth of the zone."""
    return 4.0 * HALF_WIDTH_IN * zone.half_height_in / 9.0


def steps(values: Floats, edges: Sequence[float]) -> tuple[str, ...]:
    """Return rows of digits: how many edges each value has reached."""
    return tuple("".join(map(str, row)) for row in np.searchsorted(edges, values, "right").tolist())
