"""Smooth surfaces over the plane of the plate: one design for every step.

A step's log odds (or runs) at a location is the sum of a common surface (low-order shape and a grid
of Gaussian bumps), each family's departure from it, the platoon side, what protecting changes, one
number a count, and how the edge moves with the count.
"""

from dataclasses import dataclass, fields
from typing import Any, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.arrays import Floats, Ints

#: Beyond these the curved parts stay as at the rim; only the straight ones go on (in zone halves).
RIM: Final = 2.2
FAR: Final = 6.0
_BLUR: Final = 0.12
#: Names of `shape`'s columns.
SHAPE: Final = ("level", "u", "v", "uu", "vv", "uv", "off in", "off away", "above", "below")
OUTSIDE: Final = tuple(SHAPE.index(name) for name in ("off in", "off away", "above", "below"))


def _beyond(x: Floats) -> Floats:
    """Return a smooth max(x - 1, 0): nothing inside the zone, straight outside."""
    return np.asarray(np.logaddexp(0.0, (np.clip(x, -FAR, FAR) - 1.0) / _BLUR) * _BLUR)


def shape(u: Floats, v: Floats) -> Floats:
    """Return the low-order features of a location, shape (..., 10), in the order of `SHAPE`."""
    a, b = np.clip(u, -RIM, RIM), np.clip(v, -RIM, RIM)
    outside = (_beyond(x) for x in (-u, u, v, -v))
    return np.stack([np.ones_like(a), a, b, a * a, b * b, a * b, *outside], axis=-1)


def near(x: Floats) -> Floats:
    """Hold a place within reach of a bat: beyond it, what a swing does is as at the rim."""
    return np.clip(x, -RIM, RIM)


def bumps(u: Floats, v: Floats, side: int) -> Floats:
    """Return `side` x `side` Gaussian bumps over (-1.8, 1.8) squared, as wide as apart."""
    centres, width = np.linspace(-1.8, 1.8, side), 3.6 / (side - 1)
    across = np.exp(-0.5 * ((np.clip(u, -RIM, RIM)[..., None] - centres) / width) ** 2)
    up = np.exp(-0.5 * ((np.clip(v, -RIM, RIM)[..., None] - centres) / width) ** 2)
    return (across[..., :, None] * up[..., None, :]).reshape(*u.shape, side * side)


def depth(u: Floats, v: Floats) -> Floats:
    """Return how far outside the zone (inside when negative), in halves, held to half a half."""
    return np.clip(np.maximum(np.abs(u), np.abs(v)) - 1.0, -0.5, 0.5)


@dataclass(frozen=True, slots=True)
class Rows:
    """Pitches as the design reads them, all of shape (n,).

    `left` is one for a left-handed hitter, nought for a right-handed one; `season` a year, 0 when
    not known. Both bear on the called zone alone.
    """

    family: Ints
    u: Floats
    v: Floats
    balls: Ints
    strikes: Ints
    same: Floats
    left: Floats
    season: Ints

    def __len__(self) -> int:
        return len(self.u)

    def take(self, which: Any) -> "Rows":
        """Return the rows of a slice, mask or index."""
        return Rows(*(getattr(self, field.name)[which] for field in fields(self)))


@dataclass(frozen=True, slots=True)
class Surface:
    """The coefficients of one step.

    Attributes
    ----------
    place : (10,) common shape; bump : (side * side,) common bumps; family : (3, 10) departures;
    same : (3,) platoon side: level, u, v; protect : (10,) with two strikes;
    count : (4, 3) by balls and strikes; edge : (2,) per ball, per strike times `depth`.
    """

    place: Floats
    bump: Floats
    family: Floats
    same: Floats
    protect: Floats
    count: Floats
    edge: Floats

    @classmethod
    def zero(cls, side: int) -> "Surface":
        """Return the surface that is nought everywhere, with `side` x `side` bumps."""
        k = len(SHAPE)
        sizes = (k, side * side, (3, k), 3, k, (4, 3), 2)
        return cls(*(np.zeros(size) for size in sizes))

    @property
    def side(self) -> int:
        """Bumps along one side of the grid."""
        return int(np.sqrt(self.bump.size))

    def vector(self) -> Floats:
        """Return all coefficients in one row, in the order of `design`."""
        return np.concatenate([getattr(self, field.name).ravel() for field in fields(self)])

    def with_vector(self, vector: Floats) -> "Surface":
        """Return a surface of the same make with these coefficients."""
        parts, start = [], 0
        for field in fields(self):
            old = getattr(self, field.name)
            parts.append(vector[start : start + old.size].reshape(old.shape))
            start += old.size
        return Surface(*parts)

    def block(self, name: str) -> slice:
        """Return where a block stands in `vector`."""
        start = 0
        for field in fields(self):
            size = getattr(self, field.name).size
            if field.name == name:
                return slice(start, start + size)
            start += size
        raise KeyError(name)

    def at(self, family: str, u: Floats, v: Floats, same: Floats, protect: Floats) -> Floats:
        """Return the surface at locations, the count left out; an unknown family is their mean."""
        u, v = np.broadcast_arrays(u, v)
        form = shape(u, v)
        own = self.family[FAMILIES.index(family)] if family in FAMILIES else self.family.mean(0)
        base = form @ (self.place + own) + bumps(u, v, self.side) @ self.bump
        platoon = self.same[0] + self.same[1] * form[..., 1] + self.same[2] * form[..., 2]
        return np.asarray(base + (same - 0.5) * platoon + protect * (form @ self.protect))

    def in_count(self, u: Floats, v: Floats, balls: Floats, strikes: Floats) -> Floats:
        """Return what the count adds at locations."""
        level = self.count[balls.astype(np.intp), strikes.astype(np.intp)]
        slope = self.edge[0] * (balls - 1.5) + self.edge[1] * (strikes - 1.0)
        return np.asarray(level + slope * depth(u, v))


def design(rows: Rows, side: int) -> Floats:
    """Return the matrix (n, coefficients) whose product with `Surface.vector` is the step."""
    form = shape(rows.u, rows.v)
    n, k = form.shape
    families = np.zeros((n, 3, k))
    known = rows.family < 3
    families[np.flatnonzero(known), rows.family[known]] = form[known]
    families[~known] = form[~known, None] / 3.0
    counts = np.zeros((n, 12))
    counts[np.arange(n), rows.balls * 3 + rows.strikes] = 1.0
    platoon = (rows.same - 0.5)[:, None] * form[:, :3]
    protect = (rows.strikes == 2)[:, None] * form
    inward = depth(rows.u, rows.v)
    edge = np.stack([(rows.balls - 1.5) * inward, (rows.strikes - 1.0) * inward], axis=1)
    parts = (form, bumps(rows.u, rows.v, side), families.reshape(n, -1), platoon, protect)
    return np.concatenate([*parts, counts, edge], axis=1)
