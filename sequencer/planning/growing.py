"""Matrix games by growing sets of calls and looks (double oracle: McMahan, Gordon and Blum 2003).

A game of hundreds of looks is decided by a handful: solve it on a few, let both sides add their
best replies from the whole game, and stop when no reply gains.
"""

from dataclasses import dataclass

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.best_so_far import BestSoFar
from sequencer.planning.simplex import solve_tableaux
from sequencer.planning.tableaux import scale_of

AIM = 1e-11
"""Where sets stop growing, as a share of the range of payoffs in play: what floats can reach."""
ROUNDS = 16
"""How often sets may grow before a game is left to be solved whole (measured: pitching needs 4 to
12; a game that mixes more calls than this is cheaper whole)."""


@dataclass
class _Side:
    """The working set of one side in every game still open.

    members, on: (games, set), a place may be empty; payoffs: (games, set, all of the other side).
    """

    members: Ints
    on: Bools
    payoffs: Floats

    def keep(self, which: Bools) -> None:
        self.members, self.on = self.members[which], self.on[which]
        self.payoffs = self.payoffs[which]

    def add(self, member: Ints, on: Bools, payoffs: Floats) -> None:
        if on.any():
            self.members = np.concatenate([self.members, member[:, None]], axis=1)
            self.on = np.concatenate([self.on, on[:, None]], axis=1)
            self.payoffs = np.concatenate([self.payoffs, payoffs], axis=1)

    def whole(self, mix: Floats, size: int) -> Floats:
        """Mixes over everything, given mixes over the set."""
        everything = np.zeros((mix.shape[0], size))
        game, place = np.nonzero(self.on)
        everything[game, self.members[game, place]] = mix[game, place]
        return everything


def solve_by_growing_sets(best: BestSoFar, start: tuple[Floats, Floats] | None = None) -> Ints:
    """Solve the games that growing sets can, and improve the others.

    Parameters
    ----------
    best
        The games, and where to keep their mixes.
    start
        (games, calls) and (games, looks) mixes that may be near the solution, such as those of
        neighbouring games.

    Returns
    -------
    array
        The games left unsolved.
    """
    game, penalty = best.game, np.where(best.mask, 0.0, np.inf)
    calls, looks = _first_sets(best, start)
    games, stuck = np.arange(game.shape[0]), []
    for _ in range(ROUNDS):
        if games.size == 0:
            break
        inner = np.take_along_axis(calls.payoffs, looks.members[:, None, :], axis=2)
        x, y = solve_tableaux(inner, calls.on, looks.on)
        of_looks = np.matmul(x[:, None, :], calls.payoffs)[:, 0]
        of_calls = np.matmul(y[:, None, :], looks.payoffs)[:, 0] + penalty[games]
        high, low = of_looks.max(axis=1), of_calls.min(axis=1)
        x, y = calls.whole(x, game.shape[1]), looks.whole(y, game.shape[2])
        best.keep(games, x, high, y, low)
        slack = AIM * scale_of(inner, calls.on[:, :, None] & looks.on[:, None, :])[1]
        new_look, look_on = _best_reply(of_looks, looks, slack)
        new_call, call_on = _best_reply(-of_calls, calls, slack)
        done, grows = high - low <= slack, look_on | call_on
        stuck.append(games[~done & ~grows])
        going = ~done & grows
        games, new_call, new_look = games[going], new_call[going], new_look[going]
        calls.keep(going)
        looks.keep(going)
        calls.add(new_call, call_on[going], _of_calls(best, games, new_call[:, None]))
        looks.add(new_look, look_on[going], _of_looks(best, games, new_look[:, None]))
    return np.concatenate([*stuck, games])


def _best_reply(gains: Floats, side: _Side, slack: Floats) -> tuple[Ints, Bools]:
    """Find the best reply of the whole game, and whether it gains more than the set does."""
    in_set = np.take_along_axis(gains, side.members, axis=1).max(
        axis=1, where=side.on, initial=-np.inf
    )
    best = gains.argmax(axis=1)
    return best, gains.max(axis=1) > in_set + slack / 8.0


def _of_calls(best: BestSoFar, games: Ints, calls: Ints) -> Floats:
    """(games, calls, all looks) less the base of the game."""
    payoffs: Floats = best.game[games[:, None], calls] - best.base[games, None, None]
    return payoffs


def _of_looks(best: BestSoFar, games: Ints, looks: Ints) -> Floats:
    """(games, looks, all calls), likewise."""
    payoffs: Floats = best.game[games[:, None], :, looks] - best.base[games, None, None]
    return payoffs


def _first_sets(best: BestSoFar, start: tuple[Floats, Floats] | None) -> tuple[_Side, _Side]:
    """Start from the mixes given, or the safest single call and the best reply to it."""
    games = np.arange(best.game.shape[0])
    if start is None:
        calls, looks = best.safest[:, None], best.reply[:, None]
        calls_on = looks_on = np.ones((games.size, 1), dtype=bool)
    else:
        (calls, calls_on), (looks, looks_on) = _used(start[0]), _used(start[1])
    return (
        _Side(calls, calls_on, _of_calls(best, games, calls)),
        _Side(looks, looks_on, _of_looks(best, games, looks)),
    )


def _used(mix: Floats) -> tuple[Ints, Bools]:
    """Members of every mix, the heaviest first, and which places are filled."""
    widest = int((mix > 0.0).sum(axis=1).max(initial=1))
    members = np.argsort(-mix, axis=1, kind="stable")[:, :widest]
    return members, np.take_along_axis(mix, members, axis=1) > 0.0
