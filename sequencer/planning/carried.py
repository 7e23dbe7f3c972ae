"""The at-bat as a card meets it: six rows of calls, and nothing hangs on the last pitch.

A card is valued against the best reply to it over the whole at-bat, leaning on the habit as far
as the book is trusted. Only a few looks are ever such a reply, so a card is searched for against
those, which are grown until no other look gains.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final, TypeAlias

import numpy as np

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.solved import Solved
from sequencer.planning.stages import (
    COUNTS_BACKWARD,
    TWO_STRIKES,
)

#: (balls, strikes) -> the card's row.
ROW_OF: Final = MappingProxyType(
    {(count.balls, count.strikes): row for row, counts in CARD_ROWS.items() for count in counts}
)
#: What a pitch leads to, the last axis but one of `CardGame.parts`.
_BALL, _STRIKE, _FOUL, _FIXED = range(4)

#: Row -> (choices, cards or 1) shares.
Rows: TypeAlias = Mapping[str, Floats]
#: Runs a plate appearance that a card which leans on the book may guarantee less than its plan
#: before that weighs against it, and how much it then weighs against what leaning saves (choices: a
#: card is to lose no more than .35 runs per 100, and the last pitch moves that by some hundredths).
MAY_LOSE: Final = 0.0028
WEIGHS: Final = 10.0


@dataclass(frozen=True, eq=False)
class CardGame:
    """One hitter's at-bat, nothing shown by the pitch before.

    Attributes
    ----------
    parts : array (4, 3, calls, 4, looks)
        Of a call against a look: chances of ball, strike and foul, and runs that need no next
        pitch; each look the habit's as often as the book is trusted.
    walk, strikeout : float
        Runs.
    played : array (4, 3, looks)
        Looks of the plan's solution.
    allowed : array (calls,)
    slack : array (4, 3, calls)
        Runs, an at-bat, that a call costs against the looks of the plan's solution: nought for
        what the solution calls.
    use : array (4, 3, calls)
        How many pitches of an at-bat the plan makes this call in this count.
    limit : float
        What best replies may make of a card without weighing; minus infinity when all weighs, once.
    """

    parts: Floats
    walk: float
    strikeout: float
    played: Bools
    allowed: Bools
    slack: Floats
    use: Floats
    limit: float = -np.inf

    def reply(self, mix: Floats) -> tuple[float, Ints]:
        """Return the runs of a best reply to one card (4, 3, calls), and its looks (4, 3)."""
        values = np.zeros((5, 4))
        values[4], values[:, 3] = self.walk, self.strikeout
        looks = np.zeros((4, 3), dtype=np.intp)
        for balls, strikes in COUNTS_BACKWARD:
            used = np.flatnonzero(mix[balls, strikes])
            met = np.tensordot(mix[balls, strikes, used], self.parts[balls, strikes, used], 1)
            runs = met[_FIXED] + met[_BALL] * values[balls + 1, strikes]
            runs += met[_STRIKE] * values[balls, strikes + 1]
            if strikes == TWO_STRIKES:
                runs /= 1.0 - met[_FOUL]
            else:
                runs += met[_FOUL] * values[balls, strikes + 1]
            looks[balls, strikes] = runs.argmax()
            values[balls, strikes] = runs.max()
        return float(values[0, 0]), looks

    @property
    def weighs_all(self) -> bool:
        """True when all that a best reply makes weighs, once."""
        return self.limit == -np.inf

    def weight(self, value: Floats) -> Floats:
        """Return how much what a best reply makes weighs in a search."""
        if self.weighs_all:
            return value
        over: Floats = WEIGHS * np.maximum(value - self.limit, 0.0)
        return over

    def narrowed(self, choices: Mapping[str, Ints], looks: Bools) -> "NarrowGame":
        """Return the game on each row's choices and on some looks (4, 3, looks)."""
        parts = {}
        for (b, s), row in ROW_OF.items():
            here = self.parts[b, s, choices[row]][..., looks[b, s]]
            parts[b, s] = np.ascontiguousarray(here.reshape(choices[row].size, -1).T)
        return NarrowGame(parts, self.walk, self.strikeout)


@dataclass(frozen=True, eq=False)
class NarrowGame:
    """A card's game on a few calls and looks: (balls, strikes) -> (4 x looks, choices)."""

    parts: Mapping[tuple[int, int], Floats]
    walk: float
    strikeout: float

    def value(self, rows: Rows) -> Floats:
        """Return runs of a best reply to each of several cards, (cards or 1,)."""
        values: dict[tuple[int, int], Floats] = {(4, s): np.array([self.walk]) for s in range(3)}
        for balls, strikes in COUNTS_BACKWARD:
            mix = rows[ROW_OF[balls, strikes]]
            met = (self.parts[balls, strikes] @ mix).reshape(4, -1, mix.shape[1])
            runs = met[_FIXED] + met[_BALL] * values[balls + 1, strikes]
            if strikes == TWO_STRIKES:
                runs = (runs + met[_STRIKE] * self.strikeout) / (1.0 - met[_FOUL])
            else:
                runs = runs + (met[_STRIKE] + met[_FOUL]) * values[balls, strikes + 1]
            values[balls, strikes] = runs.max(axis=0)
        return values[0, 0]


def card_games(solved: Solved) -> list[tuple[CardGame, ...]]:
    """Return for every hitter the games that a card of his is searched in.

    One; where the book is leaned on, also the one against a best reply alone, with what a card may
    lose there.
    """
    parts = solved.tables.terms()
    return [_games(solved, parts[h], h) for h in range(len(solved.mix))]


def _games(solved: Solved, parts: Floats, hitter: int) -> tuple[CardGame, ...]:
    tables, trust = solved.tables, float(solved.trust[hitter])
    leaning = parts
    if trust > 0.0:
        usual = np.matmul(parts, tables.habit[hitter, :, :, 0, None, :, None])
        leaning = (1.0 - trust) * parts + trust * usual
    looks = solved.looks[hitter, :, :, 0]
    slack, use = _measured(solved, hitter, np.matmul(leaning, looks[:, :, None, :, None])[..., 0])
    game = CardGame(
        leaning,
        tables.stakes.walk,
        tables.stakes.strikeout,
        looks > 0.0,
        tables.allowed[hitter],
        slack,
        use,
    )
    if trust == 0.0:
        return (game,)
    none, limit = np.zeros(slack.shape), float(solved.guarantee[hitter, 0, 0, 0]) + MAY_LOSE
    return (game, replace(game, parts=parts, slack=none, use=none, limit=limit))


def _measured(solved: Solved, hitter: int, met: Floats) -> tuple[Floats, Floats]:
    """Return `CardGame.slack` and `.use`; met: (4, 3, calls, 4) against the solution's looks."""
    stakes = solved.tables.stakes
    values = np.zeros((5, 4))
    values[4], values[:, 3] = stakes.walk, stakes.strikeout
    values[:4, :3] = solved.value[hitter, :, :, 0]
    mix = solved.mix[hitter, :, :, 0]
    slack, use, come = np.zeros(mix.shape), np.zeros(mix.shape), np.zeros((5, 4))
    come[0, 0] = 1.0
    for balls, strikes in sorted(np.ndindex(4, 3), key=sum):
        here = met[balls, strikes]
        fouled = values[balls, strikes + (strikes < TWO_STRIKES)]
        after = [values[balls + 1, strikes], values[balls, strikes + 1], fouled, 1.0]
        runs = here @ np.array(after)
        ball, strike, foul = mix[balls, strikes] @ here[:, :_FIXED]
        kept = strikes == TWO_STRIKES
        pitches = come[balls, strikes] / (1.0 - foul if kept else 1.0)
        come[balls + 1, strikes] += pitches * ball
        come[balls, strikes + 1] += pitches * (strike + (0.0 if kept else foul))
        slack[balls, strikes] = pitches * (runs - runs.min())
        use[balls, strikes] = pitches * mix[balls, strikes]
    return slack, use
