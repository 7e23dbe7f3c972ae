"""Every look there is, by number: the lattice of beliefs for each kind of swing, taking or not.

Nought is taking with his usual swings for the rest; then all swings, then all takes with one of
them for the rest.
"""

from typing import Final

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.beliefs import FAST, LATTICE, NODES, SOFT
from sequencer.planning.looks import KINDS, LATTICE_WEIGHTS, PARTS, TAKE, Look

USUAL_TAKE: Final = 0
SWINGS: Final = len(KINDS) * len(LATTICE)
#: Looks that `best` finds for each game: one of each kind of swing, and the best take.
FOUND: Final = len(KINDS) + 1
#: Variance of the places of beliefs that are not neighbours: over that of two which are.
_APART: Final = 0.26


def _every_swing() -> Floats:
    """(fast or soft, swings, parts): every swing as it weighs parts."""
    weights = np.zeros((2, len(KINDS), len(LATTICE), PARTS))
    for kind in range(len(KINDS)):
        weights[:, kind, :, 1 + NODES * kind : 1 + NODES * (kind + 1)] = LATTICE_WEIGHTS
    return weights.reshape(2, SWINGS, PARTS)


_WEIGHTS: Final = _every_swing()


def look_of(number: int) -> Look:
    """Return the look of a number."""
    if number == USUAL_TAKE:
        return TAKE
    takes, swing = divmod(number - 1, SWINGS)
    (kind, belief) = divmod(swing, len(LATTICE))
    readiness, area = KINDS[kind]
    if takes:
        return Look(TAKE.readiness, LATTICE[belief], area, readiness)
    return Look(readiness, LATTICE[belief], area)


def weigh(numbers: Ints, ceiling: Floats, usual: Floats) -> Floats:
    """Return looks as they weigh parts, (fast or soft, games, parts, looks).

    Parameters
    ----------
    numbers : array (games, looks)
    ceiling : array (games,)
        How much of a take really is one.
    usual : array (fast or soft, games, parts)
        His usual swings.
    """
    plain = numbers == USUAL_TAKE
    taking = ceiling[:, None] * (plain | (numbers > SWINGS))
    weights = _WEIGHTS[:, (numbers - 1) % SWINGS]
    if plain.any():
        weights = np.where(plain[..., None], usual[:, :, None], weights)
    weights *= (1.0 - taking)[..., None]
    weights[..., 0] = taking
    return weights.swapaxes(-1, -2)


def best(met: Floats, ceiling: Floats) -> tuple[Floats, Ints]:
    """Return runs and numbers of the best look of each kind, (games, `FOUND`); the take is last.

    Parameters
    ----------
    met : array (fast or soft, games, parts)
        Runs against a mix of calls.
    ceiling : array (games,)
    """
    games, kinds = met.shape[1], len(KINDS)
    runs = np.zeros((games, kinds, len(LATTICE)))
    for side in (FAST, SOFT):
        by_node = met[side, :, 1:].reshape(games * kinds, NODES)
        runs += (by_node @ LATTICE_WEIGHTS[side].T).reshape(runs.shape)
    belief, game = runs.argmax(axis=2), np.arange(games)
    swings = runs[game[:, None], np.arange(kinds), belief]
    numbers = 1 + belief + len(LATTICE) * np.arange(kinds)
    first = swings.argmax(axis=1)
    swing = swings[game, first]
    take = swing + ceiling * (met[:, :, 0].sum(axis=0) - swing)
    rest = SWINGS + numbers[game, first]
    number = np.where(ceiling < 1.0, rest, USUAL_TAKE)
    return np.column_stack([swings, take]), np.column_stack([numbers, number])


def between(numbers: Ints, shares: Floats) -> tuple[Ints, Bools]:
    """Return the two looks about the mean of those of one kind that are mixed, and where there are.

    Where a mix holds two beliefs of a kind apart, the one wanted lies between them, near their mean
    (measured: games settle in half as many rounds as by best replies alone). Of each game's kinds
    the one most apart is taken.

    Parameters
    ----------
    numbers, shares : arrays (games, looks)

    Returns
    -------
    tuple
        (games, 2) numbers, and (games,) whether there are beliefs apart.
    """
    kind, belief = np.divmod(np.maximum(numbers - 1, 0), len(LATTICE))
    held = np.where(numbers == USUAL_TAKE, 0.0, shares)
    kinds = held[:, :, None] * (kind[:, :, None] == np.arange(2 * len(KINDS)))
    share = kinds.sum(axis=1)
    some = np.maximum(share, 1e-12)
    mean = np.matmul(belief[:, None, :], kinds)[:, 0] / some
    apart = np.matmul((belief**2)[:, None, :], kinds)[:, 0] / some - mean**2
    apart = np.where(share > 1e-9, apart, 0.0)
    most = (share * apart).argmax(axis=1)
    game = np.arange(len(numbers))
    low = np.floor(mean[game, most]).astype(np.intp)
    pair = np.stack([low, np.minimum(low + 1, len(LATTICE) - 1)], axis=1)
    return 1 + len(LATTICE) * most[:, None] + pair, apart[game, most] > _APART
