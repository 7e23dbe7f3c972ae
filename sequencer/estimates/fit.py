"""Fit the league on a pitch log: every step, where pitches go, what balls in play become."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES, SWINGS
from sequencer.errors import BadInput
from sequencer.estimates import newton
from sequencer.estimates.arrays import Bools, Floats, expit
from sequencer.estimates.coefficients import AT_THE_BAT, STEPS, Coefficients
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.fit_mix import family_shares, fit_plays, location_mix
from sequencer.estimates.league import (
    SURPRISE_FOUL,
    SURPRISE_MISS,
    League,
    shift_between,
    unusual,
)
from sequencer.estimates.surface import OUTSIDE, Rows, Surface, design, near
from sequencer.estimates.takes import TAKE_BEFORE, taken

if TYPE_CHECKING:
    import pandas as pd

#: Bumps along one side of each step's grid: the called edge is an inch or two wide, a swing's reach
#: a foot; the others have a few thousand rows and follow broad shapes.
BUMPS: Final = {"called": 17, "swing": 9, "miss": 7, "foul": 5, "in_play": 5, "hit_by_pitch": 3}
#: Turns of fitting the swing and the takes at most, and the move of a take at which they end
#: (measured: ten turns are needed on the open data).
_TURNS: Final = 40
_STILL: Final = 1e-3
#: Spread of one ball in play's value, runs, about its mean (measured on the open data).
NOISE_RUNS: Final = 0.31

# Precision of the prior of each block, and how much stiffer a step needs it (assumptions, chosen by
# log loss on held-out games of the open data): as given, a bump moves log odds by about a half.
_SHAPE_PRECISION: Final = 0.1
_PRECISION: Final = {
    "bump": 2.0,
    "family": 4.0,
    "same": 4.0,
    "protect": 8.0,
    "count": 4.0,
    "edge": 2.0,
}
_STIFFER: Final = {"called": 5.0, "swing": 2.0, "miss": 15.0, "foul": 25.0, "in_play": 10.0}
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
#: How much stiffer the prior is about a fitted league than about nothing, and the least of it: a
#: level may be off by about .2 in log odds (assumptions).
LEAN: Final = 4.0
LEAST: Final = 30.0
_SAYS: Final = {
    "called": "The called zone",
    "swing": "The swing",
    "miss": "The miss",
    "foul": "The foul",
    "in_play": "The ball in play",
    "hit_by_pitch": "The hit batter",
}
#: Steps that a surprise moves, log odds a nat.
_SURPRISED: Final = {"miss": SURPRISE_MISS[0], "foul": SURPRISE_FOUL[0]}
#: Rows below which a step is not fitted at all.
FEWEST: Final = 30


def fit_league(
    frame: "pd.DataFrame",
    *,
    prior: Coefficients | None = None,
    level: str = "pro",
    name: str = "",
) -> Coefficients:
    """Fit the league on a pitch log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log; `contact_value` (expected batting value of a ball in play),
        `swing` and `launch_deg` are used when they are there.
    prior : Coefficients, optional
        The league that the log's steps stay near. Its habit, mix and plays are kept, and what it
        is moved by to come to `level` stays a move: the result is again the prior's league.
        Without it everything stands on this log alone and describes `level` as it is.
    level : str
        Level that the log is of.
    name : str
        What the data is called in the file.

    Raises
    ------
    BadInput
        If a step cannot be fitted: too few rows, or only one outcome, and no prior to lean on.
    """
    data = data_of(frame, level)
    about = {"name": name, "level": level, "pitches": len(data.rows), "left_out": data.left_out}
    if prior is None:
        steps: dict[str, Surface] = {}
        for step in STEPS:
            if step == "swing":
                steps[step], take = _swing_alone(data)
            else:
                steps[step] = _alone(step, data)
        mix, plays = location_mix(data.rows, data.whole), fit_plays(data)
    else:
        take, mix, plays = prior.take_share, prior.mix, prior.plays
        moved = League.of(prior, shift_between(prior, level), level)
        steps = {step: _leaning(step, data, moved) for step in STEPS}
        about = {**prior.data, "leaning": about}
    about["rows"] = {step: int(used(step, data)[0].sum()) for step in STEPS}
    return Coefficients(steps, take, mix, plays, about)


def _alone(step: str, data: Data) -> Surface:
    start, known = _start(step), None
    rows, y = _rows_alone(step, data)
    if step in _SURPRISED:
        thrown = family_shares(data.rows.take(data.whole))
        known = _expected(step, rows, unusual(thrown, thrown))
    return fit_step(step, rows, y, start, precision(step, start, leaning=False), known=known)


def _rows_alone(step: str, data: Data) -> tuple[Rows, Floats]:
    which, outcome = used(step, data)
    if _thin(step, outcome[which]):
        raise BadInput(_too_thin(step, outcome[which]))
    return data.rows.take(which), outcome[which]


def _swing_alone(data: Data) -> tuple[Surface, Floats]:
    """Fit the swing of a hitter who is ready, and how often he takes whatever comes, (4, 3).

    A ready hitter swings alike in every count but for protecting: what a count changes is how
    often he takes. Each is fitted in turn while the other stands.
    """
    start, take = _start("swing"), TAKE_BEFORE
    rows, y = _rows_alone("swing", data)
    penalty = precision("swing", start, leaning=False)
    penalty[start.block("count")] = _NEVER
    surface = start
    for _ in range(_TURNS):
        surface, before = fit_step("swing", rows, y, start, penalty, take), take
        take = taken(rows, y, surface, before)
        if np.abs(take - before).max() < _STILL:
            break
    return surface, take


def _expected(step: str, rows: Rows, nats: Floats) -> Floats:
    """Return the log odds of a step that the count gives a family, (n,), by `unusual` nats."""
    by_family = np.concatenate([nats, np.zeros((1, 4, 3))])
    return np.asarray(_SURPRISED[step] * by_family[rows.family, rows.balls, rows.strikes])


def _leaning(step: str, data: Data, league: League) -> Surface:
    """Fit a step about a league's, which is where its level has moved it; move it back."""
    start = league.fitted.steps[step]
    which, outcome = used(step, data)
    if _thin(step, outcome[which]):
        return start
    rows, y = data.rows.take(which), outcome[which]
    if step == "called":
        u, v = league.called_at(rows.u, rows.v)
        rows = replace(rows, u=u, v=v)
    level = np.zeros_like(start.place)
    level[0] = league.moved_by(step)
    penalty = precision(step, start, leaning=True)
    moved = replace(start, place=start.place + level)
    known = _expected(step, rows, league.unusual) if step in _SURPRISED else None
    found = fit_step(step, rows, y, moved, penalty, league.take_share, known)
    return replace(found, place=found.place - level)


def _thin(step: str, outcome: Floats) -> bool:
    return len(outcome) < FEWEST or (step != "in_play" and len(np.unique(outcome)) < 2)


def fit_step(
    step: str,
    rows: Rows,
    outcome: Floats,
    start: Surface,
    penalty: Floats,
    take: Floats | None = None,
    known: Floats | None = None,
) -> Surface:
    """Fit one step about a start.

    Parameters
    ----------
    rows, outcome : Rows, array (n,)
        Pitches the step is about, and what happened (runs for `in_play`).
    start, penalty : Surface, array (coefficients,)
        Mean and precision of the prior.
    take : array (4, 3), optional
        Share of pitches taken whatever comes, the ceiling of a swing; none when not given.
    known : array (n,), optional
        Log odds that are known beforehand.
    """
    if step in AT_THE_BAT:
        rows = replace(rows, u=near(rows.u), v=near(rows.v))

    def matrix(part: slice) -> Floats:
        return design(rows.take(part), start.side)

    if step == "in_play":
        found = newton.linear(matrix, outcome, penalty, start.vector(), NOISE_RUNS)
    else:
        most = None
        if take is not None and step == "swing":
            most = 1.0 - take[rows.balls, rows.strikes]
        found = newton.logistic(
            matrix, outcome, penalty, start.vector(), ceiling=most, offset=known
        )
    return start.with_vector(found.coefficients)


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


def losses(data: Data, league: League) -> dict[str, float]:
    """Return the mean loss of each step on a log's rows: nats, and squared runs for `in_play`.

    A step without rows is nan.
    """
    found = {}
    for step in STEPS:
        which, outcome = used(step, data)
        rows, y = data.rows.take(which), outcome[which]
        given = told(step, rows, league)
        if step == "in_play":
            loss = (y - given) ** 2
        else:
            p = np.clip(given, 1e-9, 1.0 - 1e-9)
            loss = -(y * np.log(p) + (1.0 - y) * np.log1p(-p))
        found[step] = float(loss.mean()) if len(y) else float("nan")
    return found


def told(step: str, rows: Rows, league: League) -> Floats:
    """Return what a league says of one step on rows: a probability, or runs."""
    out = np.zeros(len(rows))
    for i, family in enumerate((*FAMILIES, "unknown")):
        own = rows.family == i
        part = rows.take(own)
        steps = league.steps(family, part.u, part.v, part.balls, part.strikes, part.same)
        value = getattr(steps, step)
        out[own] = value if step in ("in_play", "hit_by_pitch") else expit(value)
    return out


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
    found *= _STIFFER.get(step, 1.0)
    if leaning:
        found = np.maximum(found * LEAN, LEAST)
    for block in _WITHOUT[step]:
        found[start.block(block)] = _NEVER
    return found * _RUNS_STIFFER if step == "in_play" else found
