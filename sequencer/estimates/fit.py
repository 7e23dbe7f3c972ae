"""Fit the league on a pitch log: every step, where pitches go, what balls in play become."""

from dataclasses import asdict, dataclass, field, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.errors import BadInput
from sequencer.estimates import newton, surprise
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.coefficients import STEPS, Coefficients
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
from sequencer.estimates.steps import NEVER, begun, precision, problem, used
from sequencer.estimates.surface import Rows, Surface, design
from sequencer.estimates.takes import TAKE_BEFORE, taken
from sequencer.estimates.umpires import Umpires, features, fit_called, thinned
from sequencer.estimates.unsure import Places, Sample, places_of

if TYPE_CHECKING:
    import pandas as pd

#: Turns of fitting the swing and the takes at most, and the move of a take at which they end
#: (measured: ten turns are needed on the open data).
_TURNS: Final = 40
_STILL: Final = 1e-3
#: Turns of drawing unsure places and fitting on them at most, and the move at which they end.
_DRAWN: Final = 5
_AS_BEFORE: Final = 0.05
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
    about |= {"unsure": data.entries.unsure} if data.entries else {}
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
        fits = _about(seen, moved)
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
    start, known, learnt, data = begun(step), None, None, seen.data
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


def _learnt(
    step: str, seen: _Log, start: Surface, penalty: Floats, places: Places | None = None
) -> surprise.Learnt | None:
    """Return what the log teaches of surprise in a step; None where it may not."""
    if seen.surprise is None:
        return None
    which, outcome = used(step, seen.data)
    which = which & np.isfinite(seen.surprise.nats)
    sample = _sample(seen.data, which, outcome, places)
    what = _weighed(problem(step, sample.rows, sample.outcome, start.side), sample)
    nats, by = seen.surprise.nats[sample.pitch], seen.surprise.by
    by = {name: group[sample.pitch] for name, group in by.items()}
    return surprise.learn(step, what, penalty, start.vector(), nats, seen.worth[step], by)


def _sample(data: Data, which: Bools, outcome: Floats, places: Places | None) -> Sample:
    """Return the rows of a step: its pitches, or their places where some are unsure."""
    if places is not None:
        return places.sample(which, outcome)
    return Sample(data.rows.take(which), outcome[which], np.flatnonzero(which))


def _weighed(what: Problem, sample: Sample) -> Problem:
    if sample.weight is None:
        return what
    return replace(what, weight=sample.weight, pitch=sample.pitch)


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
    umpires: Umpires | None = None,
) -> Fitted:
    """Return a fitted step as its doubt is reckoned from."""
    what = problem(step, rows, outcome, surface.side, take, known, flatter)
    at = design_at_cells(surface.side, umpires)
    return Fitted(what, surface.vector(), penalty, which, at)


def design_at_cells(side: int, umpires: Umpires | None = None) -> Floats:
    """Return the design of the cells at 1-1, (75, coefficients); see `doubt.cells`.

    The called zone is told of a season not known: flatter by what its `umpires` leave in doubt.
    """
    family, u, v = cells()
    one, either = np.ones(len(u), dtype=np.intp), np.full(len(u), 0.5)
    found = design(Rows(family, u, v, one, one, either, either, 0 * one), side)
    return found / (umpires or Umpires()).doubt(features(u, v), either, 0 * one)[:, None]


def _called_alone(data: Data) -> _Fit:
    """Fit the called zone, with what is of a side, a year or a season told apart."""
    start = begun("called")
    rows, y = _rows_alone("called", data)
    kept = thinned(rows.season)
    rows, y = rows.take(kept), y[kept]
    penalty = precision("called", start, leaning=False)
    surface, umpires = fit_called(rows, y, start, penalty)
    known = umpires.added(features(rows.u, rows.v), rows.left, rows.season)
    which = np.flatnonzero(used("called", data)[0])[kept]
    fitted = _fitted("called", rows, y, surface, penalty, which, known=known, umpires=umpires)
    return _Fit(surface, fitted, umpires=umpires)


def _swing_alone(data: Data) -> tuple[_Fit, Floats]:
    """Fit the swing of a hitter who is ready, and how often he takes whatever comes, (4, 3).

    A ready hitter swings alike in every count but for protecting: what a count changes is how
    often he takes. Each is fitted in turn while the other stands.
    """
    start, take = begun("swing"), TAKE_BEFORE
    rows, y = _rows_alone("swing", data)
    penalty = precision("swing", start, leaning=False)
    penalty[start.block("count")] = NEVER
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


def _about(seen: _Log, league: League) -> dict[str, _Fit]:
    """Fit every step about a league's, which is where its level has moved it.

    Where places are unsure, they are drawn by what came of each pitch and the steps fitted on
    them, in turn (expectation and maximisation; Dempster, Laird and Rubin 1977, JRSS B 39, 1-38).
    """
    data = seen.data
    if data.entries is None:
        return {step: _leaning(step, seen, league) for step in STEPS}
    now, plain = league, replace(seen, surprise=None)
    for _ in range(_DRAWN):
        places = places_of(data, data.entries, now)
        steps = {step: _leaning(step, plain, league, places).surface for step in STEPS}
        before, now = now, replace(league, fitted=replace(league.fitted, steps=steps))
        if _moved(before, now) < _AS_BEFORE:
            break
    places = places_of(data, data.entries, now)
    return {step: _leaning(step, seen, league, places) for step in STEPS}


def _moved(before: League, now: League) -> float:
    """Return how far the called zone and the swing moved at most in any cell, log odds."""
    return max(
        float(np.abs(design_at_cells(step.side) @ (step.vector() - was.vector())).max())
        for step, was in (
            (now.fitted.steps[name], before.fitted.steps[name]) for name in ("called", "swing")
        )
    )


def _leaning(step: str, seen: _Log, league: League, places: Places | None = None) -> _Fit:
    """Fit a step about a league's, which is where its level has moved it; move it back."""
    start, data = league.fitted.steps[step], seen.data
    umpires = league.fitted.umpires if step == "called" else None
    which, outcome = used(step, data)
    penalty = precision(step, start, leaning=True)
    if _thin(step, outcome[which]):
        none = np.flatnonzero(which)[:0]
        rows, y = data.rows.take(none), outcome[none]
        return _Fit(start, _fitted(step, rows, y, start, penalty, none, umpires=umpires))
    level = np.zeros_like(start.place)
    level[0] = league.moved_by(step)
    moved, learnt = replace(start, place=start.place + level), None
    if step in SURPRISE:
        learnt = _learnt(step, seen, moved, penalty, places)
    sample = _sample(data, which, outcome, places)
    what = _weighed(_beside(step, sample.rows, sample.outcome, seen, league, learnt), sample)
    alike = what
    if places is not None:
        rows, mean, weight = places.gathered(which, outcome)
        alike = replace(_beside(step, rows, mean, seen, league, learnt), weight=weight)
    found = _solved(alike, moved, penalty)
    at_cells = design_at_cells(found.side, umpires)
    fitted = Fitted(what, found.vector(), penalty, sample.pitch, at_cells)
    return _Fit(replace(found, place=found.place - level), fitted, learnt)


def _beside(
    step: str,
    rows: Rows,
    outcome: Floats,
    seen: _Log,
    league: League,
    learnt: surprise.Learnt | None,
) -> Problem:
    """Return the problem of a step beside what its league holds of seasons, counts and takes."""
    known, flatter = None, None
    if step == "called":
        u, v = league.called_at(rows.u, rows.v)
        rows, umpires = replace(rows, u=u, v=v), league.fitted.umpires
        flatter = umpires.doubt(features(u, v), rows.left, rows.season)
        known = umpires.added(features(u, v), rows.left, rows.season) / flatter
    if step in SURPRISE:
        known = _expected(step, seen, learnt, rows)
    side = league.fitted.steps[step].side
    return problem(step, rows, outcome, side, league.take_share, known, flatter)


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
    rows, outcome, take, known, flatter
        See `steps.problem`.
    start, penalty : Surface, array (coefficients,)
        Mean and precision of the prior.
    """
    what = problem(step, rows, outcome, start.side, take, known, flatter)
    return _solved(what, start, penalty)


def _solved(what: Problem, start: Surface, penalty: Floats) -> Surface:
    """Return the surface that a problem comes to about a start."""
    centre, weight = start.vector(), what.weight
    if what.noise:
        found = newton.linear(what.design, what.outcome, penalty, centre, what.noise, weight)
    else:
        found = newton.logistic(
            what.design, what.outcome, penalty, centre,
            ceiling=what.ceiling, offset=what.offset, weight=weight,
        )  # fmt: skip
    return start.with_vector(found.coefficients)


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
