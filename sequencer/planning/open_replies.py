"""What a mix of calls is worth in a factored game: no stage game is formed, every look looked at.

As in `replies`, by policy iteration (Howard 1960) where fouls play on.
"""

from typing import Final

import numpy as np

from sequencer.planning import every_look
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import Look
from sequencer.planning.stages import (
    COUNTS_BACKWARD,
    ENDLESS,
    TWO_STRIKES,
    ahead_of,
    worth_of_staying,
)

#: Gain of a policy over another, as a share of a run, that is only rounding (measured).
SAME: Final = 1e-14
#: Policies tried at most; each is better than the last, and a handful are (assumption).
POLICIES: Final = 1_000


def against_looks(game: FactoredGame, mix: Floats, policy: Floats) -> Floats:
    """Value a mix against given mixes of the looks at hand: (hitters, 4, 3, lasts)."""
    values = game.blank_values()
    for balls, strikes in COUNTS_BACKWARD:
        where = np.s_[:, balls, strikes]
        weighed = game.factors.weigh(policy[where], 3 * balls + strikes, game.columns)
        values[where] = _value(game, values, mix[where], balls, strikes, weighed)
    return values[:, :4, :3].copy()


def best_replies(game: FactoredGame, mix: Floats) -> tuple[Floats, Floats, tuple[Look, ...]]:
    """Value a mix against the best of all looks.

    Returns
    -------
    tuple
        Values (hitters, 4, 3, lasts), the replies as mixes (..., looks), and what these looks are
        called: those at hand, then any others.
    """
    values, numbers = _replied(game, mix, np.zeros(len(mix)))
    return values, *_named(game.looks, numbers)


def leaning_worth(game: FactoredGame, mix: Floats, since: tuple[int, int] = (0, 0)) -> Floats:
    """Value a mix, (hitters, 4, 3, lasts), as the game does that it was solved in.

    The look is drawn from the habit as often as the game trusts it, and is else a best reply.
    Counts before `since` (balls, strikes) are left out.
    """
    return _replied(game, mix, game.trust, since)[0]


def _replied(
    game: FactoredGame, mix: Floats, trust: Floats, since: tuple[int, int] = (0, 0)
) -> tuple[Floats, Ints]:
    """Find runs and numbers of best replies, (hitters, 4, 3, lasts), the habit drawn so often."""
    values, numbers = game.blank_values(), np.zeros(mix.shape[:-1], dtype=np.intp)
    for balls, strikes in ahead_of(since):
        where = np.s_[:, balls, strikes]
        values[where], numbers[where] = _reply(game, values, mix[where], balls, strikes, trust)
    return values[:, :4, :3].copy(), numbers


def _reply(
    game: FactoredGame,
    values: Floats,
    calls: Floats,
    balls: int,
    strikes: int,
    trust: Floats,
) -> tuple[Floats, Ints]:
    """(hitters, lasts) runs of a count and numbers of the best replies."""
    now, count, factors = values.copy(), 3 * balls + strikes, game.factors
    shape, share = calls.shape[:2], trust[:, None, None]
    ceiling = np.repeat(factors.ceiling[:, count], shape[1])
    usual = np.repeat(factors.usual[:, :, count], shape[1], axis=1)
    habit = factors.habit_parts[:, :, count, None]
    best = np.full(shape, -1)
    for _ in range(POLICIES):
        met, before = game.met(now, balls, strikes, calls), best
        runs, numbers = every_look.best(met.reshape(2, -1, met.shape[-1]), ceiling)
        first = runs.argmax(axis=1)[:, None]
        best = np.take_along_axis(numbers, first, axis=1).reshape(shape)
        if strikes < TWO_STRIKES:
            drawn = (met * habit).sum(axis=(0, 3))
            reply = runs.max(axis=1).reshape(shape)
            return trust[:, None] * drawn + (1.0 - trust[:, None]) * reply, best
        weighed = every_look.weigh(best.reshape(-1, 1), ceiling, usual)[..., 0].reshape(met.shape)
        weighed = share * habit + (1.0 - share) * weighed
        found = _value(game, values, calls, balls, strikes, weighed)
        better = np.abs(found - now[:, balls, strikes]).max()
        now[:, balls, strikes] = found
        if better <= SAME * (1.0 + np.abs(found).max()) or (best == before).all():
            break
    return found, best


def _value(
    game: FactoredGame, values: Floats, calls: Floats, balls: int, strikes: int, weighed: Floats
) -> Floats:
    """(hitters, lasts): runs of looks, as they weigh parts, that fouls may have play on."""
    met = game.factors.met(game.terms(values, balls, strikes), calls)
    gains: Floats = (met * weighed).sum(axis=(0, 3))
    if strikes < TWO_STRIKES:
        return gains
    fouls = np.minimum(game.factors.by_call(game.foul_terms(balls), weighed), ENDLESS)
    moves = np.matmul(calls * fouls, np.eye(calls.shape[1])[game.next_last])
    return worth_of_staying(gains, moves)


def _named(looks: tuple[Look, ...], numbers: Ints) -> tuple[Floats, tuple[Look, ...]]:
    """Give looks by number as mixes, (hitters, 4, 3, lasts, looks), and what these are called."""
    used, at = np.unique(numbers, return_inverse=True)
    places = {look: i for i, look in enumerate(looks)}
    named = [places.setdefault(every_look.look_of(int(number)), len(places)) for number in used]
    every: Floats = np.eye(len(places))[named]
    return every[at.reshape(numbers.shape)], tuple(places)
