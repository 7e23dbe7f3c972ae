"""Fit the league on a pitch log: every step, where pitches go, what balls in play become."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import SWINGS
from sequencer.errors import BadInput
from sequencer.estimates import newton
from sequencer.estimates.arrays import Bools, Floats
from sequencer.estimates.coefficients import AT_THE_BAT, STEPS, Coefficients
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.fit_mix import fit_plays, location_mix
from sequencer.estimates.surface import OUTSIDE, Surface, design, near

if TYPE_CHECKING:
    import pandas as pd

#: Bumps along one side of each step's grid: the called edge is an inch or two wide, a swing's reach
#: a foot; the others have a few thousand rows and follow broad shapes.
BUMPS: Final = {"called": 17, "swing": 9, "miss": 7, "foul": 5, "in_play": 5, "hit_by_pitch": 3}
#: In-zone share of swings by balls and strikes, pitch tracking to 2012: Brooks and Pavlidis (2012),
#: Baseball Prospectus 17941.
SWING_IN_ZONE: Final = (
    np.array(
        [[37.39, 71.12, 85.30], [57.49, 76.29, 88.01], [56.49, 80.41, 90.16], [9.72, 73.85, 92.57]]
    )
    / 100.0
)
#: Spread of one ball in play's value, runs, about its mean (measured on the open data).
NOISE_RUNS: Final = 0.31

# Precision of the prior of each block (assumptions, chosen on held-out games of the open data): a
# bump may move log odds by about a half, a family's departure by one, a count by about a half.
_SHAPE_PRECISION: Final = 0.1
_PRECISION: Final = {
    "bump": 2.0,
    "family": 4.0,
    "same": 4.0,
    "protect": 8.0,
    "count": 4.0,
    "edge": 2.0,
}
#: Runs move by a twentieth of what log odds do.
_RUNS_STIFFER: Final = 400.0
_NEVER: Final = 1e8
#: Blocks a step does without: protecting is no umpire's; the edge that moves with the count is his.
_WITHOUT: Final = {
    "called": ("protect", "same"),
    "swing": ("edge",),
    "miss": ("edge",),
    "foul": ("edge",),
    "in_play": ("edge",),
    "hit_by_pitch": ("edge", "protect", "family", "count", "bump"),
}
#: Where a step starts before data: level, and per half of the zone outside it, in log odds
#: (assumptions that keep places without pitches sane).
_START: Final = {
    "called": (4.0, -8.0),
    "swing": (1.5, -3.0),
    "miss": (-1.5, 0.8),
    "foul": (0.0, 0.0),
    "in_play": (0.03, -0.02),
    "hit_by_pitch": (-9.0, 0.0),
}
#: How much stiffer the prior is about a fitted league than about nothing (assumption).
LEAN: Final = 4.0
_SAYS: Final = {
    "called": "The called zone",
    "swing": "The swing",
    "miss": "The miss",
    "foul": "The foul",
    "in_play": "The ball in play",
    "hit_by_pitch": "The hit batter",
}
#: Rows below which a step is not fitted at all.
FEWEST: Final = 30


def fit_league(
    frame: "pd.DataFrame", *, prior: Coefficients | None = None, name: str = ""
) -> Coefficients:
    """Fit the league on a pitch log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log; `contact_value` (expected batting value of a ball in play),
        `swing` and `launch_deg` are used when they are there.
    prior : Coefficients, optional
        The league a thin log stays near; without it the fit stands on this log alone.
    name : str
        What the data is called in the file.

    Raises
    ------
    BadInput
        If a step cannot be fitted: too few rows, or only one outcome, and no prior to lean on.
    """
    data = data_of(frame)
    rows: dict[str, int] = {}
    steps = {}
    take = 1.0 - SWING_IN_ZONE / SWING_IN_ZONE[3, 2] if prior is None else prior.take_share
    for step in STEPS:
        steps[step], rows[step] = _step(step, data, take, prior)
    mix = location_mix(data.rows, data.whole, None if prior is None else prior.mix)
    plays = fit_plays(data, None if prior is None else prior.plays)
    about = {"name": name, "pitches": len(data.rows), "left_out": data.left_out, "rows": rows}
    return Coefficients(steps, take, mix, plays, about)


def used(step: str, data: Data) -> tuple[Bools, Floats]:
    """Return which rows a step is fitted on, and the outcome of every row."""
    result = data.result
    known = {
        "called": (np.isin(result, ["ball", "called strike"]), result == "called strike"),
        "swing": (data.took | data.swung, data.swung),
        "miss": (np.isin(result, list(SWINGS)), result == "swinging strike"),
        "foul": (np.isin(result, ["foul", "in play"]), result == "foul"),
        "in_play": ((result == "in play") & np.isfinite(data.runs), data.runs),
        "hit_by_pitch": (data.took, result == "hit by pitch"),
    }
    which, outcome = known[step]
    if step == "miss":
        outcome = outcome | (result == "foul tip")
    if step in ("swing", "hit_by_pitch"):
        which = which & data.whole
    return which, np.asarray(outcome, dtype=np.float64)


def _step(step: str, data: Data, take: Floats, prior: Coefficients | None) -> tuple[Surface, int]:
    which, outcome = used(step, data)
    start = _start(step) if prior is None else prior.steps[step]
    y = outcome[which]
    if len(y) < FEWEST or (step != "in_play" and len(np.unique(y)) < 2):
        if prior is None:
            raise BadInput(_too_thin(step, y))
        return start, len(y)
    rows = data.rows.take(which)
    if step in AT_THE_BAT:
        rows = replace(rows, u=near(rows.u), v=near(rows.v))
    penalty = precision(step, start, leaning=prior is not None)

    def matrix(part: slice) -> Floats:
        return design(rows.take(part), start.side)

    if step == "in_play":
        found = newton.linear(matrix, y, penalty, start.vector(), NOISE_RUNS)
    else:
        most = 1.0 - take[rows.balls, rows.strikes] if step == "swing" else None
        found = newton.logistic(matrix, y, penalty, start.vector(), ceiling=most)
    return start.with_vector(found.coefficients), len(y)


def _too_thin(step: str, outcome: Floats) -> str:
    what = _SAYS[step]
    if len(outcome) < FEWEST:
        return (
            f"{what} cannot be fitted on {len(outcome)} pitches: at least {FEWEST} are needed, or "
            "lean on the built-in league."
        )
    return (
        f"{what} cannot be fitted: it came out the same way on all {len(outcome)} pitches. Check "
        "the results of this log, or lean on the built-in league."
    )


def _start(step: str) -> Surface:
    """Return where a step starts: a level and a slope outside the zone."""
    surface = Surface.zero(BUMPS[step])
    level, slope = _START[step]
    surface.place[0] = level
    surface.place[list(OUTSIDE)] = slope
    return surface


def precision(step: str, start: Surface, *, leaning: bool) -> Floats:
    """Return the prior precision of every coefficient; `leaning` holds it near a fitted league."""
    found = np.full(start.vector().size, _SHAPE_PRECISION)
    for block, size in _PRECISION.items():
        found[start.block(block)] = size
    if leaning:
        found = np.maximum(found * LEAN, LEAN)
    for block in _WITHOUT[step]:
        found[start.block(block)] = _NEVER
    return found * _RUNS_STIFFER if step == "in_play" else found
