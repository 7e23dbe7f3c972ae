"""Every step of the league: its pitches and outcome, its prior, the problem it is fitted as."""

from dataclasses import replace
from typing import Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES, SWINGS
from sequencer.estimates.arrays import Bools, Floats, expit
from sequencer.estimates.coefficients import AT_THE_BAT, STEPS
from sequencer.estimates.fit_data import Data
from sequencer.estimates.league import League
from sequencer.estimates.sandwich import Problem
from sequencer.estimates.surface import OUTSIDE, Rows, Surface, design, near

#: Bumps along one side of each step's grid: the called edge is an inch or two wide, a swing's reach
#: a foot; the others have a few thousand rows and follow broad shapes.
BUMPS: Final = {"called": 17, "swing": 9, "miss": 7, "foul": 5, "in_play": 5, "hit_by_pitch": 3}
#: Spread of one ball in play's value, runs, about its mean (measured on the open data).
NOISE_RUNS: Final = 0.31

# Precision of the prior of each block, and how much stiffer a step needs it (assumptions, chosen by
# log loss on held-out games of the open data): as given, a bump moves log odds by about a half.
_SHAPE_PRECISION: Final = {"miss": 1.0, "foul": 0.3, "hit_by_pitch": 3.0}
_BROAD: Final = 0.1
_PRECISION: Final = {
    "bump": 2.0,
    "family": 4.0,
    "same": 4.0,
    "protect": 8.0,
    "count": 4.0,
    "edge": 2.0,
}
_STIFFER: Final = {"called": 5.0, "swing": 2.0, "miss": 20.0, "foul": 60.0, "in_play": 10.0}
#: Precision in place of these: an umpire's count moves his zone by two in log odds and more.
_OWN_PRECISION: Final = {"called": {"count": 0.5, "edge": 0.2}}
#: Runs move by a twentieth of what log odds do.
_RUNS_STIFFER: Final = 400.0
#: Precision of what a step does without.
NEVER: Final = 1e8
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
#: Known results of a take; some logs say that a pitch was taken and not what it was.
_TAKES: Final = ("ball", "called strike", "hit by pitch")
#: How much stiffer the prior is about a fitted league than about nothing, and the least of it: a
#: level may be off by about .2 in log odds (assumptions).
LEAN: Final = 4.0
LEAST: Final = 30.0


def used(step: str, data: Data) -> tuple[Bools, Floats]:
    """Return which rows a step is fitted on, and the outcome of every row."""
    result = data.result
    known = {
        "called": (np.isin(result, _TAKES[:2]), result == "called strike"),
        "swing": (data.took | data.swung, data.swung),
        "miss": (np.isin(result, list(SWINGS)), result == "swinging strike"),
        "foul": (np.isin(result, ["foul", "in play"]), result == "foul"),
        "in_play": ((result == "in play") & np.isfinite(data.runs), data.runs),
        "hit_by_pitch": (data.took & np.isin(result, _TAKES), result == "hit by pitch"),
    }
    which, outcome = known[step]
    if step == "miss":
        outcome = outcome | (result == "foul tip")
    if step in ("swing", "hit_by_pitch"):
        which = which & data.whole
    return which, np.asarray(outcome, dtype=np.float64)


def begun(step: str) -> Surface:
    """Return where a step starts: a level and a slope outside the zone."""
    surface = Surface.zero(BUMPS[step])
    level, slope = _START[step]
    surface.place[0] = level
    surface.place[list(OUTSIDE)] = slope
    return surface


def precision(step: str, start: Surface, *, leaning: bool) -> Floats:
    """Return the prior precision of every coefficient; `leaning` holds it near a fitted league."""
    found = np.full(start.vector().size, _SHAPE_PRECISION.get(step, _BROAD))
    for block, size in _PRECISION.items():
        found[start.block(block)] = size
    found *= _STIFFER.get(step, 1.0)
    for block, size in _OWN_PRECISION.get(step, {}).items():
        found[start.block(block)] = size
    if leaning:
        found = np.maximum(found * LEAN, LEAST)
    for block in _WITHOUT[step]:
        found[start.block(block)] = NEVER
    return found * _RUNS_STIFFER if step == "in_play" else found


def problem(
    step: str,
    rows: Rows,
    outcome: Floats,
    side: int,
    take: Floats | None = None,
    known: Floats | None = None,
    flatter: Floats | None = None,
) -> Problem:
    """Return what a step is fitted on.

    Parameters
    ----------
    rows, outcome : Rows, array (n,)
        Pitches the step is about, and what happened (runs for `in_play`).
    side : int
        Bumps along one side of the grid of its surface.
    take : array (4, 3), optional
        Share of pitches taken whatever comes, the ceiling of a swing; none when not given.
    known : array (n,), optional
        Log odds that are known beforehand.
    flatter : array (n,), optional
        What the log odds of the surface are divided by.
    """
    if step in AT_THE_BAT:
        rows = replace(rows, u=near(rows.u), v=near(rows.v))

    def matrix(part: slice) -> Floats:
        found = design(rows.take(part), side)
        return found if flatter is None else found / flatter[part, None]

    if step == "in_play":
        return Problem(matrix, outcome, noise=NOISE_RUNS)
    most = None
    if take is not None and step == "swing":
        most = 1.0 - take[rows.balls, rows.strikes]
    return Problem(matrix, outcome, most, known)


def told(step: str, rows: Rows, league: League) -> Floats:
    """Return what a league says of one step on rows: a probability, or runs."""
    return every(rows, league)[step]


def every(rows: Rows, league: League) -> dict[str, Floats]:
    """Return what a league says of every step on rows: probabilities, and runs for `in_play`."""
    out = {step: np.zeros(len(rows)) for step in STEPS}
    for i, family in enumerate((*FAMILIES, "unknown")):
        own = rows.family == i
        part = rows.take(own)
        given = league.steps(
            family, part.u, part.v, part.balls, part.strikes, part.same,
            left=part.left, season=part.season,
        )  # fmt: skip
        for step, found in out.items():
            value = getattr(given, step)
            found[own] = value if step in ("in_play", "hit_by_pitch") else expit(value)
    return out
