"""What a belief is worth: misses and fouls on pitches of a family that was not expected.

What could be expected before a pitch is the chance of a fast one from his count, the pitch before
and what this pitcher has thrown so far; surprise is minus the log of the chance of what came. A log
moves the prior by as much as it knows, its errors taken by whole pitchers and games.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import TYPES
from sequencer.estimates import newton, sandwich
from sequencer.estimates.arrays import Bools, Floats, Ints, expit, logit
from sequencer.estimates.doubt import named
from sequencer.estimates.places import words
from sequencer.estimates.sandwich import Problem

if TYPE_CHECKING:
    import pandas as pd

#: Pitches that a coarser expectation weighs in each context of a finer one (as in `next_pitch`).
PRIOR_PITCHES: Final = 10.0
#: Least chance that a surprise is reckoned from: nobody is sure of what a pitcher throws.
SELDOM: Final = 0.02
#: Spread of surprise, nats, below which a log says nothing of it.
_LEAST_SPREAD: Final = 1e-3
_SAYS: Final = {"miss": "a miss", "foul": "a foul"}


@dataclass(frozen=True, slots=True)
class Learnt:
    """What surprise does to one step, log odds a nat.

    Attributes
    ----------
    step : str
    mean, sd : float
        With this log behind it.
    prior_mean, prior_sd : float
        Without.
    says, se : float or None
        What the log alone says and its standard error; None where it says nothing.
    pitches, groups : int
        Pitches of known family it rests on, and the groups that its error is taken by.
    by : str
        What these are: pitcher, game or pitch, whichever gave the largest error.
    """

    step: str
    mean: float
    sd: float
    prior_mean: float
    prior_sd: float
    says: float | None = None
    se: float | None = None
    pitches: int = 0
    groups: int = 0
    by: str = ""

    def sentence(self) -> str:
        """Return it in words."""
        now = f"surprise: {_SAYS[self.step]} {_signed(self.mean)} (sd {_plain(self.sd)}) a nat"
        prior = f"prior {_plain(self.prior_mean)}"
        if self.says is None or self.se is None:
            return f"{now}; {prior}, this log cannot say"
        return f"{now}; {prior}, this log says {_signed(self.says)} (se {_plain(self.se)})"


def _plain(x: float) -> str:
    return f"{x:.2f}".replace("0.", ".", 1) if abs(x) < 1 else f"{x:.2f}"


def _signed(x: float) -> str:
    return ("-" if x < 0 else "+") + _plain(abs(x))


def nats(frame: "pd.DataFrame", fast_share: Floats) -> Floats:
    """Return how much each pitch of a log surprised, (n,) nats; nan where its family is unknown.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log, in the order thrown.
    fast_share : array (4, 3)
        Share of fast pitches that is expected of a pitcher of whom nothing is known.
    """
    fast = _fast(frame)
    chance = np.clip(fast_expected(frame, fast_share), SELDOM, 1.0 - SELDOM)
    given = np.where(fast == 1.0, chance, 1.0 - chance)
    return np.asarray(np.where(np.isnan(fast), np.nan, -np.log(given)))


def fast_expected(frame: "pd.DataFrame", fast_share: Floats) -> Floats:
    """Return the chance of a fast pitch before each pitch of a log, from earlier ones only, (n,).

    It starts from the league's share in the count, moved as far as this pitcher has thrown more or
    fewer fast pitches than the league would have in his counts so far; then his own share in this
    count, then after the same pitch before, each weighing in as it is seen.
    """
    balls = np.clip(_whole_numbers(frame, "balls"), 0, 3)
    strikes = np.clip(_whole_numbers(frame, "strikes"), 0, 2)
    start = np.asarray(fast_share[balls, strikes])
    pitcher, known = named(frame, "pitcher")
    fast = _fast(frame)
    own = np.flatnonzero(known & ~np.isnan(fast) & _meant(frame))
    if not own.size:
        return start
    count, group = (balls * 3 + strikes)[own], pitcher[own]
    label, before = fast[own], _before_it(frame, fast)[own]
    out = start.copy()
    usual = float(np.mean(fast_share))
    out[own] = _forward(label, start[own], usual, group, count, before)
    return out


def _forward(
    fast: Floats, start: Floats, usual: float, group: Ints, count: Ints, previous: Ints
) -> Floats:
    pitches, came, due = _so_far(group, np.ones_like(fast), fast, start)
    weight = PRIOR_PITCHES
    more = logit((came + weight * usual) / (pitches + weight))
    more -= logit((due + weight * usual) / (pitches + weight))
    chance = expit(logit(start) + more)
    in_count = group * 12 + count
    for context in (in_count, in_count * 3 + previous + 1):
        pitches, came = _so_far(context, np.ones_like(fast), fast)
        chance = (came + weight * chance) / (pitches + weight)
    return chance


def _so_far(context: Ints, *values: Floats) -> list[Floats]:
    """Return sums of values over earlier pitches of the same context, each (n,)."""
    order = np.argsort(context, kind="stable")
    ordered = context[order]
    start = np.searchsorted(ordered, ordered)
    found = []
    for value in values:
        running = np.concatenate([[0.0], np.cumsum(value[order])])[:-1]
        sums = np.empty_like(running)
        sums[order] = running - running[start]
        found.append(sums)
    return found


def _fast(frame: "pd.DataFrame") -> Floats:
    """Return one for a fast pitch, nought for another, nan for an unknown one."""
    worth = {"fast": 1.0, "breaking": 0.0, "off-speed": 0.0}
    return np.array([worth.get(TYPES.get(word, ""), np.nan) for word in words(frame, "pitch")])


def _meant(frame: "pd.DataFrame") -> Bools:
    return np.array([word == "" for word in words(frame, "intent")], dtype=np.bool_)


def _whole_numbers(frame: "pd.DataFrame", column: str) -> Ints:
    import pandas as pd

    return np.asarray(pd.to_numeric(frame[column], errors="coerce").fillna(0), dtype=np.intp)


def _before_it(frame: "pd.DataFrame", fast: Floats) -> Ints:
    """Return what the pitch before in the same at-bat was: 1 fast, 0 other, -1 none or unknown."""
    parts = [named(frame, column)[0] for column in ("game", "pitcher", "at_bat")]
    same = np.ones(len(frame), dtype=np.bool_)
    for part in parts:
        same[1:] &= part[1:] == part[:-1]
    out = np.full(len(frame), -1, dtype=np.intp)
    known = same[1:] & ~np.isnan(fast[:-1])
    out[1:][known] = fast[:-1][known].astype(np.intp)
    return out


def who(frame: "pd.DataFrame") -> Ints:
    """Return a number for each row's pitcher; all unknown ones are one."""
    return named(frame, "pitcher")[0]


def within(nats: Floats, pitcher: Ints, family: Ints, usual: Floats) -> Floats:
    """Return surprise compared within what one pitcher throws of a family, (n,) nats.

    A pitcher who is known to throw one pitch surprises nobody with it and may still be hard to hit:
    between pitchers surprise stands for how good a pitch is. A family's mean is what the league's
    own expectation comes to on these pitches, which is what its steps are fitted beside.

    Parameters
    ----------
    nats, pitcher, family : array (n,)
        See `nats` and `who`; families 0 to 2 where nats are known, else it stays unknown.
    usual : array (n,)
        Nats of the league's expectation; see `league.unusual`.
    """
    known, out = np.isfinite(nats), np.full(len(nats), np.nan)
    kind, seen = family[known], nats[known]
    own = np.unique(pitcher[known] * 3 + kind, return_inverse=True)[1]
    out[known] = seen - _means(own, seen)[own] + _means(kind, usual[known])[kind]
    return out


def _means(group: Ints, values: Floats) -> Floats:
    return np.bincount(group, values) / np.maximum(np.bincount(group), 1)


def learn(
    step: str,
    problem: Problem,
    penalty: Floats,
    centre: Floats,
    surprised: Floats,
    prior: tuple[float, float],
    groups: dict[str, Ints],
) -> Learnt:
    """Return what surprise is worth to a step, the prior moved by a log.

    The step's own coefficients are fitted together with it, so that a place or a count is not
    taken for a surprise.

    Parameters
    ----------
    step : str
    problem : Problem
        The step's n rows without surprise.
    penalty, centre : array (k,)
        Precision and mean of the prior of the step's coefficients.
    surprised : array (n,)
        Nats, centred.
    prior : pair
        Mean and standard deviation, log odds a nat.
    groups : name -> array (n,)
        What goes together.
    """
    mean, sd = prior
    unmoved = Learnt(step, mean, sd, mean, sd)
    if not len(surprised) or float(np.std(surprised)) < _LEAST_SPREAD:
        return unmoved

    def matrix(part: slice) -> Floats:
        return np.concatenate([problem.design(part), surprised[part, None]], axis=1)

    both = replace(problem, design=matrix)
    found = newton.logistic(
        matrix, problem.outcome, np.append(penalty, sd**-2), np.append(centre, mean),
        ceiling=problem.ceiling, offset=problem.offset, weight=problem.weight,
    )  # fmt: skip
    return _updated(unmoved, both, found.coefficients, np.append(penalty, 0.0), groups)


def _updated(
    unmoved: Learnt, problem: Problem, found: Floats, penalty: Floats, groups: dict[str, Ints]
) -> Learnt:
    """Return the prior and what the log says, each by its precision.

    The log's own estimate is one step from where prior and log agree, so that it is finite even
    where surprise parts the outcomes.
    """
    last = np.zeros((1, len(found)))
    last[0, -1] = 1.0
    spread = sandwich.spread_of(problem, found, penalty, groups, last)
    known = 1.0 / float(spread.inverse[-1, -1])
    se = float(np.sqrt(((last @ spread.half) ** 2).sum()))
    precision = unmoved.prior_sd**-2
    says = float(found[-1] + precision * (found[-1] - unmoved.prior_mean) / known)
    weight = se**-2 / (se**-2 + precision)
    by = groups.get(spread.by)
    return Learnt(
        unmoved.step,
        unmoved.prior_mean + weight * (says - unmoved.prior_mean),
        float((se**-2 + precision) ** -0.5),
        unmoved.prior_mean,
        unmoved.prior_sd,
        says,
        se,
        problem.pitches,
        problem.pitches if by is None else len(np.unique(by)),
        spread.by,
    )
