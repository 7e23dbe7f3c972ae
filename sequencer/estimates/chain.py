"""League pitches against league hitters, count by count: what the fitted steps add up to."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.arrays import Floats, expit

if TYPE_CHECKING:
    from sequencer.estimates.league import League

#: Runs of the ends of a plate appearance that are no ball in play, relative to an average one:
#: mean linear weights of Retrosheet's 2016, 2019 and 2020 seasons. The information used here was
#: obtained free of charge from and is copyrighted by Retrosheet. Interested parties may contact
#: Retrosheet at www.retrosheet.org.
END_RUNS: Final[Mapping[str, float]] = MappingProxyType(
    {"walk": 0.319, "strikeout": -0.281, "hit by pitch": 0.343}
)
_EDGE_U, _EDGE_V, _APART = 3.0, 3.6, 0.15


@dataclass(frozen=True, slots=True)
class Rates:
    """What happens in each count, all (4, 3): shares, and runs for `in_play_runs`.

    `swing` per pitch; `miss` and `in_play` per swing; `called` and `hit_by_pitch` per take.
    """

    swing: Floats
    miss: Floats
    in_play: Floats
    called: Floats
    hit_by_pitch: Floats
    in_play_runs: Floats


@dataclass(frozen=True, slots=True)
class Chain:
    """The league's own game: values (4, 3) relative to 0-0, and shares of plate appearances."""

    rates: Rates
    value: Floats
    start: float
    strikeouts: float
    walks: float
    hit_batters: float


def grid() -> tuple[Floats, Floats]:
    """Return the points (u, v), each (points,), over which location mixes are summed."""
    u = np.arange(-_EDGE_U, _EDGE_U + 1e-9, _APART)
    v = np.arange(-_EDGE_V, _EDGE_V + 1e-9, _APART)
    across, up = np.meshgrid(u, v, indexing="ij")
    return across.ravel(), up.ravel()


def rates(league: "League") -> Rates:
    """Return the league's rates by count, summed over where its pitches go."""
    u, v = grid()
    sums = np.zeros((7, 4, 3))
    for family in range(3):
        sums += _family_sums(league, family, u, v)
    swings, takes, missed, put, called, hit, runs = sums
    return Rates(
        swings / (swings + takes), missed / swings, put / swings, called / takes, hit / takes,
        runs / put,
    )  # fmt: skip


def _family_sums(league: "League", family: int, u: Floats, v: Floats) -> Floats:
    balls, strikes = np.arange(4.0)[:, None], np.arange(3.0)
    mix = league.mix
    density = np.einsum("bsk,kg->gbs", mix.weights[family], mix.density(family, u, v))
    weight = mix.family[family] * density / density.sum(0)
    steps = league.steps(
        FAMILIES[family], u[:, None, None], v[:, None, None], balls, strikes,
        np.asarray(mix.same_side[family]),
    )  # fmt: skip
    swing, miss, foul = expit(steps.swing), expit(steps.miss), expit(steps.foul)
    swung, took = weight * swing, weight * (1.0 - swing)
    put = swung * (1.0 - miss) * (1.0 - foul)
    alive = took * (1.0 - steps.hit_by_pitch)
    parts = (
        swung, took, swung * miss, put, alive * expit(steps.called),
        took * steps.hit_by_pitch, put * steps.in_play,
    )  # fmt: skip
    return np.array([part.sum(0) for part in parts])


def chain(league: "League", ends: Mapping[str, float] = END_RUNS) -> Chain:
    """Chain the league's rates through the twelve counts.

    Parameters
    ----------
    league : League
    ends : mapping
        Runs of walk, strikeout and hit by pitch.

    Returns
    -------
    Chain
    """
    found = rates(league)
    runs = _through(found, (ends["walk"], ends["strikeout"], ends["hit by pitch"]), True)
    return Chain(
        found,
        runs - runs[0, 0],
        float(runs[0, 0]),
        float(_through(found, (0.0, 1.0, 0.0), False)[0, 0]),
        float(_through(found, (1.0, 0.0, 0.0), False)[0, 0]),
        float(_through(found, (0.0, 0.0, 1.0), False)[0, 0]),
    )


def _through(found: Rates, ends: tuple[float, float, float], with_runs: bool) -> Floats:
    """Return the expected reward of each count, (4, 3), from the last back to the first."""
    walk, strikeout, hit = ends
    value = np.zeros((4, 3))
    for balls in (3, 2, 1, 0):
        for strikes in (2, 1, 0):
            at = balls, strikes
            swing, take = found.swing[at], 1.0 - found.swing[at]
            missed, put = swing * found.miss[at], swing * found.in_play[at]
            fouled = swing - missed - put
            called, struck = take * found.called[at], take * found.hit_by_pitch[at]
            ball = take - called - struck
            more = walk if balls == 3 else value[balls + 1, strikes]
            strike = strikeout if strikes == 2 else value[balls, strikes + 1]
            total = ball * more + struck * hit + (missed + called) * strike
            total += put * found.in_play_runs[at] if with_runs else 0.0
            if strikes == 2:
                value[at] = total / (1.0 - fouled)
            else:
                value[at] = total + fouled * strike
    return value
