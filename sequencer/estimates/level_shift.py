"""From the league that was fitted to a level: one stated, replaceable transformation."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.coefficients import PLAYS, Coefficients, Mix

#: Half the height of the professional zone for the ball's centre, inches.
_HALF_HEIGHT_IN: Final = levels.level("pro").zone.centre_half_height_in


@dataclass(frozen=True, slots=True)
class LevelShift:
    """How a level differs from the professionals it was fitted on; every number can be replaced.

    Attributes
    ----------
    miss, fast_share, hit_by_pitch : added log odds
    called_edge_in : inches that the called zone is wider on every side
    wilder_in : inches squared that a pitch's variance to each side is larger
    error_share : share of balls in play that become errors; the league's own when None
    in_play : runs added to a ball in play, beside its errors and the run environment
    runs_per_game : run environment that plays are worth their runs in; as fitted when None
    patience : how far above his habit a hitter may take (share)
    half_height_in : half of the level's zone for the ball's centre, that inches are held against
    source : what the numbers stand on
    """

    miss: float = 0.0
    fast_share: float = 0.0
    hit_by_pitch: float = 0.0
    called_edge_in: float = 0.0
    wilder_in: float = 0.0
    error_share: float | None = None
    in_play: float = 0.0
    runs_per_game: float | None = None
    patience: float = 1.0
    half_height_in: float = _HALF_HEIGHT_IN
    source: str = "as fitted"


# Slower pitching to weaker hitters: no open data below the professionals, so misses and quality of
# contact are taken to balance, young hitters missing a little more; the youngest throw few soft
# pitches; wild pitching hits more (all assumptions). The called edge, errors and patience are the
# level's own numbers with the sources it states.
_ASSUMED: Final = {
    "9-10": LevelShift(miss=0.35, fast_share=1.5, hit_by_pitch=0.3, in_play=-0.04),
    "11-12": LevelShift(miss=0.25, fast_share=1.1, hit_by_pitch=0.3, in_play=-0.03),
    "13-14": LevelShift(miss=0.15, fast_share=0.6, hit_by_pitch=0.4, in_play=-0.02),
    "15-16": LevelShift(miss=0.10, fast_share=0.4, hit_by_pitch=0.4, in_play=-0.02),
    "17-18": LevelShift(miss=0.05, fast_share=0.3, hit_by_pitch=0.4, in_play=-0.01),
    "college": LevelShift(fast_share=0.1, hit_by_pitch=0.4),
    "pro": LevelShift(),
}


def shift_to(level: str) -> LevelShift:
    """Return the stated transformation from the professionals to a level.

    Raises
    ------
    BadInput
        If the level is unknown.
    """
    at, pro = levels.level(level), levels.level("pro")
    if level == "pro":
        return LevelShift(patience=pro.patience)
    base = _ASSUMED.get(level, LevelShift())
    return LevelShift(
        base.miss,
        base.fast_share,
        base.hit_by_pitch,
        at.called_edge_in - pro.called_edge_in,
        at.spread_in["fast"] ** 2 - pro.spread_in["fast"] ** 2,
        at.error_share,
        base.in_play,
        at.runs_per_game,
        at.patience,
        at.zone.centre_half_height_in,
        "assumptions, no open data at this level",
    )


def shift_between(fitted: Coefficients, level: str) -> LevelShift:
    """Return what moves fitted coefficients to a level: only patience where they describe it."""
    if fitted.data.get("level", "pro") == level:
        return LevelShift(patience=levels.level(level).patience)
    return shift_to(level)


def dearer(runs_per_game: float | None) -> Floats:
    """Return how much more (or less) each of `PLAYS` is worth in a run environment."""
    if runs_per_game is None:
        return np.ones(len(PLAYS))
    event = {"ground out": "out", "air out": "out"}
    fitted = levels.level("pro").runs_per_game
    names = [event.get(play, play) for play in PLAYS]
    return np.array([event_value(n, runs_per_game) / event_value(n, fitted) for n in names])


def moved_mix(mix: Mix, shift: LevelShift) -> Mix:
    """Return the mix with more fast pitches in every count, and pitches as wild as the level's."""
    if shift.fast_share == shift.wilder_in == 0.0:
        return mix
    family = mix.family.copy()
    family[0] = expit(logit(mix.family[0]) + shift.fast_share)
    family[1:] *= (1.0 - family[0]) / mix.family[1:].sum(0)
    wider = np.diag([HALF_WIDTH_IN**-2, shift.half_height_in**-2]) * shift.wilder_in
    return Mix(family, mix.weights, mix.means, mix.covs + wider, mix.same_side)


def with_errors(share: Floats, errors: float | None) -> Floats:
    """Return shares of plays with this share of errors, made from outs."""
    if errors is None:
        return share
    out = share.copy()
    more = errors - share[PLAYS.index("error")]
    outs = share[:2].sum()
    out[PLAYS.index("error")] = errors
    out[:2] = share[:2] * (outs - more) / outs
    return out
