"""The at-bat against every look there is: its counts solved as open games, from the last backward.

What is not formed need not be: a count's states are open games (`open_games`), and only the looks
that solutions play are given a place among those at hand.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sequencer.planning import every_look
from sequencer.planning.arrays import Floats
from sequencer.planning.factored import FactoredGame
from sequencer.planning.open_games import OpenGames, OpenSolution, Sets, solve_open
from sequencer.planning.solution import AtBatSolution
from sequencer.planning.stages import TWO_STRIKES, ahead_of, worth_of_staying
from sequencer.planning.staying import settled

#: States of which those after no last pitch are solved before the others (measured).
MANY: Final = 16


@dataclass(frozen=True, eq=False)
class OpenAtBat:
    """Solved at-bats, and by count the few calls and looks that each state is played with."""

    values: Floats
    by_count: Mapping[tuple[int, int], OpenSolution]


def solve_open_at_bat(
    game: FactoredGame, like: OpenAtBat | None = None, since: tuple[int, int] = (0, 0)
) -> OpenAtBat:
    """Solve the at-bats of several hitters against every look, all states of a count at once.

    Parameters
    ----------
    game : FactoredGame
    like : OpenAtBat, optional
        Solved at-bats of the same hitters, last pitches and calls that differ little: a start.
    since : (int, int)
        Balls and strikes there are: counts that can no longer come are left out.
    """
    values = game.blank_values()
    found: dict[tuple[int, int], OpenSolution] = {}
    for balls, strikes in ahead_of(since):
        near = _nearest(found.get((balls + 1, strikes)), found.get((balls, strikes + 1)))
        guess = values[:, balls + 1, strikes] if balls < 3 else np.zeros_like(values[:, 0, 0])
        if like is not None and (balls, strikes) in like.by_count:
            near, guess = like.by_count[balls, strikes], like.values[:, balls, strikes]
        states = _Count.of(game, values, balls, strikes)
        stays = strikes == TWO_STRIKES
        here = settled(states, guess, near) if stays else states.solve(None, near)
        found[balls, strikes] = here
        values[:, balls, strikes] = here.value.reshape(guess.shape)
    return OpenAtBat(values, found)


def _nearest(ball: OpenSolution | None, strike: OpenSolution | None) -> Sets | None:
    """Return what states are played with after a ball or a strike."""
    if ball is not None and strike is not None:
        return ball.with_those_of(strike)
    one = ball or strike
    return None if one is None else Sets(one.calls, one.numbers, one.shares)


def solve_every_look(game: FactoredGame) -> tuple[AtBatSolution, FactoredGame]:
    """Solve at-bats; return also the game with every look at hand that the solution plays."""
    return told(game, solve_open_at_bat(game))


def told(game: FactoredGame, solved: OpenAtBat) -> tuple[AtBatSolution, FactoredGame]:
    """Return a solution as arrays over the looks at hand, and the game that holds them all."""
    hitters, lasts, calls, _ = game.sizes
    played = [one.numbers[one.shares > 0.0] for one in solved.by_count.values()]
    numbers = np.unique(np.concatenate(played))
    names = [every_look.look_of(int(number)) for number in numbers]
    places = {look: i for i, look in enumerate(game.looks)}
    at = np.array([places.setdefault(look, len(places)) for look in names])
    mix, gap = np.zeros((hitters, 4, 3, lasts, calls)), np.zeros((hitters, 4, 3, lasts))
    looks = np.zeros((hitters, 4, 3, lasts, len(places)))
    for (balls, strikes), one in solved.by_count.items():
        shares = np.zeros((hitters * lasts, len(places)))
        which, slot = np.nonzero(one.shares > 0.0)
        where = at[np.searchsorted(numbers, one.numbers[which, slot])]
        np.add.at(shares, (which, where), one.shares[which, slot])
        looks[:, balls, strikes] = shares.reshape(hitters, lasts, -1)
        mix[:, balls, strikes] = one.calls.reshape(hitters, lasts, calls)
        gap[:, balls, strikes] = one.gap.reshape(hitters, lasts)
    solution = AtBatSolution(solved.values[:, :4, :3], mix, looks, gap)
    return solution, game.with_looks(tuple(places))


@dataclass(frozen=True, eq=False)
class _Count:
    """The states of a count; `fouls` are the chances to stay, where there are two strikes."""

    game: FactoredGame
    games: OpenGames
    fouls: OpenGames | None

    @classmethod
    def of(cls, game: FactoredGame, values: Floats, balls: int, strikes: int) -> "_Count":
        """Gather the states of a count at given values of those after it."""
        count = 3 * balls + strikes
        games = game.open_games(game.terms(values, balls, strikes), count)
        if strikes != TWO_STRIKES:
            return cls(game, games, None)
        fouls = game.open_terms(game.foul_terms(balls))
        return cls(game, games, replace(games, terms=fouls))

    def solve(self, guess: Floats | None, near: Sets | None) -> OpenSolution:
        """Solve the states, starting near a solution or sets.

        Many are solved after no last pitch first, and the others near that.
        """
        games = self.games if guess is None else self._staying(guess)
        lasts = self.game.sizes[1]
        if len(games.allowed) > MANY and lasts > 1 and not isinstance(near, OpenSolution):
            first = np.arange(0, len(games.allowed), lasts)
            begun = solve_open(games.of(first), None if near is None else near.of(first))
            near = begun.of(np.repeat(np.arange(first.size), lasts))
        return solve_open(games, near)

    def _staying(self, guess: Floats) -> OpenGames:
        """Return the games when staying is worth a guess, (hitters, lasts)."""
        assert self.fouls is not None
        again = np.repeat(guess[:, self.game.next_last], guess.shape[1], axis=0)
        terms = tuple(
            (calls, fixed + fouls * again[:, calls, None])
            for (calls, fixed), (_, fouls) in zip(self.games.terms, self.fouls.terms, strict=True)
        )
        return replace(self.games, terms=terms)

    def nears(self, played: OpenSolution) -> Floats:
        """(hitters,): least chance that a pitch against either side's mix is not fouled."""
        assert self.fouls is not None
        of_looks = self.fouls.best(played.calls)[0].max(axis=1)
        of_calls = self.fouls.met_by(played).max(axis=1, where=self.games.allowed, initial=0.0)
        most = np.maximum(of_looks, of_calls).reshape(self.game.sizes[:2])
        nears: Floats = 1.0 - most.max(axis=1)
        return nears

    def of_both(self, played: OpenSolution) -> Floats:
        """(hitters, lasts): what the states are worth when both sides keep to their mixes."""
        assert self.fouls is not None
        hitters, lasts = self.game.sizes[:2]
        gains = (played.calls * self.games.met_by(played)).sum(axis=1).reshape(hitters, lasts)
        leaves = np.eye(lasts)[self.game.next_last]
        moves = np.matmul(played.calls * self.fouls.met_by(played), leaves)
        return worth_of_staying(gains, moves.reshape(hitters, lasts, lasts))
