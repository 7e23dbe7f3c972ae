"""Counts that a foul may keep: states that hang on each other, carried to their fixed point.

Values of such states are a fixed point (Shapley 1953), found by Newton steps on the mixes
(Pollatschek and Avi-Itzhak 1969) and proved by contraction.
"""

from dataclasses import replace
from typing import Protocol, TypeVar

import numpy as np

from sequencer.planning.arrays import Floats
from sequencer.planning.matrix_game import GameSolution
from sequencer.planning.open_games import OpenSolution

PRECISION = 1e-10
"""Proved distance of two-strike values from the fixed point, in runs (a chosen precision)."""
ROUNDING = 1e-14
"""Share of a value that floats cannot be asked to settle beyond (measured: 50 roundings)."""
STEPS = 2_000
"""Newton and contraction steps before the distance is reported as it stands (assumption)."""

Played = TypeVar("Played", GameSolution, OpenSolution)
Near = TypeVar("Near", contravariant=True)


class Staying(Protocol[Played, Near]):
    """The states of a count that fouls tie to one another."""

    def solve(self, guess: Floats, near: Near | Played | None) -> Played:
        """Solve them when staying is worth a guess, (hitters, lasts), starting near something."""

    def nears(self, played: Played) -> Floats:
        """(hitters,): least chance that a pitch against either side's mix is not fouled.

        What a mix guarantees moves with the values that follow a foul by at most one less this, so
        a step that moves them by d leaves them within d over this of the fixed point.
        """

    def of_both(self, played: Played) -> Floats:
        """(hitters, lasts): what the states are worth when both sides keep to their mixes."""


def settled(states: Staying[Played, Near], guess: Floats, near: Near | None) -> Played:
    """Solve states that fouls tie to one another; the gap says how far they may be off."""
    nearest = guess
    least = np.full(guess.shape[0], np.inf)
    played = states.solve(guess, near)
    for _ in range(STEPS):
        found = played.value.reshape(guess.shape)
        moved = np.abs(found - guess).max(axis=1)
        nears = states.nears(played)
        sure = np.maximum(played.gap.reshape(guess.shape).max(axis=1), ROUNDING * abs(found).max(1))
        done = moved <= np.maximum(PRECISION * nears, sure)
        if done.all():
            break
        nearer = moved < least
        least, nearest = np.minimum(moved, least), np.where(nearer[:, None], found, nearest)
        newton = states.of_both(played)
        ahead = np.where(nearer[:, None], newton, nearest)  # after a bad step, one that must near
        guess = np.where(done[:, None], guess, ahead)
        played = states.solve(guess, played)
    moved = np.abs(played.value.reshape(guess.shape) - guess).max(axis=1)
    lasts = guess.shape[1]
    nears = np.repeat(states.nears(played), lasts)
    return replace(played, gap=(played.gap + 2.0 * np.repeat(moved, lasts)) / nears)
