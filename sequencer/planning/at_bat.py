"""Solve the at-bat, a zero-sum stochastic game over the count.

Counts are solved from the last backward. With two strikes a foul keeps the count, so those states
hang on each other (`staying`).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning.arrays import Floats
from sequencer.planning.factored import FactoredGame
from sequencer.planning.matrix_game import GameSolution, solve_checked
from sequencer.planning.open_at_bat import solve_every_look
from sequencer.planning.replies import (
    AtBatValue,
    chances_to_stay,
    evaluate_at_bat,
    evaluate_tables,
    runs_of_looks,
    value_of_looks,
)
from sequencer.planning.solution import AtBatSolution
from sequencer.planning.stages import (
    COUNTS_BACKWARD,
    TWO_STRIKES,
    AtBatTables,
    Stages,
    at_bat_tables,
    one_hitter,
    one_hitter_if_given,
)
from sequencer.planning.staying import settled

__all__ = [
    "AtBatSolution",
    "AtBatTables",
    "AtBatValue",
    "at_bat_tables",
    "evaluate_at_bat",
    "evaluate_tables",
    "solve_at_bat",
    "solve_every_look",
    "solve_tables",
]


def solve_at_bat(
    outcomes: ArrayLike,
    end_runs: ArrayLike,
    next_last: ArrayLike,
    walk: float,
    strikeout: float,
    hit_by_pitch: float,
    call_runs: ArrayLike | None = None,
    habit: ArrayLike | None = None,
    trust: float = 0.0,
    allowed: ArrayLike | None = None,
) -> AtBatSolution:
    """Solve one at-bat exactly.

    Parameters
    ----------
    outcomes
        (4, 3, lasts, calls, looks, 5); the others likewise as in ``at_bat_tables``, without the
        hitters in front.

    Raises
    ------
    BadGame
        For wrong shapes, numbers that are not finite, probabilities that do not sum to one.
    """
    tables = at_bat_tables(
        one_hitter("outcomes", outcomes),
        one_hitter("end runs", end_runs),
        next_last,
        walk,
        strikeout,
        hit_by_pitch,
        call_runs=one_hitter_if_given("call runs", call_runs),
        habit=one_hitter_if_given("habit", habit),
        trust=trust,
        allowed=allowed,
    )
    return solve_tables(tables).one(0)


def solve_tables(tables: Stages) -> AtBatSolution:
    """Solve the at-bats of several hitters, all states of a count at once.

    A factored game's looks are all there are, and the solution's are of those it needed: see
    ``solve_every_look``.
    """
    if isinstance(tables, FactoredGame):
        return solve_every_look(tables)[0]
    hitters, lasts, calls, looks = tables.sizes
    values = tables.blank_values()
    solution = AtBatSolution(
        value=values[:, :4, :3],
        mix=np.zeros((hitters, 4, 3, lasts, calls)),
        looks=np.zeros((hitters, 4, 3, lasts, looks)),
        gap=np.zeros((hitters, 4, 3, lasts)),
    )
    near: GameSolution | None = None
    for balls, strikes in COUNTS_BACKWARD:
        stage = _Stage(tables, tables.payoffs(values, balls, strikes), balls, strikes)
        if strikes == TWO_STRIKES:
            guess = values[:, balls + 1, strikes] if balls < 3 else np.zeros((hitters, lasts))
            near = settled(stage, guess, near)
        else:
            near = stage.solve(None, near)
        where = np.s_[:, balls, strikes]
        solution.value[where] = near.value.reshape(hitters, lasts)
        solution.gap[where] = near.gap.reshape(hitters, lasts)
        solution.mix[where] = near.calls.reshape(hitters, lasts, calls)
        solution.looks[where] = near.looks.reshape(hitters, lasts, looks)
    return solution


@dataclass(frozen=True, eq=False)
class _Stage:
    """The states of a count: payoffs without what fouls lead to where they keep the count."""

    tables: Stages
    payoffs: Floats
    balls: int
    strikes: int

    @cached_property
    def fixed(self) -> Floats:
        """(hitters, lasts, calls, looks)."""
        return self.tables.leaning(self.payoffs, self.balls, self.strikes)

    @cached_property
    def fouls(self) -> Floats:
        """(hitters, lasts, calls, looks)."""
        return self.tables.leaning(self.tables.fouls(self.balls), self.balls, self.strikes)

    def solve(self, guess: Floats | None, near: GameSolution | None) -> GameSolution:
        """Solve the states of all hitters, starting near a solution."""
        payoffs = self.fixed
        if guess is not None:
            payoffs = payoffs + self.fouls * guess[:, self.tables.next_last][:, None, :, None]
        lasts, calls, looks = payoffs.shape[1:]
        mask = np.repeat(self.tables.allowed, lasts, axis=0)
        start = None if near is None else (near.calls, near.looks)
        return solve_checked(payoffs.reshape(-1, calls, looks), mask, start)

    def nears(self, played: GameSolution) -> Floats:
        """(hitters,): least chance that a pitch against either side's mix is not fouled."""
        calls, looks = self._mixes(played)
        of_looks = runs_of_looks(calls, self.fouls).max(axis=(1, 2))
        of_calls = np.matmul(self.fouls, looks[..., None])[..., 0]
        allowed = self.tables.allowed[:, None, :]
        most = of_calls.max(axis=(1, 2), where=allowed, initial=0.0)
        nears: Floats = 1.0 - np.maximum(of_looks, most)
        return nears

    def of_both(self, played: GameSolution) -> Floats:
        """(hitters, lasts): what the states are worth when both sides keep to their mixes."""
        calls, looks = self._mixes(played)
        stay = chances_to_stay(self.tables, calls, self.fouls)
        return value_of_looks(looks, runs_of_looks(calls, self.fixed), stay)

    def _mixes(self, played: GameSolution) -> tuple[Floats, Floats]:
        hitters, lasts, calls, looks = self.fixed.shape
        return (
            played.calls.reshape(hitters, lasts, calls),
            played.looks.reshape(hitters, lasts, looks),
        )
