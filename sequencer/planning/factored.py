"""Stage games held in their factors, formed only as far as they are asked for.

The last pitch bears on a call through one of a few kinds, and a look weighs a few parts: a pitch is
worked out once for each kind, call and part, and read for any last pitch and any look. Against a
mix of calls a look can be judged without any stage game being formed, so the best of all looks, not
only of those at hand, is found by looking them all through.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Self

import numpy as np

from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.beliefs import FAST, SOFT
from sequencer.planning.families import Parts
from sequencer.planning.looks import LOOKS, PARTS, Columns, Look, columns
from sequencer.planning.open_games import OpenGames
from sequencer.planning.stages import (
    BALL,
    ENDLESS,
    FOUL,
    HIT_BY_PITCH,
    STRIKE,
    TWO_STRIKES,
    Stages,
)


@dataclass(frozen=True, eq=False)
class Factors:
    """What a game's arrays are made of.

    Attributes
    ----------
    parts : Parts
    ceiling : array (hitters, 12)
        How much of a take really is one.
    usual : array (fast or soft, hitters, 12, parts)
        Each hitter's usual swings.
    habit : array (hitters, 12, looks where games begin)
    sides : array (calls,)
        Whether a call is taken for a fast pitch or a soft one.
    kinds : array (lasts, calls)
        Which kind of last pitch each of them is to a call.
    """

    parts: Parts
    ceiling: Floats
    usual: Floats
    habit: Floats
    sides: Ints
    kinds: Ints

    @cached_property
    def by_side(self) -> tuple[tuple[int, Ints], ...]:
        """The sides that are thrown, with the calls of each."""
        members = ((side, np.flatnonzero(self.sides == side)) for side in (FAST, SOFT))
        return tuple((side, calls) for side, calls in members if calls.size)

    @cached_property
    def of_kind(self) -> tuple[Floats, ...]:
        """For each kind of last pitch, (lasts, calls) of ones where it is that."""
        kinds = self.parts.runs.shape[2]
        return tuple((self.kinds == kind).astype(np.float64) for kind in range(kinds))

    @cached_property
    def habit_parts(self) -> Floats:
        """(fast or soft, hitters, 12, parts): the habit as it weighs parts."""
        looks, whole = columns(LOOKS), self.habit[:, :, None]
        return np.stack([self.weigh(whole[:, n], n, looks)[:, :, 0] for n in range(12)], axis=2)

    def read(self, parts: Floats, count: int, looks: Columns) -> Floats:
        """Read (hitters, kinds, calls, parts) in a count for looks: (..., calls, looks)."""
        out = np.empty((*parts.shape[:-1], looks.takes.size))
        for side, calls in self.by_side:
            here = parts[:, :, calls]
            read = np.matmul(here, looks.weights[side])
            if looks.usual.any():
                usual = np.matmul(here, self.usual[side][:, count, :, None][:, None])
                read[..., looks.usual] = usual
            out[:, :, calls] = read
        ceiling = self.ceiling[:, count, None, None, None]
        out[..., looks.takes] *= 1.0 - ceiling
        out[..., looks.takes] += ceiling * parts[..., :1]
        return out

    def by_last(self, read: Floats) -> Floats:
        """(hitters, lasts, calls, looks) of (hitters, kinds, calls, looks)."""
        return read[:, self.kinds, np.arange(self.sides.size)]

    def weigh(self, looks: Floats, count: int, at: Columns) -> Floats:
        """Weigh parts as mixes of looks do: (fast or soft, hitters, lasts, parts)."""
        ceiling = self.ceiling[:, count, None]
        swings = looks * (1.0 - ceiling[..., None] * at.takes)
        weighed = np.stack([swings @ at.weights[side].T for side in (FAST, SOFT)])
        usual = swings[..., at.usual].sum(axis=-1)
        weighed += usual[..., None] * self.usual[:, :, count, None]
        weighed[..., 0] += ceiling * looks[..., at.takes].sum(axis=-1)
        return weighed

    def met(self, parts: Floats, mix: Floats) -> Floats:
        """Mix (hitters, kinds, calls, parts) over calls: (fast or soft, hitters, lasts, parts)."""
        met = np.zeros((2, *mix.shape[:2], PARTS))
        for kind, where in enumerate(self.of_kind):
            shares = mix * where
            for side, calls in self.by_side:
                met[side] += np.matmul(shares[..., calls], parts[:, kind, calls])
        return met

    def by_call(self, parts: Floats, weighed: Floats) -> Floats:
        """Weigh (hitters, kinds, calls, parts): (hitters, lasts, calls)."""
        out = np.zeros((*weighed.shape[1:3], self.sides.size))
        for kind, where in enumerate(self.of_kind):
            for side, calls in self.by_side:
                read = np.matmul(weighed[side], parts[:, kind, calls].swapaxes(-1, -2))
                out[..., calls] += where[:, calls] * read
        return out


@dataclass(frozen=True, eq=False)
class FactoredGame(Stages):
    """Stage games read from factors, over the looks at hand.

    Attributes
    ----------
    factors : Factors
    ruled : array (hitters, 12, calls)
        Runs put on calls that are ruled out.
    looks : tuple of Look
        At hand; whichever else gains is taken in as games are solved.
    """

    factors: Factors
    ruled: Floats
    looks: tuple[Look, ...]

    @property
    def sizes(self) -> tuple[int, int, int, int]:
        """Numbers of hitters, lasts, calls and looks."""
        return len(self.ruled), *self.factors.kinds.shape, len(self.looks)

    @cached_property
    def columns(self) -> Columns:
        """The looks at hand as parts weigh them."""
        return columns(self.looks)

    @cached_property
    def fixed(self) -> Floats:
        """(hitters, 12, kinds, calls, parts): runs of a pitch that need no next one."""
        parts = self.factors.parts
        fixed: Floats = parts.chances[HIT_BY_PITCH] * self.hit_by_pitch[:, None, None, None, None]
        fixed += parts.runs
        fixed += (parts.by_the_way + self.ruled[..., None])[:, :, None]
        return fixed

    def terms(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, kinds, calls, parts): runs of a pitch, fouls with two strikes left out."""
        count, after = 3 * balls + strikes, self.after(values, balls, strikes)
        chances = self.factors.parts.chances
        terms: Floats = self.fixed[:, count].copy()
        for part, runs in zip((BALL, STRIKE, FOUL), after, strict=True):
            if part != FOUL or strikes < TWO_STRIKES:
                terms += chances[part][:, count] * runs[:, None, :, None]
        return terms

    def foul_terms(self, balls: int) -> Floats:
        """(hitters, kinds, calls, parts): chance that two strikes stay two."""
        terms: Floats = self.factors.parts.chances[FOUL][:, 3 * balls + TWO_STRIKES]
        return terms

    def payoffs(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, lasts, calls, looks): runs of a pitch, fouls with two strikes left out."""
        terms = self.terms(values, balls, strikes)
        return self.factors.by_last(self.factors.read(terms, 3 * balls + strikes, self.columns))

    def first_stage(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, calls, looks): the stage game of a count after no last pitch, at trust 0."""
        terms, count = self.whole_terms(values, balls, strikes), 3 * balls + strikes
        first = terms[:, self.factors.kinds[0], np.arange(terms.shape[2])]
        read: Floats = self.factors.read(first[:, None], count, self.columns)[:, 0]
        return read

    def whole_terms(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, kinds, calls, parts): runs of a pitch, fouls and all."""
        terms = self.terms(values, balls, strikes)
        if strikes == TWO_STRIKES:
            again = values[:, balls, strikes][:, self.next_last]
            terms += self.foul_terms(balls) * again[:, None, :, None]
        return terms

    def fouls(self, balls: int) -> Floats:
        """(hitters, lasts, calls, looks): chance that two strikes stay two."""
        terms, count = self.foul_terms(balls), 3 * balls + TWO_STRIKES
        read = self.factors.read(terms, count, self.columns)
        return self.factors.by_last(np.minimum(read, ENDLESS, out=read))

    def open_games(self, terms: Floats, count: int) -> OpenGames:
        """Return the states of a count as open games, hitters and lasts in one axis.

        terms: (hitters, kinds, calls, parts) runs of a pitch.
        """
        lasts, factors = self.sizes[1], self.factors

        def each(array: Floats, axis: int = 0) -> Floats:
            return np.repeat(array, lasts, axis=axis)

        return OpenGames(
            self.open_terms(terms),
            np.repeat(self.allowed, lasts, axis=0),
            each(factors.ceiling[:, count]),
            each(factors.usual[:, :, count], 1),
            each(factors.habit_parts[:, :, count], 1),
            each(self.trust),
        )

    def open_terms(self, terms: Floats) -> tuple[tuple[Ints, Floats], ...]:
        """Return (hitters, kinds, calls, parts) for every state, by side, as open games do."""
        found, kinds = [], self.factors.kinds
        for side in (FAST, SOFT):
            calls = np.flatnonzero(self.factors.sides == side)
            here = terms[:, kinds[:, calls], calls]
            found.append((calls, here.reshape(len(terms) * len(kinds), calls.size, PARTS)))
        return tuple(found)

    def with_looks(self, looks: tuple[Look, ...]) -> Self:
        """Return the game with more looks at hand, those it has first."""
        habit = self.habit
        if habit is not None:
            none = np.zeros((*habit.shape[:-1], len(looks) - habit.shape[-1]))
            habit = np.concatenate([habit, none], axis=-1)
        return replace(self, looks=looks, habit=habit)

    def met(self, values: Floats, balls: int, strikes: int, calls: Floats) -> Floats:
        """(fast or soft, hitters, lasts, parts): runs against a mix of calls, fouls and all."""
        return self.factors.met(self.whole_terms(values, balls, strikes), calls)

    def of(self, hitter: int) -> Self:
        """Return one hitter's game."""
        here, factors = slice(hitter, hitter + 1), self.factors
        parts = factors.parts
        return replace(
            self,
            walk=self.walk[here],
            strikeout=self.strikeout[here],
            hit_by_pitch=self.hit_by_pitch[here],
            habit=None if self.habit is None else self.habit[here],
            trust=self.trust[here],
            allowed=self.allowed[here],
            ruled=self.ruled[here],
            factors=replace(
                factors,
                parts=Parts(parts.chances[:, here], parts.runs[here], parts.by_the_way[here]),
                ceiling=factors.ceiling[here],
                usual=factors.usual[:, here],
                habit=factors.habit[here],
            ),
        )
