"""What the pitch before does to a miss, a swing and a foul, fitted beside the league's steps.

Four things a coach teaches, and what each is worth on a log: the same side at the other speed, the
same spot at the other speed, the same pitch to the same spot, a change of eye level. The league's
steps are the offset, so that place, type and count are not taken for the pitch before; surprise,
whether there was one before and whether it was of the other speed stand beside them.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates import newton, sandwich
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.doubt import groups_of, named
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.league import League
from sequencer.estimates.places import words
from sequencer.estimates.sandwich import Problem
from sequencer.estimates.steps import used
from sequencer.estimates.surprise import nats, who, within

if TYPE_CHECKING:
    import pandas as pd

#: Prior spread of every effect, log odds: the published ones are small. Change-ups and curves do
#: not raise misses on the fastball after them by more than "a few percentage points" either way
#: (Pemstein 2014-15); a change-up after a fastball helped hitters by .02 runs in 100 pitches (Kalk,
#: in Seidman 2009); the type before did not move the timing of 26 hitters (Kidokoro, Matsuzaki and
#: Akagi 2020, PLoS ONE 15(3) e0230385). Two points of whiff are .1 in log odds.
PRIOR_SD: Final = 0.1
#: Most that an effect may count for in a plan, log odds (assumption: a few points of whiff).
CAP: Final = 0.15
#: Two pitches are to the same spot within so many zone halves (6 inches), and change the eye level
#: by more than so many (most of the zone's upper or lower half); assumptions.
SAME_SPOT: Final = 0.6
OTHER_LEVEL: Final = 1.0
#: Zone halves beyond which a pitch is to a side and not down the middle: a third of the plate.
SIDE: Final = 1.0 / 3.0

EFFECTS: Final = (
    "same side, other speed",
    "same spot, other speed",
    "same pitch, same spot",
    "other eye level",
)
#: Prior spread of what stands beside the effects; loose (assumption). Precision of no prior.
_LOOSE: Final = 0.3
_NONE: Final = 1e-9
STEPS: Final = ("miss", "swing", "foul")


@dataclass(frozen=True, slots=True)
class LastEffect:
    """What one thing about the pitch before does to one step, log odds.

    Attributes
    ----------
    effect, step : str
        One of `EFFECTS`, one of `STEPS`.
    mean, sd : float
        With the prior: nought, `PRIOR_SD`.
    says, se : float
        What the log alone says, and its standard error by whole games or pitchers.
    pitches, such : int
        Pitches it rests on, and how many of them had it.
    by : str
        What errors are taken by.
    """

    effect: str
    step: str
    mean: float
    sd: float
    says: float
    se: float
    pitches: int
    such: int
    by: str

    @property
    def counts(self) -> float:
        """Log odds it may count for in a plan: the mean within the cap."""
        return float(np.clip(self.mean, -CAP, CAP))


def fit_last_pitch(frame: "pd.DataFrame", league: League) -> tuple[LastEffect, ...]:
    """Fit every effect on every step of `STEPS`.

    Parameters
    ----------
    frame : DataFrame
        A pitch log in the order thrown; pitches that do not follow one of the same at-bat have no
        effect on them.
    league : League
        Of the level of the log; its steps are the offset.
    """
    data = data_of(frame, league.level)
    kept = frame.iloc[data.at]
    design = design_of(kept, data, league)
    found: list[LastEffect] = []
    for step in STEPS:
        found += _fitted(step, kept, data, design, league)
    return tuple(found)


def _fitted(
    step: str, frame: "pd.DataFrame", data: Data, design: Floats, league: League
) -> list[LastEffect]:
    which, outcome = used(step, data)
    rows = np.flatnonzero(which & np.isfinite(design).all(axis=1))
    x = np.column_stack([design[rows], np.ones(len(rows))])
    problem = Problem(
        lambda part: x[part], outcome[rows], offset=league_odds(step, data, rows, league)
    )
    groups = groups_of(frame.iloc[rows], "pitcher").by
    sd = np.array([PRIOR_SD] * len(EFFECTS) + [_LOOSE] * (x.shape[1] - len(EFFECTS)))
    return [
        _one(k, step, problem, sd, groups, int((x[:, k] > 0.0).sum())) for k in range(len(EFFECTS))
    ]


def _one(
    k: int, step: str, problem: Problem, sd: Floats, groups: dict[str, Ints], such: int
) -> LastEffect:
    """Fit one effect with a prior on all the others, then add its own prior by precision."""
    penalty = np.where(np.arange(len(sd)) == k, _NONE, sd**-2.0)
    fit = newton.logistic(
        problem.design, problem.outcome, penalty, np.zeros(len(sd)), offset=problem.offset
    )
    at = np.eye(len(sd))[k : k + 1]
    spread = sandwich.spread_of(problem, fit.coefficients, penalty, groups, at)
    says, variance = float(fit.coefficients[k]), float(((at @ spread.half) ** 2).sum())
    precision = 1.0 / variance + PRIOR_SD**-2
    return LastEffect(
        EFFECTS[k], step, says / variance / precision, precision**-0.5, says, variance**0.5,
        len(problem.outcome), such, spread.by,
    )  # fmt: skip


def league_odds(step: str, data: Data, rows: Ints, league: League) -> Floats:
    """Return the league's log odds of a step for some rows, (rows,)."""
    own = data.rows.take(rows)
    offset = np.zeros(len(rows))
    for k, family in enumerate(FAMILIES):
        of = own.family == k
        if of.any():
            steps = league.steps(
                family, own.u[of], own.v[of], own.balls[of], own.strikes[of], own.same[of]
            )
            offset[of] = getattr(steps, step)
    return offset


def design_of(frame: "pd.DataFrame", data: Data, league: League) -> Floats:
    """Return every pitch's effects and what stands beside them: surprise, follows, other speed.

    (n, effects + 3); nan where the family is unknown.
    """
    rows = data.rows
    follows = _follows(frame)
    fast = rows.family == 0
    speed = np.where(follows, fast != np.roll(fast, 1), False)
    distance = np.hypot(rows.u - np.roll(rows.u, 1), rows.v - np.roll(rows.v, 1))
    spot = follows & (distance <= SAME_SPOT)
    side = _side(rows.u)
    pitch = np.array(words(frame, "pitch"), dtype=np.str_)
    effects = (
        speed & (side == np.roll(side, 1)),
        speed & spot,
        spot & (pitch == np.roll(pitch, 1)),
        follows & (np.abs(rows.v - np.roll(rows.v, 1)) > OTHER_LEVEL),
    )
    surprised = nats(frame, league.fast_share)
    usual = np.full(len(rows), float(np.nanmean(surprised)))
    surprised = within(surprised, who(frame), rows.family, usual)
    columns = (*effects, surprised - np.nanmean(surprised), follows, speed)
    return np.column_stack([np.asarray(column, dtype=np.float64) for column in columns])


def _side(u: Floats) -> Ints:
    return np.asarray(np.sign(u) * (np.abs(u) > SIDE), dtype=np.intp)


def _follows(frame: "pd.DataFrame") -> Bools:
    """Return which pitches follow one of known family in the same at-bat of the same people."""
    same = np.ones(len(frame), dtype=np.bool_)
    same[0] = False
    for column in ("game", "pitcher", "hitter", "at_bat"):
        part = named(frame, column)[0]
        same[1:] &= part[1:] == part[:-1]
    number = frame["pitch_no"].astype("Float64").to_numpy(dtype=np.float64, na_value=np.nan)
    same[1:] &= number[1:] == number[:-1] + 1
    return same
