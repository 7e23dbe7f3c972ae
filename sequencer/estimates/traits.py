"""What makes a hitter differ from his league: a short vector a coach can read.

A trait is a number of prior spread `sd`, nought for the league's hitter. It moves the steps of one
pitch through its effects: so much (log odds, or runs for a ball in play) per unit of the trait,
where the pitch lies in the effect's area, is of its families, and the count has two strikes when
the effect asks for it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.arrays import Floats, expit

SOFT: Final = ("breaking", "off-speed")
ALL: Final = ("fast", "breaking", "off-speed")
#: Width, in zone halves, over which an area begins; a hitter's holes have no sharp edge
#: (assumption).
BLUR: Final = 0.15


def _beyond(x: Floats, edge: float) -> Floats:
    return expit((x - edge) / BLUR)


def _outside(u: Floats, v: Floats) -> Floats:
    return _beyond(np.maximum(np.abs(u), np.abs(v)), 1.0)


#: Areas of the plane, from nought to one; u is positive away from the hitter, 1 at an edge of the
#: zone.
AREAS: Final = MappingProxyType[str, Callable[[Floats, Floats], Floats]](
    {
        "everywhere": lambda u, v: np.ones(np.broadcast(u, v).shape),
        "in": lambda u, v: _beyond(-u, 1 / 3) + 0.0 * v,
        "away": lambda u, v: _beyond(u, 1 / 3) + 0.0 * v,
        "up": lambda u, v: _beyond(v, 1 / 3) + 0.0 * u,
        "down": lambda u, v: _beyond(-v, 1 / 3) + 0.0 * u,
        "heart": lambda u, v: _beyond(-np.maximum(np.abs(u), np.abs(v)), -2 / 3),
        "zone": lambda u, v: 1.0 - _outside(u, v),
        "outside": _outside,
        "off in": lambda u, v: _beyond(-u, 1.0) + 0.0 * v,
        "off away": lambda u, v: _beyond(u, 1.0) + 0.0 * v,
        "above": lambda u, v: _beyond(v, 1.0) + 0.0 * u,
        "low and away": lambda u, v: _outside(u, v) * _beyond(u, 1 / 3) * _beyond(-v, 0.0),
    }
)


#: Where spreads come from: `hitter_prior` over 482 hitters of open professional pitches, six with
#: whole seasons, about a prior that is published or assumed, with what was counted over seasons of
#: Retrosheet for evidence; counted there alone; or an assumption.
FOUND: Final = "open pitches"
COUNTED: Final = "counted"
ASSUMED: Final = "assumption"


class Effect(NamedTuple):
    """One thing a trait moves: a step, by so much per unit, where and when."""

    step: str
    size: float
    area: str = "everywhere"
    families: tuple[str, ...] = ALL
    two_strikes: bool = False


class Trait(NamedTuple):
    """A trait: its name, how much hitters differ in it, what it moves, and how that is said.

    `sd` is the spread among professionals, `factor` times or over which it is known (one standard
    deviation; nought where it was not found by `hitter_prior`), `assumed` the spread that was
    published or assumed beforehand, `source` where `sd` comes from.
    """

    name: str
    sd: float
    factor: float
    assumed: float
    effects: tuple[Effect, ...]
    says: str
    source: str = FOUND


#: Steps a trait can move. `swing` is the log odds of a swing when ready; `in_play` runs;
#: `hit_by_pitch` log odds.
STEPS: Final = ("swing", "miss", "foul", "in_play", "hit_by_pitch")

# What is `assumed` comes from reliability, n0 = p(1-p)/var (Carleton 2007 and 2012-13, r = .70
# points): swing share, n0 about 80 pitches, sd .055 or .24 in log odds; contact share, n0 about 75
# swings, sd .046 or .29. Chase has no counted figure: n0 = 150 pitches seen, half of them outside,
# gives .34. Power is a season's isolated-power spread (.055) on a ball in play, .03 runs. Splits of
# a trait by area or family are taken to have about half the variance of their parent, and the runs
# that go with an area's or a family's contact (.12 a unit, one spread .03) are assumptions.
# What is counted: beta-binomial likelihood over 990 seasons of 600 pitches or more (Retrosheet
# 2016, 2019, 2020; obtained free of charge from and copyrighted by Retrosheet, retrosheet.org).
RUNS: Final = 0.12


def _better(area: str = "everywhere", families: tuple[str, ...] = ALL) -> tuple[Effect, ...]:
    """Return the effects of handling pitches there: fewer misses, harder contact."""
    return Effect("miss", -1.0, area, families), Effect("in_play", RUNS, area, families)


TRAIT_TABLE: Final[tuple[Trait, ...]] = (
    Trait("contact", 0.34, 1.13, 0.29, (Effect("miss", -1.0),), "makes contact"),
    # A strong hitter's balls are hardest from the heart of the zone, where about half are hit.
    Trait(
        "power",
        0.03,
        1.21,
        0.03,
        (Effect("in_play", 0.6), Effect("in_play", 0.8, "heart")),
        "hits it hard",
    ),
    Trait("zone_swing", 0.51, 1.18, 0.30, (Effect("swing", 1.0, "zone"),), "swings at strikes"),
    Trait("chase", 0.45, 1.13, 0.34, (Effect("swing", 1.0, "outside"),), "swings off the plate"),
    Trait("chase_up", 0.58, 2.30, 0.35, (Effect("swing", 1.0, "above"),), "swings above the zone"),
    Trait(
        "chase_in", 0.75, 1.17, 0.25, (Effect("swing", 1.0, "off in"),), "swings at balls in on him"
    ),
    Trait(
        "chase_away", 0.41, 1.28, 0.25, (Effect("swing", 1.0, "off away"),), "swings at balls away"
    ),
    Trait(
        "chase_breaking",
        0.24,
        2.90,
        0.40,
        (Effect("swing", 1.0, "low and away", ("breaking",)),),
        "chases the breaking ball low and away",
    ),
    Trait("fast", 0.08, 2.90, 0.25, _better(families=("fast",)), "handles the fastball"),
    Trait(
        "breaking", 0.09, 3.00, 0.25, _better(families=("breaking",)), "handles the breaking ball"
    ),
    Trait("offspeed", 0.32, 2.10, 0.25, _better(families=("off-speed",)), "handles off-speed"),
    Trait("up", 0.48, 1.20, 0.25, _better("up"), "handles the ball up"),
    Trait("down", 0.10, 2.90, 0.25, _better("down"), "handles the ball down"),
    Trait("inside", 0.14, 2.80, 0.25, _better("in"), "handles the ball in"),
    Trait("outside", 0.19, 1.90, 0.25, _better("away"), "handles the ball away"),
    Trait(
        "timing_late",
        0.07,
        3.00,
        0.25,
        (
            Effect("miss", 0.5, "everywhere", ("fast",)),
            Effect("miss", -1.0, "everywhere", SOFT),
            Effect("in_play", -RUNS, "everywhere", ("fast",)),
            Effect("in_play", RUNS, "everywhere", SOFT),
        ),
        "swings late",
    ),
    Trait(
        "pull",
        0.30,
        0.0,
        0.30,
        (Effect("in_play", 0.06, "in"), Effect("in_play", -0.06, "away")),
        "pulls the ball",
        ASSUMED,
    ),
    Trait("first_pitch", 0.48, 1.13, 0.60, (), "swings at the first pitch"),
    Trait("aggressive", 0.20, 1.60, 0.50, (), "swings rather than takes"),
    Trait(
        "swing_breaking",
        0.36,
        1.39,
        0.30,
        (Effect("swing", 1.0, "everywhere", ("breaking",)),),
        "swings at the breaking ball",
    ),
    Trait("fast_belief", 0.50, 0.0, 0.50, (), "looks for a fast pitch", ASSUMED),
    Trait(
        "two_strike_chase",
        0.15,
        2.70,
        0.30,
        (Effect("swing", 1.0, "outside", ALL, True),),
        "expands with two strikes",
    ),
    Trait(
        "protect",
        0.10,
        2.90,
        0.30,
        (
            Effect("miss", -1.0, "everywhere", ALL, True),
            Effect("in_play", -0.05, "everywhere", ALL, True),
        ),
        "shortens up with two strikes",
    ),
    Trait(
        "foul",
        0.13,
        0.0,
        0.13,
        (Effect("foul", 1.0, "everywhere", ALL, True),),
        "fouls off good pitches",
        COUNTED,
    ),
    Trait("bunt", 1.41, 0.0, 1.41, (), "bunts", COUNTED),
    Trait(
        "speed", 0.02, 0.0, 0.02, (Effect("in_play", 1.0, "down"),), "beats out grounders", ASSUMED
    ),
    Trait(
        "hit_by_pitch",
        0.64,
        0.0,
        0.64,
        (Effect("hit_by_pitch", 1.0),),
        "is hit by pitches",
        COUNTED,
    ),
)
#: Names in the order of every trait vector.
TRAITS: Final[tuple[str, ...]] = tuple(trait.name for trait in TRAIT_TABLE)
INDEX: Final = MappingProxyType({name: i for i, name in enumerate(TRAITS)})


@dataclass(frozen=True, slots=True)
class Offsets:
    """What a trait vector adds to the steps: log odds, and runs for `in_play`."""

    swing: Floats
    miss: Floats
    foul: Floats
    in_play: Floats
    hit_by_pitch: Floats


def prior_sd() -> Floats:
    """Return the spread of each trait among professionals, in the order of `TRAITS`."""
    return np.array([trait.sd for trait in TRAIT_TABLE])


def assumed_sd() -> Floats:
    """Return the spread that was published or assumed for each trait, in the order of `TRAITS`."""
    return np.array([trait.assumed for trait in TRAIT_TABLE])


def loadings(family: str, u: Floats, v: Floats, two_strikes: Floats) -> dict[str, Floats]:
    """Return what one unit of each trait adds to each step, (..., traits) by step.

    Parameters
    ----------
    family : str
        fast, breaking, off-speed or unknown (which only the traits of all families move).
    u, v : arrays
        Location in zone halves, hitter-relative; they broadcast with `two_strikes`.
    two_strikes : array
        1 where he protects, else 0.
    """
    here = areas_at(u, v)
    guard = np.asarray(two_strikes, dtype=np.float64)[..., None]
    weights = WEIGHTS[family]
    return {step: here @ weights[step][0] + guard * (here @ weights[step][1]) for step in STEPS}


def trait_offsets(
    traits: Floats, family: str, u: Floats, v: Floats, two_strikes: Floats
) -> Offsets:
    """Return what a trait vector adds to each step at a location; arguments as in `loadings`.

    Of several hitters, (hitters, traits), the offsets lead with (hitters,).
    """
    here = areas_at(u, v)
    guard = np.asarray(two_strikes, dtype=np.float64)
    weights = WEIGHTS[family]

    def added(effects: Floats) -> Floats:
        if traits.ndim == 1:
            return np.asarray(here @ (effects @ traits))
        return np.moveaxis(here @ (effects @ traits.T), -1, 0)

    return Offsets(*(added(weights[step][0]) + guard * added(weights[step][1]) for step in STEPS))


def areas_at(u: Floats, v: Floats) -> Floats:
    """Return how much of each area a location is in, (..., areas), in the order of `AREAS`."""
    u, v = np.broadcast_arrays(np.asarray(u, dtype=np.float64), np.asarray(v, dtype=np.float64))
    return np.stack([area(u, v) for area in AREAS.values()], axis=-1)


def _weights(family: str) -> dict[str, tuple[Floats, Floats]]:
    """Return by step the sizes of effects, (areas, traits): always, and only when protecting."""
    order = list(AREAS)
    found = {step: (_none(), _none()) for step in STEPS}
    for i, trait in enumerate(TRAIT_TABLE):
        for effect in trait.effects:
            if effect.families == ALL or family in effect.families:
                which = found[effect.step][int(effect.two_strikes)]
                which[order.index(effect.area), i] += effect.size
    return found


def _none() -> Floats:
    return np.zeros((len(AREAS), len(TRAIT_TABLE)))


#: Effects of every trait by family and step; see `_weights`.
WEIGHTS: Final = MappingProxyType({family: _weights(family) for family in (*ALL, "unknown")})
