"""Among mixes that are as good as the best against every look, find the most spread one.

An exact solution is a corner: it puts a family on as few spots as it can, and that is a habit a
reader finds. The most spread mix has the least sum of squared shares, which is the chance that two
pitches drawn from it are the same call; being unique, it does not hang on how ties were broken.

A mix is held to its limit at a few looks, and at others as it turns out to break it there. Once
solved, states hang on each other no more: of many, those after no last pitch are spread first, and
the others begin from the looks that bound these.
"""

from dataclasses import dataclass
from typing import Final, NamedTuple, Self

import numpy as np

from sequencer.planning import every_look
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.factored import FactoredGame
from sequencer.planning.least_squares import least_squares
from sequencer.planning.open_at_bat import OpenAtBat
from sequencer.planning.open_games import (
    OpenGames,
    OpenSolution,
    joined_games,
    joined_solutions,
)

#: Share of pitches that a call must be worth making to be taken up for spread (assumption).
LEAST: Final = 0.02
#: Share of what may be given up by which a look may break the limit (a chosen precision).
NEAR: Final = 0.02
#: States spread together (measured: more do not fit a core's cache).
GAMES: Final = 300
#: Times looks are added before a mix is drawn back inside the limit (measured: 2 to 6).
SWEEPS: Final = 8
#: Looks added where they break the limit most, beside the two between those that bind (measured).
MORE: Final = 2
#: Looks handed on that bound a state (measured: few mixes are bound by more).
BOUND: Final = 4
#: Line searches at most before a mix is left as it was solved (assumption).
SEARCHES: Final = 4


class _Spread(NamedTuple):
    """Mixes (games, calls), and the looks that bound them most, (games, looks)."""

    mix: Floats
    bound: Ints


@dataclass(frozen=True, eq=False)
class _Members:
    """Some calls of each game, packed: (games, most of any) places, and which are filled."""

    places: Ints
    on: Bools
    size: int

    @classmethod
    def of(cls, some: Bools) -> Self:
        """Pack what is set, (games, all)."""
        widest = int(some.sum(axis=1).max())
        places = np.argsort(~some, axis=1, kind="stable")[:, :widest]
        return cls(places, some[np.arange(len(some))[:, None], places], some.shape[1])

    def of_games(self, games: Ints | Bools) -> "_Members":
        """Return some of the games."""
        return _Members(self.places[games], self.on[games], self.size)

    def take(self, columns: Floats) -> Floats:
        """(games, packed ...) of (games, all ...)."""
        return columns[np.arange(len(columns))[:, None], self.places]

    def spread_out(self, mix: Floats) -> Floats:
        """(games, all) of mixes over what is packed, nought where a place is empty."""
        calls = np.zeros((mix.shape[0], self.size))
        calls[np.arange(len(mix))[:, None], self.places] = np.where(self.on, mix, 0.0)
        return calls


def spread_open(game: FactoredGame, solved: OpenAtBat, within: Floats) -> Floats:
    """Spread the mixes of every state of solved at-bats, each by itself.

    Parameters
    ----------
    game, solved
        The at-bats and what `solve_open_at_bat` made of them.
    within
        (hitters,) runs that a pitch may cost by the exact values of the next ones. A call that
        would cost it if made more than `LEAST` of the time is not taken up.

    Returns
    -------
    array
        (hitters, 4, 3, lasts, calls) mixes, measured: no look gets more than that above the value,
        or a fiftieth part more, and no mix is less spread than the solution's. Nought in counts
        that were not solved.
    """
    hitters, lasts, calls, _ = game.sizes
    by_count = []
    for balls, strikes in solved.by_count:
        terms = game.whole_terms(solved.values, balls, strikes)
        by_count.append(game.open_games(terms, 3 * balls + strikes))
    games, solution = joined_games(by_count), joined_solutions([*solved.by_count.values()])
    given_up = np.tile(np.repeat(within, lasts), len(by_count))
    mixes = _spread_in_turn(games, solution, lasts, given_up)
    spread = np.zeros((hitters, 4, 3, lasts, calls))
    each = np.split(mixes, len(by_count))
    for (balls, strikes), here in zip(solved.by_count, each, strict=True):
        spread[:, balls, strikes] = here.reshape(hitters, lasts, calls)
    return spread


def _spread_in_turn(games: OpenGames, solution: OpenSolution, lasts: int, within: Floats) -> Floats:
    """(games, calls): spread states after no last pitch, every so many, then the others."""
    over = games.met_by(solution) - solution.value[:, None]
    useful = (games.allowed & (LEAST * over <= within[:, None])) | (solution.calls > 0.0)
    mixes, size = np.empty(useful.shape), np.count_nonzero(useful, axis=1)
    bound = np.empty((len(useful), BOUND), dtype=np.intp)
    every, handed = np.arange(len(useful)), 0
    turns = (every[::lasts], every[every % lasts > 0]) if every.size > GAMES else (every,)
    for turn in turns:
        order = turn[np.argsort(size[turn], kind="stable")]  # as many calls to spread over at once
        for n in range(0, order.size, GAMES):
            some = order[n : n + GAMES]
            found = _spread_games(
                games.of(some),
                solution.of(some),
                useful[some],
                bound[some - some % lasts, :handed],
                within[some],
            )
            mixes[some], bound[some] = found
        handed = BOUND
    return mixes


def _spread_games(
    games: OpenGames, solution: OpenSolution, useful: Bools, bound: Ints, within: Floats
) -> _Spread:
    """Spread mixes over the useful calls, held first at looks that may bind."""
    safe = solution.calls
    runs, numbers = games.best(safe)
    limit = np.maximum(solution.value + within, runs.max(axis=1))
    numbers = np.concatenate([solution.numbers, _worst(runs, numbers), bound], axis=1)
    members = _Members.of(useful)
    columns = members.take(games.columns(numbers))
    bound = np.zeros((len(safe), BOUND), dtype=np.intp)
    wide, live, work = safe.copy(), np.arange(len(safe)), games
    for _ in range(SWEEPS):
        shares, prices = least_squares(columns - limit[live, None, None], members.on)
        wide[live] = members.spread_out(shares)
        row, held = np.arange(len(live))[:, None], np.argsort(-prices, axis=1)
        most = held[:, :BOUND]
        bound[live, : most.shape[1]] = numbers[row, most]
        runs, found = work.best(wide[live])
        broken = runs.max(axis=1) > limit[live] + NEAR * within[live]
        if not broken.any():
            break
        middle, _ = every_look.between(numbers, prices)
        more = np.concatenate([_worst(runs, found), middle], axis=1)[broken]
        live, work, members = live[broken], work.of(broken), members.of_games(broken)
        kept = held[broken, : int(np.count_nonzero(prices, axis=1).max())]
        numbers = np.concatenate([numbers[broken][row[: len(live)], kept], more], axis=1)
        columns = np.take_along_axis(columns[broken], kept[:, None, :], axis=2)
        columns = np.concatenate([columns, members.take(work.columns(more))], axis=2)
    return _Spread(_back_inside(games, limit, safe, wide, NEAR * within), bound)


def _worst(runs: Floats, numbers: Ints) -> Ints:
    """(games, `MORE`): the looks that get most."""
    first = np.argsort(-runs, axis=1)[:, :MORE]
    return np.take_along_axis(numbers, first, axis=1)


def _back_inside(
    games: OpenGames, limit: Floats, safe: Floats, wide: Floats, slack: Floats
) -> Floats:
    """Go from the safe mixes toward the wide ones as far as the limit lets: line searches.

    The worst look changes on the way, so that one search may not be enough.
    """
    mix = wide
    for search in range(SEARCHES + 1):
        runs, numbers = games.best(mix)
        over = runs.max(axis=1) > limit + slack
        if search == SEARCHES or not over.any():
            break
        columns = games.columns(numbers)
        near, far = (np.matmul(one[:, None, :], columns)[:, 0] for one in (safe, mix))
        beyond = far > np.maximum(limit[:, None], near)
        share = np.where(beyond, (limit[:, None] - near) / np.where(beyond, far - near, 1.0), 1.0)
        part = np.clip(share.min(axis=1), 0.0, 1.0)[:, None]
        mix = np.where(over[:, None], safe + part * (mix - safe), mix)
    better = (mix**2).sum(axis=1) < (safe**2).sum(axis=1)
    return np.where((better & ~over)[:, None], mix, safe)
