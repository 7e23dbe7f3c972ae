"""Fit the league on a pitch log: every step, where pitches go, what balls in play become."""

from dataclasses import asdict, dataclass, field, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES, SWINGS
from sequencer.errors import BadInput
from sequencer.estimates import newton, surprise
from sequencer.estimates.arrays import Bools, Floats, Ints, expit
from sequencer.estimates.coefficients import AT_THE_BAT, STEPS, Coefficients
from sequencer.estimates.doubt import Fitted, cells, doubt_of, groups_of
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.fit_mix import family_shares, fit_plays, location_mix
from sequencer.estimates.league import (
    SURPRISE_FOUL,
    SURPRISE_MISS,
    League,
    shift_between,
    unusual,
)
from sequencer.estimates.sandwich import Problem
from sequencer.estimates.surface import OUTSIDE, Rows, Surface, design, near
from sequencer.estimates.takes import TAKE_BEFORE, taken
from sequencer.estimates.umpires import Umpires, features, fit_called, thinned

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
_SHAPE_PRECISION: Final = {"miss": 1.0, "foul": 0.3, "hit_by_pitch": 1.0}
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
#: Steps that a surprise moves: log odds a nat, and standard deviation, before a log is seen.
SURPRISE: Final = {"miss": SURPRISE_MISS, "foul": SURPRISE_FOUL}
#: Rows below which a step is not fitted at all.
FEWEST: Final = 30


def fit_league(
    frame: "pd.DataFrame",
    *,
    prior: Coefficients | None = None,
    level: str = "pro",
    name: str = "",
    learn_surprise: bool = True,
) -> Coefficients:
    """Fit the league on a pitch log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log; `contact_value` (expected batting value of a ball in play), else
        `exit_mph` with `launch_deg`, and `swing` are used when they are there.
    prior : Coefficients, optional
        The league that the log's steps stay near. Its habit, mix and plays are kept, and what it
        is moved by to come to `level` stays a move: the result is again the prior's league.
        Without it everything stands on this log alone and describes `level` as it is.
    level : str
        Level that the log is of.
    name : str
        What the data is called in the file.
    learn_surprise : bool
        Whether the log moves what surprise is worth; not where the prior already rests on it.

    Raises
    ------
    BadInput
        If a step cannot be fitted: too few rows, or only one outcome, and no prior to lean on.
    """
    data = data_of(frame, level)
    about = {"name": name, "level": level, "pitches": len(data.rows), "left_out": data.left_out}
    worth = SURPRISE if prior is None else SURPRISE | prior.surprise
    fits: dict[str, _Fit] = {}
    if prior is None:
        thrown = family_shares(data.rows.take(data.whole))
        usual = unusual(thrown, thrown)
        seen = _Log(data, usual, worth, _surprise(frame, data, thrown, usual, learn_surprise))
        for step in STEPS:
            if step == "called":
                fits[step] = _called_alone(data)
            elif step == "swing":
                fits[step], take = _swing_alone(data)
            else:
                fits[step] = _alone(step, seen)
        mix, plays = location_mix(data.rows, data.whole), fit_plays(data)
    else:
        take, mix, plays = prior.take_share, prior.mix, prior.plays
        moved = League.of(prior, shift_between(prior, level), level)
        known = _surprise(frame, data, moved.pitch_share, moved.unusual, learn_surprise)
        seen = _Log(data, moved.unusual, worth, known)
        fits = {step: _leaning(step, seen, moved) for step in STEPS}
        about = {**prior.data, "leaning": about}
    about["rows"] = {step: int(used(step, data)[0].sum()) for step in STEPS}
    learnt = {step: found.learnt for step, found in fits.items() if found.learnt}
    about |= {"surprise": {step: asdict(one) for step, one in learnt.items()}} if learnt else {}
    return Coefficients(
        {step: found.surface for step, found in fits.items()},
        take,
        mix,
        plays,
        about,
        worth | {step: (one.mean, one.sd) for step, one in learnt.items()} if learnt else worth,
        doubt_of(
            {step: found.fitted for step, found in fits.items()},
            groups_of(frame.iloc[data.at]),
            take,
            data.rows.balls * 3 + data.rows.strikes,
            None if prior is None else prior.doubt,
            take_held=prior is not None,
        ),
        fits["called"].umpires if prior is None else prior.umpires,
    )


@dataclass(frozen=True, slots=True)
class _Surprise:
    """How much each row surprised, centred, (n,), nan where unknown; and what goes together."""

    nats: Floats
    by: dict[str, Ints]


@dataclass(frozen=True, slots=True)
class _Log:
    """What is fitted: the log as arrays, `unusual` of its league, what surprise is worth before."""

    data: Data
    usual: Floats
    worth: dict[str, tuple[float, float]]
    surprise: _Surprise | None


def _surprise(
    frame: "pd.DataFrame", data: Data, thrown: Floats, usual: Floats, learn: bool
) -> _Surprise | None:
    """Return surprise of a log's rows; None when nothing is to be learnt of it."""
    if not learn:
        return None
    nats = surprise.nats(frame, thrown[0])[data.at]
    kept, rows = frame.iloc[data.at], data.rows
    family = np.minimum(rows.family, len(FAMILIES) - 1)
    here = usual[family, rows.balls, rows.strikes]
    by = groups_of(kept, "pitcher").by
    return _Surprise(surprise.within(nats, surprise.who(kept), family, here), by)


@dataclass(frozen=True, slots=True)
class _Fit:
    """One step fitted, what its doubt is reckoned from, and what it taught of surprise."""

    surface: Surface
    fitted: Fitted
    learnt: surprise.Learnt | None = None
    umpires: Umpires = field(default_factory=Umpires)


def _alone(step: str, seen: _Log) -> _Fit:
    start, known, learnt, data = _start(step), None, None, seen.data
    rows, y = _rows_alone(step, data)
    penalty = precision(step, start, leaning=False)
    if step in SURPRISE:
        learnt = _learnt(step, seen, start, penalty)
        known = _expected(step, seen, learnt, rows)
    surface = fit_step(step, rows, y, start, penalty, known=known)
    which = np.flatnonzero(used(step, data)[0])
    return _Fit(surface, _fitted(step, rows, y, surface, penalty, which, known=known), learnt)


def _rows_alone(step: str, data: Data) -> tuple[Rows, Floats]:
    which, outcome = used(step, data)
    if _thin(step, outcome[which]):
        raise BadInput(_too_thin(step, outcome[which]))
    return data.rows.take(which), outcome[which]


def _learnt(step: str, seen: _Log, start: Surface, penalty: Floats) -> surprise.Learnt | None:
    """Return what the log teaches of surprise in a step; None where it may not."""
    if seen.surprise is None:
        return None
    which, outcome = used(step, seen.data)
    which = which & np.isfinite(seen.surprise.nats)
    what = problem(step, seen.data.rows.take(which), outcome[which], start.side)
    nats, by = seen.surprise.nats[which], seen.surprise.by
    by = {name: group[which] for name, group in by.items()}
    return surprise.learn(step, what, penalty, start.vector(), nats, seen.worth[step], by)


def _fitted(
    step: str,
    rows: Rows,
    outcome: Floats,
    surface: Surface,
    penalty: Floats,
    which: Ints,
    take: Floats | None = None,
    known: Floats | None = None,
    flatter: Floats | None = None,
) -> Fitted:
    """Return a fitted step as its doubt is reckoned from."""
    what = problem(step, rows, outcome, surface.side, take, known, flatter)
    return Fitted(what, surface.vector(), penalty, which, design_at_cells(surface.side))


def design_at_cells(side: int) -> Floats:
    """Return the design of the cells at 1-1, (75, coefficients); see `doubt.cells`."""
    family, u, v = cells()
    one, either = np.ones(len(u), dtype=np.intp), np.full(len(u), 0.5)
    return design(Rows(family, u, v, one, one, either, either, 0 * one), side)


def _called_alone(data: Data) -> _Fit:
    """Fit the called zone, with what is of a side, a year or a season told apart."""
    start = _start("called")
    rows, y = _rows_alone("called", data)
    kept = thinned(rows.season)
    rows, y = rows.take(kept), y[kept]
    penalty = precision("called", start, leaning=False)
    surface, umpires = fit_called(rows, y, start, penalty)
    known = umpires.added(features(rows.u, rows.v), rows.left, rows.season)
    which = np.flatnonzero(used("called", data)[0])[kept]
    fitted = _fitted("called", rows, y, surface, penalty, which, known=known)
    return _Fit(surface, fitted, umpires=umpires)


def _swing_alone(data: Data) -> tuple[_Fit, Floats]:
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
    which = np.flatnonzero(used("swing", data)[0])
    return _Fit(surface, _fitted("swing", rows, y, surface, penalty, which, take)), take


def _expected(step: str, seen: _Log, learnt: surprise.Learnt | None, rows: Rows) -> Floats:
    """Return the log odds of a step that the count gives a family, (n,), by `unusual`."""
    worth = learnt.mean if learnt else seen.worth[step][0]
    by_family = np.concatenate([seen.usual, np.zeros((1, 4, 3))])
    return np.asarray(worth * by_family[rows.family, rows.balls, rows.strikes])


def _leaning(step: str, seen: _Log, league: League) -> _Fit:
    """Fit a step about a league's, which is where its level has moved it; move it back."""
    start, data = league.fitted.steps[step], seen.data
    which, outcome = used(step, data)
    if _thin(step, outcome[which]):
        none = np.flatnonzero(which)[:0]
        penalty = precision(step, start, leaning=True)
        still = _fitted(step, data.rows.take(none), outcome[none], start, penalty, none)
        return _Fit(start, still)
    rows, y = data.rows.take(which), outcome[which]
    known, flatter, learnt = None, None, None
    if step == "called":
        u, v = league.called_at(rows.u, rows.v)
        rows, umpires = replace(rows, u=u, v=v), league.fitted.umpires
        flatter = umpires.doubt(features(u, v), rows.left, rows.season)
        known = umpires.added(features(u, v), rows.left, rows.season) / flatter
    level = np.zeros_like(start.place)
    level[0] = league.moved_by(step)
    penalty = precision(step, start, leaning=True)
    moved = replace(start, place=start.place + level)
    if step in SURPRISE:
        learnt = _learnt(step, seen, moved, penalty)
        known = _expected(step, seen, learnt, rows)
    found = fit_step(step, rows, y, moved, penalty, league.take_share, known, flatter)
    at = np.flatnonzero(which)
    fitted = _fitted(step, rows, y, found, penalty, at, league.take_share, known, flatter)
    return _Fit(replace(found, place=found.place - level), fitted, learnt)


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
    flatter: Floats | None = None,
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
    flatter : array (n,), optional
        What the log odds of the surface are divided by.
    """
    what = problem(step, rows, outcome, start.side, take, known, flatter)
    if what.noise:
        found = newton.linear(what.design, outcome, penalty, start.vector(), what.noise)
    else:
        found = newton.logistic(
            what.design, outcome, penalty, start.vector(),
            ceiling=what.ceiling, offset=what.offset,
        )  # fmt: skip
    return start.with_vector(found.coefficients)


def problem(
    step: str,
    rows: Rows,
    outcome: Floats,
    side: int,
    take: Floats | None = None,
    known: Floats | None = None,
    flatter: Floats | None = None,
) -> Problem:
    """Return what a step is fitted on; see `fit_step`. `side` is the bumps' of its surface."""
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
        steps = league.steps(
            family, part.u, part.v, part.balls, part.strikes, part.same,
            left=part.left, season=part.season,
        )  # fmt: skip
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
    found = np.full(start.vector().size, _SHAPE_PRECISION.get(step, _BROAD))
    for block, size in _PRECISION.items():
        found[start.block(block)] = size
    found *= _STIFFER.get(step, 1.0)
    for block, size in _OWN_PRECISION.get(step, {}).items():
        found[start.block(block)] = size
    if leaning:
        found = np.maximum(found * LEAN, LEAST)
    for block in _WITHOUT[step]:
        found[start.block(block)] = _NEVER
    return found * _RUNS_STIFFER if step == "in_play" else found
