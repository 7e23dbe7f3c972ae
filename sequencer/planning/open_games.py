"""Stage games whose looks are all there are, solved by growing sets of calls and looks.

As in `growing` (McMahan, Gordon and Blum 2003), but a game is never formed: replies are looked for
among every look (`every_look`), and each game keeps the few calls and looks that it needs.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Final, Self

import numpy as np

from sequencer.planning import every_look
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.beliefs import FAST, SOFT
from sequencer.planning.looks import Look
from sequencer.planning.members import spread_out, used
from sequencer.planning.simplex import solve_tableaux

#: Runs that a reply must gain to be taken in (a chosen precision).
GAINS: Final = 1e-8
#: Times sets grow before a game is left as it is, its gap said (measured: plans need 2 to 8).
ROUNDS: Final = 60
#: Looks and calls taken in at once (measured).
LOOKS: Final = 3
CALLS: Final = 2
#: Calls a game begins with where nothing is known, the safest (measured).
BEGUN: Final = 4


@dataclass(frozen=True, eq=False)
class Sets:
    """What games are played with: calls and looks with their shares; nought where not played.

    calls: (games, calls), of all calls; numbers, shares: (games, looks), each game's own.
    """

    calls: Floats
    numbers: Ints
    shares: Floats

    def of(self, games: Ints) -> "Sets":
        """Return the sets of some games."""
        return Sets(self.calls[games], self.numbers[games], self.shares[games])

    def with_those_of(self, other: "Sets") -> "Sets":
        """Return the sets with those of other games, one each, beside them."""
        return Sets(
            self.calls + other.calls,
            np.concatenate([self.numbers, other.numbers], axis=1),
            np.concatenate([self.shares, other.shares], axis=1),
        )


@dataclass(frozen=True, eq=False)
class OpenSolution(Sets):
    """Solved games: value midway between what both mixes guarantee, and the gap between them."""

    value: Floats
    gap: Floats

    def of(self, games: Ints) -> "OpenSolution":
        """Return some of the games."""
        return OpenSolution(*(getattr(self, field.name)[games] for field in fields(self)))

    def most_played(self, game: int) -> Look:
        """Return the look that is brought most to a game."""
        return every_look.look_of(int(self.numbers[game, self.shares[game].argmax()]))


@dataclass(frozen=True, eq=False)
class OpenGames:
    """Stage games by parts of looks.

    Attributes
    ----------
    terms : pairs of (calls of a side, (games, calls of it, parts)), fast first
        Runs of a pitch; no calls where a side is not thrown.
    allowed : array (games, calls)
    ceiling : array (games,)
        How much of a take really is one.
    usual, habit : arrays (fast or soft, games, parts)
        His usual swings, and his whole habit.
    trust : array (games,)
    """

    terms: tuple[tuple[Ints, Floats], ...]
    allowed: Bools
    ceiling: Floats
    usual: Floats
    habit: Floats
    trust: Floats

    def of(self, games: Ints | Bools) -> Self:
        """Return some of the games."""
        return replace(
            self,
            terms=tuple((calls, terms[games]) for calls, terms in self.terms),
            allowed=self.allowed[games],
            ceiling=self.ceiling[games],
            usual=self.usual[:, games],
            habit=self.habit[:, games],
            trust=self.trust[games],
        )

    def weigh(self, numbers: Ints) -> Floats:
        """(fast or soft, games, parts, looks): looks as they weigh parts, leaning on the habit."""
        weights = every_look.weigh(numbers, self.ceiling, self.usual)
        if not self.trust.any():
            return weights
        trust = self.trust[:, None, None]
        return trust * self.habit[..., None] + (1.0 - trust) * weights

    def columns(self, numbers: Ints) -> Floats:
        """(games, calls, looks): runs of every call against looks, leaning on the habit."""
        return self.by_call(self.weigh(numbers))

    def by_call(self, weights: Floats) -> Floats:
        """(games, calls, looks) of (fast or soft, games, parts, looks)."""
        out = np.zeros((*self.allowed.shape, weights.shape[-1]))
        for side, (calls, terms) in enumerate(self.terms):
            out[:, calls] += np.matmul(terms, weights[side])
        return out

    def paired(self, first: Ints, second: Ints, share: float, allowed: Bools) -> "OpenGames":
        """Return the games whose calls are pairs: one for a share of pitches, one for the rest.

        Parameters
        ----------
        first, second : arrays (pairs,)
            Calls.
        share : float
        allowed : array (games, pairs)
        """
        terms = []
        for calls, of_side in self.terms:
            whole = np.zeros((*self.allowed.shape, of_side.shape[-1]))
            whole[:, calls] = of_side
            paired = share * whole[:, first] + (1.0 - share) * whole[:, second]
            terms.append((np.arange(first.size), paired))
        return replace(self, terms=tuple(terms), allowed=allowed)

    def met_by(self, played: Sets) -> Floats:
        """(games, calls): runs of every call against the looks that are played."""
        columns = self.columns(played.numbers)
        met: Floats = np.matmul(columns, played.shares[:, :, None])[:, :, 0]
        return met

    def met(self, mix: Floats) -> Floats:
        """(fast or soft, games, parts): runs against a mix of calls."""
        return np.stack(
            [np.matmul(mix[:, None, calls], terms)[:, 0] for calls, terms in self.terms]
        )

    def best(self, mix: Floats) -> tuple[Floats, Ints]:
        """Return runs and numbers of the best look of each kind, leaning on the habit."""
        met = self.met(mix)
        runs, numbers = every_look.best(met, self.ceiling)
        if self.trust.any():
            usual = (met * self.habit).sum(axis=(0, 2))[:, None]
            trust = self.trust[:, None]
            runs = trust * usual + (1.0 - trust) * runs
        return runs, numbers


def joined_games(several: Sequence[OpenGames]) -> OpenGames:
    """Return games of the same calls in one batch."""
    first = several[0]
    terms = [np.concatenate([one.terms[side][1] for one in several]) for side in (FAST, SOFT)]
    return OpenGames(
        tuple((calls, whole) for (calls, _), whole in zip(first.terms, terms, strict=True)),
        np.concatenate([one.allowed for one in several]),
        np.concatenate([one.ceiling for one in several]),
        np.concatenate([one.usual for one in several], axis=1),
        np.concatenate([one.habit for one in several], axis=1),
        np.concatenate([one.trust for one in several]),
    )


def joined_solutions(several: Sequence[OpenSolution]) -> OpenSolution:
    """Return solutions in one batch."""
    widest = max(one.numbers.shape[1] for one in several)

    games = sum(len(one.numbers) for one in several)
    numbers, shares = np.zeros((games, widest), dtype=np.intp), np.zeros((games, widest))
    first = 0
    for one in several:
        here = np.s_[first : first + len(one.numbers), : one.numbers.shape[1]]
        numbers[here], shares[here] = one.numbers, one.shares
        first += len(one.numbers)
    return OpenSolution(
        np.concatenate([one.calls for one in several]),
        numbers,
        shares,
        np.concatenate([one.value for one in several]),
        np.concatenate([one.gap for one in several]),
    )


def solve_open(games: OpenGames, start: Sets | None = None) -> OpenSolution:
    """Solve open games, from sets that may be near the solution."""
    work, best = _Work.begun(games, start), _Best.of(games)
    live = np.arange(len(games.allowed))
    for _ in range(ROUNDS):
        calls, looks = work.solved()
        runs, numbers = work.games.best(calls)
        replies = np.matmul(work.columns, looks[:, :, None])[:, :, 0]
        replies = np.where(work.games.allowed, replies, np.inf)
        best.keep(live, calls, runs.max(axis=1), work.numbers, looks, replies.min(axis=1))
        held = np.matmul(calls[:, None, :], work.columns)[:, 0].max(axis=1)
        grew = work.take_looks(runs - held[:, None], numbers, looks)
        grew |= work.take_calls(replies)
        going = grew & (best.high[live] - best.low[live] > GAINS)
        if not going.any():
            break
        live, work = live[going], work.of(going)
    return best.solution()


@dataclass
class _Work:
    """Working sets of games still open; a smaller set holds some look more than once.

    numbers: (games, looks); columns: (games, all calls, looks); calls_on: (games, all calls).
    """

    games: OpenGames
    numbers: Ints
    columns: Floats
    calls_on: Bools

    @classmethod
    def begun(cls, games: OpenGames, start: Sets | None) -> Self:
        """Begin with the sets given, or best replies to any call."""
        if start is not None:
            places, _ = used(start.shares)
            numbers = start.numbers[np.arange(len(places))[:, None], places]
            calls_on = (start.calls > 0.0) & games.allowed
            return cls(games, numbers, games.columns(numbers), calls_on)
        even = games.allowed / games.allowed.sum(axis=1, keepdims=True)
        numbers = games.best(even)[1]
        columns = games.columns(numbers)
        worst = np.where(games.allowed, columns.max(axis=2), np.inf)
        safest = np.sort(worst, axis=1)[:, [min(BEGUN, worst.shape[1]) - 1]]
        return cls(games, numbers, columns, (worst <= safest) & games.allowed)

    def of(self, which: Bools) -> "_Work":
        """Return some of the games; all of them as they are."""
        if which.all():
            return self
        return _Work(
            self.games.of(which), self.numbers[which], self.columns[which], self.calls_on[which]
        )

    def solved(self) -> tuple[Floats, Floats]:
        """(games, all calls) and (games, looks): mixes of both sides on the sets."""
        places, _ = used(self.calls_on.astype(np.float64))
        inner = self.columns[np.arange(len(places))[:, None], places]
        mix, looks = solve_tableaux(inner)
        return spread_out(mix, places, self.calls_on.shape[1]), looks

    def take_looks(self, gains: Floats, numbers: Ints, looks: Floats) -> Bools:
        """Take in looks that gain over the set, and such between those mixed; return who grew.

        gains, numbers: (games, found); looks: (games, looks), the mix on the set.
        """
        game, order = np.arange(len(gains))[:, None], np.argsort(-gains, axis=1)[:, :LOOKS]
        new, on = numbers[game, order], gains[game, order] > GAINS / 8.0
        middle, apart = every_look.between(self.numbers, looks)
        new = np.concatenate([new, middle], axis=1)
        on = np.column_stack([on, apart, apart]) & on[:, :1]
        some = on.any(axis=0)
        if some.any():
            new = np.where(on, new, self.numbers[:, :1])[:, some]
            self.numbers = np.concatenate([self.numbers, new], axis=1)
            self.columns = np.concatenate([self.columns, self.games.columns(new)], axis=2)
        return np.asarray(on.any(axis=1))

    def take_calls(self, replies: Floats) -> Bools:
        """Take in calls that save over the set; return which games grew."""
        held = replies.min(axis=1, where=self.calls_on, initial=np.inf)[:, None]
        best = np.partition(replies, min(CALLS, replies.shape[1]) - 1, axis=1)
        most = best[:, min(CALLS, replies.shape[1]) - 1 :][:, :1]
        new = (replies < held - GAINS / 8.0) & (replies <= most)
        self.calls_on = self.calls_on | new
        return np.asarray(new.any(axis=1))


@dataclass
class _Best:
    """The best mixes of both sides so far, and what they guarantee."""

    calls: Floats
    high: Floats
    numbers: Ints
    shares: Floats
    low: Floats

    @classmethod
    def of(cls, games: OpenGames) -> Self:
        """Begin with nothing."""
        size = len(games.allowed)
        return cls(
            np.zeros(games.allowed.shape),
            np.full(size, np.inf),
            np.zeros((size, 1), dtype=np.intp),
            np.zeros((size, 1)),
            np.full(size, -np.inf),
        )

    def keep(
        self, games: Ints, calls: Floats, high: Floats, numbers: Ints, looks: Floats, low: Floats
    ) -> None:
        """Keep mixes of some games where they are better."""
        tighter = high < self.high[games]
        self.calls[games[tighter]], self.high[games[tighter]] = calls[tighter], high[tighter]
        tighter = low > self.low[games]
        widest = int(np.count_nonzero(looks > 0.0, axis=1).max(initial=1))
        if widest > self.numbers.shape[1]:
            self._widen(widest)
        found, places = games[tighter], np.arange(min(widest, looks.shape[1]))
        order = np.argsort(-looks[tighter], axis=1, kind="stable")[:, places]
        rows = np.arange(len(found))[:, None]
        self.shares[found] = 0.0
        self.shares[found[:, None], places] = looks[tighter][rows, order]
        self.numbers[found[:, None], places] = numbers[tighter][rows, order]
        self.low[found] = low[tighter]

    def _widen(self, looks: int) -> None:
        """Make room for mixes of more looks."""
        for name in ("numbers", "shares"):
            old = getattr(self, name)
            new = np.zeros((len(old), looks), dtype=old.dtype)
            new[:, : old.shape[1]] = old
            setattr(self, name, new)

    def solution(self) -> OpenSolution:
        """Return the games as solved."""
        return OpenSolution(
            self.calls,
            self.numbers,
            self.shares,
            (self.low + self.high) / 2.0,
            np.maximum(self.high - self.low, 0.0),
        )
