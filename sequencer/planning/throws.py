"""Where a call goes: the pitcher's miss about the target, spread over one grid of the plane."""

from dataclasses import dataclass
from functools import cache
from math import erf, sqrt
from typing import Final

import numpy as np

from sequencer.baseball.hands import same_side
from sequencer.baseball.zone import HALF_WIDTH_IN, Zone, aim_uv, away_sign
from sequencer.estimates.command import PitchBelief, PitcherBelief
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.calls import Call

#: Spacing of the grid in zone halves, 2.5 to 3 inches. Measured against a quarter of it, spreads of
#: 4 to 12 inches: no outcome moves by .002 and no count's value by .0004 runs.
SPACING: Final = 0.25
REACH_U: Final = 3.25
REACH_V: Final = (-3.25, 3.0)
#: Zone halves beyond the middle at which a pitch off the grid is placed.
FAR: Final = 4.0


@dataclass(frozen=True, eq=False)
class Plane:
    """Nodes of the plane, hitter-relative: u, v (nodes,) in zone halves; the last four lie far off.

    Zone halves are of the ball's centre, across and up, as the league's are.
    The far ones stand for what misses the grid on the in side, the away side, below and above.
    """

    u: Floats
    v: Floats


@cache
def plane() -> Plane:
    """Return the grid that every integral uses."""
    side = np.arange(-REACH_U, REACH_U + SPACING / 2, SPACING)
    height = np.arange(REACH_V[0], REACH_V[1] + SPACING / 2, SPACING)
    u, v = np.meshgrid(side, height, indexing="ij")
    return Plane(
        np.concatenate([u.ravel(), [-FAR, FAR, 0.0, 0.0]]),
        np.concatenate([v.ravel(), [0.0, 0.0, -FAR, FAR]]),
    )


@dataclass(frozen=True, eq=False)
class FamilyThrows:
    """Where the calls of one family go.

    Attributes
    ----------
    family : str
    members : array (calls of the family,)
        Their places among all calls.
    chances : array (calls of the family, nodes)
        Each row sums to one.
    same_side : float
        1 when thrown from the side he hits from, 0 when not.
    """

    family: str
    members: Ints
    chances: Floats
    same_side: float


def thrown(
    pitcher: PitcherBelief, calls: tuple[Call, ...], zone: Zone, bats: str
) -> tuple[FamilyThrows, ...]:
    """Spread every call over the plane, by the family a hitter takes it for."""
    nodes = plane().u.size
    chances = np.empty((len(calls), nodes))
    for name in dict.fromkeys(call.pitch for call in calls):
        own = [i for i, call in enumerate(calls) if call.pitch == name]
        chances[own] = weights(tuple(calls[i] for i in own), pitcher.pitch(name), zone, bats)
    same = float(same_side(pitcher.throws, bats))
    families = []
    seen_as = [pitcher.seen_as(call.pitch) for call in calls]
    for family in dict.fromkeys(seen_as):
        members = np.array([i for i, seen in enumerate(seen_as) if seen == family])
        families.append(FamilyThrows(family, members, chances[members], same))
    return tuple(families)


def weights(calls: tuple[Call, ...], pitch: PitchBelief, zone: Zone, bats: str) -> Floats:
    """Return the chance of each node for the calls of one pitch, (calls, nodes), rows sum to one.

    Parameters
    ----------
    calls : tuple of Call
    pitch : PitchBelief
        Bias and covariance in the catcher's inches.
    zone, bats
        The hitter's zone and side, which turn inches into zone halves.
    """
    scale = np.array([away_sign(bats) / HALF_WIDTH_IN, 1.0 / zone.centre_half_height_in])
    aims = np.array([aim_uv(call.target, zone) for call in calls])
    total = np.zeros((len(calls), plane().u.size))
    for share, bias, cov in pitch.mixture():
        if share > 0.0:
            total += share * spread(aims + bias * scale, cov * np.outer(scale, scale))
    return total


def spread(centres: Floats, cov: Floats) -> Floats:
    """Return the chance of each node for normal throws, (calls, nodes).

    Parameters
    ----------
    centres : array (calls, 2)
        In zone halves.
    cov : array (2, 2)
        In zone halves squared.
    """
    grid = plane()
    du = grid.u[None, :-4] - centres[:, :1]
    dv = grid.v[None, :-4] - centres[:, 1:]
    inverse = np.linalg.inv(cov)
    distance = inverse[0, 0] * du**2 + 2.0 * inverse[0, 1] * du * dv + inverse[1, 1] * dv**2
    density = np.exp(-0.5 * distance)
    beyond = _beyond(centres, np.sqrt(np.diag(cov)))
    outside = np.minimum(beyond.sum(axis=1, keepdims=True), 0.999)
    inside = density / np.maximum(density.sum(axis=1, keepdims=True), 1e-300)
    far = beyond * outside / np.maximum(beyond.sum(axis=1, keepdims=True), 1e-300)
    return np.concatenate([inside * (1.0 - outside), far], axis=1)


def _beyond(centres: Floats, sd: Floats) -> Floats:
    """Chance of missing the grid in, away, below and above, (calls, 4)."""
    half = SPACING / 2
    edges = np.stack(
        [
            (-REACH_U - half - centres[:, 0]) / sd[0],
            (centres[:, 0] - REACH_U - half) / sd[0],
            (REACH_V[0] - half - centres[:, 1]) / sd[1],
            (centres[:, 1] - REACH_V[1] - half) / sd[1],
        ],
        axis=1,
    )
    return np.vectorize(lambda z: 0.5 * (1.0 + erf(z / sqrt(2.0))))(edges)  # type: ignore[no-any-return]
