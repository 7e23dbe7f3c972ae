"""What hitters face when calls are mixed in a fixed way: a decision process, summed over calls.

Once the calls are summed away, any number of looks can be valued over the whole at-bat, and the
best ones found, in a few small products: a policy's worth is exact, nothing is drawn.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.planning import every_look
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import PARTS
from sequencer.planning.stages import (
    BALL,
    COUNTS_BACKWARD,
    FOUL,
    STRIKE,
    TWO_STRIKES,
    worth_of_staying,
)

#: Rounds of policy iteration at most; a handful are needed (assumption).
_ROUNDS: Final = 100
#: A policy whose values move by less than this is the best one (rounding; measured).
_STILL: Final = 1e-13


@dataclass(frozen=True, eq=False)
class Faced:
    """The decision processes of several hitters, each against one way of mixing calls.

    Attributes
    ----------
    leads : array (hitters, 12, lasts, 3 * lasts + 1, 2 * parts)
        For each part of a look at a fast and then at a soft pitch: the chance of a ball, of a
        strike and of a foul by the last pitch it leaves, and the runs that need no next pitch.
    ceiling : array (hitters, 12)
        How much of a take really is one.
    usual : array (fast or soft, hitters, 12, parts)
        Their usual swings.
    ends : array (hitters, 2)
        Runs of a walk and of a strikeout.
    """

    leads: Floats
    ceiling: Floats
    usual: Floats
    ends: Floats

    @classmethod
    def of(cls, game: FactoredGame, *ways: Floats) -> "Faced":
        """Sum mixes of calls, each (hitters, 4, 3, lasts, calls), out of a game.

        The ways of mixing come one after another in the axis of hitters.
        """
        many, (hitters, lasts, calls, _), factors = len(ways), game.sizes, game.factors
        shares = np.stack([mix.reshape(hitters, 12, lasts, calls) for mix in ways], axis=2)
        leads = np.zeros((many, hitters, 12, lasts, 3 * lasts + 1, 2, PARTS))
        chances = factors.parts.chances[[BALL, STRIKE, FOUL]]
        for kind, where in enumerate(factors.of_kind):
            here = (shares * where).reshape(hitters, 12, many * lasts, calls)

            def summed(parts: Floats, members: Ints, here: Floats = here) -> Floats:
                """(ways, hitters, 12, lasts, parts): over some calls."""
                mixed = np.matmul(here[..., members], parts)
                return np.moveaxis(mixed.reshape(hitters, 12, many, lasts, PARTS), 2, 0)

            for side, members in factors.by_side:
                fixed = game.fixed[:, :, kind, members]
                leads[..., -1, side, :] += summed(fixed, members)
                for last in np.unique(game.next_last[members]):
                    some = members[game.next_last[members] == last]
                    for k, parts in enumerate(chances[:, :, :, kind, some]):
                        leads[..., k * lasts + int(last), side, :] += summed(parts, some)
        ends = np.column_stack([game.walk, game.strikeout])
        return cls(
            leads.reshape(many * hitters, 12, lasts, 3 * lasts + 1, 2 * PARTS),
            np.tile(factors.ceiling, (many, 1)),
            np.tile(factors.usual, (1, many, 1, 1)),
            np.tile(ends, (many, 1)),
        )

    @property
    def lasts(self) -> int:
        """How many last pitches are told apart."""
        return int(self.leads.shape[2])

    def worth(self, policies: Floats) -> Floats:
        """Value policies over the whole at-bat from every state, exactly.

        Parameters
        ----------
        policies : array (..., hitters, 12, lasts, 2 * parts)
            Looks as they weigh parts in every state.

        Returns
        -------
        array (..., hitters, 4, 3, lasts)
        """
        moves = np.matmul(self.leads, policies[..., None])[..., 0]
        values = self._blank(moves.shape[:-3])
        for balls, strikes in COUNTS_BACKWARD:
            here = moves[..., 3 * balls + strikes, :, :]
            values[..., balls, strikes, :] = self._value(values, here, balls, strikes)
        found: Floats = values[..., :4, :3, :]
        return found

    def reply(self) -> Floats:
        """Return the best looks of all there are, (hitters, 12, lasts, 2 * parts)."""
        values = self._blank(self.leads.shape[:1])
        policy = np.zeros((*self.leads.shape[:3], 2 * PARTS))
        for balls, strikes in COUNTS_BACKWARD:
            where = np.s_[:, 3 * balls + strikes]
            for _ in range(_ROUNDS):
                policy[where] = self._best(values, balls, strikes)
                moves = np.matmul(self.leads[where], policy[where][..., None])[..., 0]
                found = self._value(values, moves, balls, strikes)
                moved = np.abs(found - values[:, balls, strikes]).max()
                values[:, balls, strikes] = found
                if strikes < TWO_STRIKES or moved < _STILL:
                    break
        return policy

    def _blank(self, leading: tuple[int, ...]) -> Floats:
        """(..., hitters, 5 balls, 4 strikes, lasts): what an at-bat ends with, the rest nought."""
        values = np.zeros((*leading, 5, 4, self.lasts))
        values[..., 4, :, :] = self.ends[:, None, :1]
        values[..., :, 3, :] = self.ends[:, None, 1:]
        return values

    def _value(self, values: Floats, moves: Floats, balls: int, strikes: int) -> Floats:
        """(..., hitters, lasts): runs of a count whose looks lead where (..., moves) says."""
        ball, strike, foul = (moves[..., k * self.lasts : (k + 1) * self.lasts] for k in range(3))
        balled: Floats = np.matmul(ball, values[..., balls + 1, strikes, :, None])[..., 0]
        struck: Floats = np.matmul(strike, values[..., balls, strikes + 1, :, None])[..., 0]
        runs: Floats = moves[..., -1] + balled + struck
        if strikes < TWO_STRIKES:
            fouled: Floats = np.matmul(foul, values[..., balls, strikes + 1, :, None])[..., 0]
            return fouled + runs
        return worth_of_staying(runs, foul)

    def _best(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, lasts, 2 * parts): the looks that gain most at the values of the counts."""
        count, lasts = 3 * balls + strikes, self.lasts
        fouled = strikes if strikes == TWO_STRIKES else strikes + 1
        after = np.concatenate(
            [
                values[:, balls + 1, strikes],
                values[:, balls, strikes + 1],
                values[:, balls, fouled],
                np.ones((len(values), 1)),
            ],
            axis=1,
        )
        met = np.matmul(after[:, None, None, :], self.leads[:, count])[..., 0, :]
        states = np.moveaxis(met.reshape(-1, 2, PARTS), 1, 0)
        ceiling = np.repeat(self.ceiling[:, count], lasts)
        runs, numbers = every_look.best(states, ceiling)
        chosen = np.take_along_axis(numbers, runs.argmax(axis=1)[:, None], axis=1)
        usual = np.repeat(self.usual[:, :, count], lasts, axis=1)
        weighed = every_look.weigh(chosen, ceiling, usual)[..., 0]
        return np.moveaxis(weighed, 0, 1).reshape(met.shape)
