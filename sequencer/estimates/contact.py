"""What a ball in play is worth by how it left the bat: exit speed and launch angle to runs.

A smooth surface (cubic B-splines, second differences held small) fitted to the expected batting
value that a tracking system gives balls in play. Fitted on five hitters' 2019 seasons it is off by
.063 runs (root mean square) on fifteen games of 2023, where the values vary by .358; on a hitter
left out by .047. Boosted trees are off by .065 there, eight nearest neighbours by .058; about .012
of it is that the two seasons are not on quite the same scale.
"""

import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.estimates.arrays import Floats
from sequencer.estimates.places import numbers

if TYPE_CHECKING:
    import pandas as pd

#: A ball in play's expected batting value is on the scale of on-base average: an average plate
#: appearance is .33 and 1.15 points of it are a run (the usual scale of that statistic).
AVERAGE_VALUE: Final = 0.33
POINTS_A_RUN: Final = 1.15
#: Where the surface is bent: beyond, it goes on as at the edge (there are next to no balls there).
SPEED_MPH: Final = (30.0, 115.0)
ANGLE_DEG: Final = (-60.0, 75.0)
#: Least and most that any ball is worth, runs: the source's surest out and surest home run.
LEAST_RUNS: Final = (0.0 - AVERAGE_VALUE) / POINTS_A_RUN
MOST_RUNS: Final = (2.03 - AVERAGE_VALUE) / POINTS_A_RUN
#: Splines along speed and angle and how stiff they are: the coarsest at which the error above is
#: that of trees (measured; 14 by 28 would be off by .058).
SHAPE: Final = (12, 20)
STIFFNESS: Final = 0.03
COMMITTED: Final = Path(__file__).with_name("contact_pro.json")


def runs_of_value(value: Floats) -> Floats:
    """Return runs, relative to an average plate appearance, of expected batting values."""
    return np.asarray((value - AVERAGE_VALUE) / POINTS_A_RUN, dtype=np.float64)


def runs_of_contact(exit_mph: Floats, launch_deg: Floats) -> Floats:
    """Return runs of balls in play, relative to an average plate appearance.

    Parameters
    ----------
    exit_mph, launch_deg : (n,)
        Speed off the bat in miles per hour, angle in degrees above level; nan gives nan.

    Returns
    -------
    (n,) runs, `LEAST_RUNS` to `MOST_RUNS`
    """
    known = np.isfinite(exit_mph) & np.isfinite(launch_deg)
    out = np.full(len(known), np.nan)
    told = np.einsum("ni,ij,nj->n", *_both(exit_mph[known], launch_deg[known], _surface()))
    out[known] = np.clip(told, LEAST_RUNS, MOST_RUNS)
    return out


def measured_runs(frame: "pd.DataFrame") -> Floats:
    """Return runs of a log's balls in play, nan where none was measured.

    That is the source's own expected value where the log has one, else exit speed and angle.
    """
    valued = runs_of_value(numbers(frame, "contact_value"))
    hit = runs_of_contact(numbers(frame, "exit_mph"), numbers(frame, "launch_deg"))
    return np.where(np.isnan(valued), hit, valued)


def fitted(exit_mph: Floats, launch_deg: Floats, runs: Floats) -> Floats:
    """Return the surface, `SHAPE`, that is nearest to balls in play, all (n,), and still smooth."""
    across, _, along = _both(exit_mph, launch_deg, np.zeros(SHAPE))
    basis = (across[:, :, None] * along[:, None, :]).reshape(len(runs), -1)
    bends = [np.diff(np.eye(n), 2, axis=0) for n in SHAPE]
    rough = [bend.T @ bend for bend in bends]
    penalty = np.kron(rough[0], np.eye(SHAPE[1])) + np.kron(np.eye(SHAPE[0]), rough[1])
    at = np.linalg.solve(basis.T @ basis + STIFFNESS * penalty, basis.T @ runs)
    return np.asarray(at.reshape(SHAPE), dtype=np.float64)


@cache
def _surface() -> Floats:
    return np.array(json.loads(COMMITTED.read_text(encoding="utf-8"))["runs"], dtype=np.float64)


def _both(exit_mph: Floats, launch_deg: Floats, at: Floats) -> tuple[Floats, Floats, Floats]:
    return _splines(exit_mph, SPEED_MPH, SHAPE[0]), at, _splines(launch_deg, ANGLE_DEG, SHAPE[1])


def _splines(x: Floats, ends: tuple[float, float], n: int) -> Floats:
    """Return the n cubic B-splines that are evenly spread between two ends, at x: (len(x), n)."""
    low, high = ends
    place = (np.clip(x, low, high) - low) / (high - low) * (n - 3)
    first = np.minimum(np.floor(place), n - 4).astype(np.intp)
    t = place - first
    parts = ((1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3)
    out = np.zeros((len(x), n))
    for i, part in enumerate(parts):
        out[np.arange(len(x)), first + i] = part / 6.0
    return out
