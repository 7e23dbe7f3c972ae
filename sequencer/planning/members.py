"""Few members of many: mixes over sets of rows or columns, a set for every game of a batch.

Sets of a batch are arrays of one width, so a smaller set fills up with a member it has already: a
row or column that is there twice changes nothing of a game.
"""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints


def used(mix: Floats) -> tuple[Ints, Floats]:
    """Members of every mix and their weights: (games, most members that any mix has).

    A mix of fewer fills up with its heaviest member, at no weight; one that has none is no mix, and
    its weights are no numbers.
    """
    game, member = np.nonzero(mix > 0.0)
    counts = np.bincount(game, minlength=mix.shape[0])
    place = np.arange(game.size) - np.repeat(np.cumsum(counts) - counts, counts)
    members = np.repeat(mix.argmax(axis=1)[:, None], counts.max(initial=1), axis=1)
    weights = np.where(counts > 0, 0.0, np.nan)[:, None] + np.zeros(members.shape)
    members[game, place], weights[game, place] = member, mix[game, member]
    return members, weights


def stand_ins(on: Bools) -> Ints:
    """Every member that is on, and in place of one that is not the first that is, (games, all)."""
    members: Ints = np.where(on, np.arange(on.shape[1]), on.argmax(axis=1)[:, None])
    return members


def spread_out(mix: Floats, members: Ints, size: int) -> Floats:
    """(games, size): mixes over everything, given (games, set) over members, one or more times."""
    everything, games = np.zeros((mix.shape[0], size)), np.arange(mix.shape[0])
    for place in range(mix.shape[1]):
        everything[games, members[:, place]] += mix[:, place]
    return everything
