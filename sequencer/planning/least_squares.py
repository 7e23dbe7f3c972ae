"""The mix with the least sum of squared shares under limits, for many games at once.

Primal-dual interior-point steps (Wright 1997, *Primal-Dual Interior-Point Methods*). Every call
stands alone in the objective: a step solves for one unknown a limit and one for the shares' sum.
"""

from dataclasses import dataclass, fields

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints

STEPS = 60
"""Steps at most (measured: 20 to 30 are needed)."""
CENTRING = 0.2
"""How far a step stays from the walls (measured: 22 steps; 25 at 0.05)."""
WALL = 0.99
"""Share of the way to a wall that a step may go (common practice, no source)."""
START = 0.3
"""Slacks and prices to begin with (measured: 22 steps; 25 from 1)."""
RIDGE = 1e-13
"""Added where more limits are tight than there are calls to meet them (a chosen precision)."""
KEPT = 0.7
"""Share of games still going below which the others are left aside (measured)."""
CLOSE = 1e-8
"""Residuals and mean slack times price at which a mix is done (a chosen precision)."""


@dataclass
class _Point:
    """Shares and what they cost to lower; slacks of the limits and their prices."""

    share: Floats  # (games, calls)
    cost: Floats
    slack: Floats  # (games, limits)
    price: Floats
    level: Floats  # (games, 1): price of the sum of shares

    def of(self, games: Bools) -> "_Point":
        """Return some of the games."""
        return _Point(*(getattr(self, field.name)[games] for field in fields(self)))

    def product(self) -> Floats:
        """Mean of slack times price over all walls, (games, 1)."""
        walls = self.share.shape[1] + self.slack.shape[1]
        total = (self.share * self.cost).sum(axis=1) + (self.slack * self.price).sum(axis=1)
        product: Floats = total[:, None] / walls
        return product


def least_squares(over: Floats, mask: Bools) -> tuple[Floats, Floats]:
    """Find the least sum of squared shares with ``shares @ over <= 0``.

    Parameters
    ----------
    over
        (games, calls, limits): by how much a call alone breaks each limit.
    mask
        (games, calls): calls that may be used; the others get nought.

    Returns
    -------
    tuple of arrays
        (games, calls) probability mixes, near enough to be measured and drawn back inside, and
        (games, limits) prices of the limits: nought where one does not bind.
    """
    games, calls, limits = over.shape
    scale = np.abs(over).max(axis=(1, 2), keepdims=True)
    scaled = over / np.where(scale > 0.0, scale, 1.0)
    sides = np.concatenate([np.ones((games, calls, 1)), scaled], axis=2) * mask[:, :, None]
    at = _Point(
        share=np.full((games, calls), 1.0 / calls),
        cost=np.ones((games, calls)),
        slack=np.full((games, limits), START),
        price=np.full((games, limits), START),
        level=np.zeros((games, 1)),
    )
    shares, prices = np.empty((games, calls)), np.empty((games, limits))

    def keep(games: Ints, found: _Point) -> None:
        shares[games] = found.share
        prices[games] = np.where(found.price > found.slack, found.price, 0.0)

    live = np.arange(games)
    for _ in range(STEPS):
        off = _residuals(at, sides)
        far = np.max([np.abs(part).max(axis=1) for part in (*off, at.product())], axis=0) > CLOSE
        if np.count_nonzero(far) <= KEPT * live.size:
            keep(live[~far], at.of(~far))
            live, at, sides, off = live[far], at.of(far), sides[far], (off[0][far], off[1][far])
            far = far[far]
        if live.size == 0:
            break
        _step(at, sides, far, *off)
    keep(live, at)
    shares = np.maximum(shares, 0.0) * mask
    mixes: Floats = shares / shares.sum(axis=1, keepdims=True)
    return mixes, prices


def _residuals(at: _Point, sides: Floats) -> tuple[Floats, Floats]:
    """How far the gradient is from balance, and the sum and limits from being met."""
    prices = np.concatenate([at.level, at.price], axis=1)
    gradient = at.share + np.matmul(sides, prices[:, :, None])[:, :, 0] - at.cost
    met = np.matmul(at.share[:, None, :], sides)[:, 0]
    met[:, 0] -= 1.0
    met[:, 1:] += at.slack
    return gradient, met


def _step(at: _Point, sides: Floats, far: Bools, gradient: Floats, met: Floats) -> None:
    """Go one Newton step toward the centre of what is left, in place, in games still far off."""
    aim = CENTRING * at.product()
    soft = 1.0 / (1.0 + at.cost / at.share)
    pull = -gradient - at.cost + aim / at.share
    moves = np.matmul((sides * soft[:, :, None]).swapaxes(1, 2), sides)
    walls = np.arange(1, sides.shape[2])
    moves[:, walls, walls] += at.slack / at.price + RIDGE
    wanted = met.copy()
    wanted[:, 1:] += aim / at.price - at.slack
    right = np.matmul((soft * pull)[:, None, :], sides)[:, 0] + wanted
    prices = np.linalg.solve(moves, right[:, :, None])[:, :, 0]
    share = soft * (pull - np.matmul(sides, prices[:, :, None])[:, :, 0])
    cost = (aim - at.cost * share) / at.share - at.cost
    slack = -met[:, 1:] - np.matmul(share[:, None, :], sides)[:, 0, 1:]
    pairs = ((at.share, share), (at.cost, cost), (at.slack, slack), (at.price, prices[:, 1:]))
    length = np.minimum(1.0, WALL * np.min([_room(*pair) for pair in pairs], axis=0)) * far
    for now, change in (*pairs, (at.level, prices[:, :1])):
        now += length[:, None] * change


def _room(now: Floats, change: Floats) -> Floats:
    """How far each game can go before something is nought."""
    falls = change < 0.0
    room: Floats = np.where(falls, now / np.where(falls, -change, 1.0), np.inf).min(axis=1)
    return room
