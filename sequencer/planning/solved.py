"""Tables solved: the exact game, the mix that is printed, and what each is worth to whom."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from sequencer.planning.arrays import Bools, Floats
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import Look
from sequencer.planning.open_at_bat import OpenAtBat, solve_open_at_bat, told
from sequencer.planning.open_replies import leaning_worth
from sequencer.planning.open_spread import spread_open
from sequencer.planning.outcomes import Tables

#: Runs a plan gives up for spread: a fifth of what a fit is in doubt by (.0026, measured).
WITHIN: Final = 5e-4
#: Pitches of a plate appearance, which share what may be given up for spread (3.8 in professional
#: play), so that a whole plan stays within `WITHIN` of the best.
PITCHES: Final = 4.0
#: Times a mix is measured at most, and how near the limit it is drawn back to (choices).
TURNS: Final = 4
SAFER: Final = 0.97
#: A call made less often than this is left out of a plan: nobody could carry it out.
SLIVER: Final = 0.002
#: Runs put on a call that is ruled out in one count: more than any pitch can be worth. In a tie in
#: the last half one pitch can win the game, which is worth ten runs of an even one.
RULED_OUT: Final = 30.0


@dataclass(frozen=True, eq=False)
class Solved:
    """A solved game; arrays lead with (hitters, 4, 3, lasts).

    Attributes
    ----------
    tables : Tables
    trust : (hitters,), how far each plan leans on the habit.
    value : exact value at this trust.
    mix : the call mix that is printed, spread among ties, slivers left out.
    worth : what that is worth at this trust, at most `WITHIN` over the value at 0-0.
    looks : the hitter's mix of looks that goes with the exact solution.
    gap : certificate of the exact solution.
    found : the same as it was found, for others to begin near.
    since : balls and strikes there were; counts that could no longer come are not solved.
    """

    tables: Tables
    trust: Floats
    value: Floats
    mix: Floats
    worth: Floats
    looks: Floats
    gap: Floats
    found: OpenAtBat
    since: tuple[int, int] = (0, 0)

    def reaches(self, balls: int, strikes: int) -> bool:
        """Tell whether a count is among those solved."""
        return (balls, strikes) in self.found.by_count

    @cached_property
    def game(self) -> FactoredGame:
        """The tables as the solver takes them, the habit left out of the payoffs."""
        return self.tables.game()

    # What one call of a game in progress does not ask for is worked out when it is asked for.

    @cached_property
    def _at_trust_0(self) -> tuple[Floats, Floats]:
        """Exact value and printed mix."""
        if not self.trust.any():
            return self.value, self.mix
        # not near `found`: as if solved at trust 0 alone
        safe = solve_open_at_bat(self.game, None, self.since)
        exact, _ = told(self.game, safe)
        return exact.value, _spread(self.game, safe, exact.mix, self.since)[0]

    @cached_property
    def _worth(self) -> tuple[Floats, Floats]:
        if self.trust.any():
            return _worth(self.tables, self.game, self.mix)
        return self.worth, evaluate_tables(self.game, _whole(self.mix), self.tables.habit).value

    @cached_property
    def _safe_worth(self) -> tuple[Floats, Floats]:
        if not self.trust.any():
            return self._worth
        return _worth(self.tables, self.game, self._at_trust_0[1])

    @property
    def safe(self) -> Floats:
        """Exact value at trust 0."""
        return self._at_trust_0[0]

    @property
    def guarantee(self) -> Floats:
        """A best reply over the whole at-bat against `mix`."""
        return self._worth[0]

    @property
    def if_habit(self) -> Floats:
        """His habit against `mix`."""
        return self._worth[1]

    @property
    def safe_guarantee(self) -> Floats:
        """A best reply against the printed mix at trust 0."""
        return self._safe_worth[0]

    @property
    def safe_if_habit(self) -> Floats:
        """His habit against the printed mix at trust 0."""
        return self._safe_worth[1]

    def used_looks(self, *mixes: Floats) -> tuple[Look, ...]:
        """Return the looks that are played: by the solution, by habit, by a best reply to a mix.

        The mixes are the plan's own and any others, such as the cards'. A best reply may be a look
        that the solution did not need.
        """
        played = (self.looks > 0.0) | (self.tables.habit > 0.0)
        used = [self.tables.looks[i] for i in np.flatnonzero(played.any(axis=(0, 1, 2, 3)))]
        for mix in (self.mix, *mixes):
            reply = evaluate_tables(self.game, mix)
            used += [reply.names[i] for i in np.flatnonzero(reply.looks.any(axis=(0, 1, 2, 3)))]
        return tuple(dict.fromkeys(used))

    def payoffs(self, hitter: int, balls: int, strikes: int, last: int) -> Floats:
        """Return runs of each call against each look here, later pitches played as solved."""
        game = self.game.of(hitter)
        values = game.blank_values()
        values[:, :4, :3] = self.value[hitter]
        picked: Floats = game.stage(values, balls, strikes)[0, last]
        return picked

    def one_call(self, hitter: int, balls: int, strikes: int) -> float:
        """Return what always the best one call here gives away to a hitter who knows it.

        Runs of one pitch with nothing shown before it, over the best mix, at trust 0. Nought where
        one call is as good as any mix: being read costs nothing there.
        """
        return float(self._one_calls[hitter, balls, strikes])

    @cached_property
    def _one_calls(self) -> Floats:
        """(hitters, 4, 3)."""
        values, found = self.game.blank_values(), np.zeros((len(self.value), 4, 3))
        values[:, :4, :3] = self.safe
        for balls, strikes in np.ndindex(4, 3):
            runs = self.game.first_stage(values, balls, strikes).max(axis=2)
            least = np.where(self.tables.allowed, runs, np.inf).min(axis=1)
            found[:, balls, strikes] = least - self.safe[:, balls, strikes, 0]
        return np.maximum(found, 0.0)


def solve(
    tables: Tables,
    trust: float | Floats = 0.0,
    near: Solved | None = None,
    since: tuple[int, int] = (0, 0),
) -> Solved:
    """Solve tables.

    Parameters
    ----------
    tables : Tables
    trust : float or array (hitters,)
        How far to lean on the habit.
    near : Solved, optional
        A game solved before, of which this one may be a little moved: a start where it has the
        same hitters, last pitches and calls.
    since : (int, int)
        Balls and strikes there are, for a game in progress: counts that can no longer come are left
        out, which changes nothing in the others but what is given up for spread.
    """
    lean = np.broadcast_to(np.asarray(trust, dtype=np.float64), (len(tables.ruled),))
    game = tables.game(lean)
    begun = near.found if near and _alike(tables, near.tables) else None
    found = solve_open_at_bat(game, begun, since)
    exact, whole = told(game, found)
    mix, worth = _spread(game, found, exact.mix, since)
    grown = tables.with_looks(whole.looks)
    return Solved(grown, lean, exact.value, mix, worth, exact.looks, exact.gap, found, since)


def _alike(one: Tables, other: Tables) -> bool:
    """Whether states and calls of one game are those of another."""
    same = one.calls == other.calls and one.lasts == other.lasts
    return same and one.ruled.shape == other.ruled.shape


def _spread(
    game: FactoredGame, solved: OpenAtBat, exact: Floats, since: tuple[int, int]
) -> tuple[Floats, Floats]:
    """Spread exact mixes among ties; return the mix, and what it is worth in the game solved.

    Where that came to more than `WITHIN` over the solution, as in long at-bats, it is drawn back
    toward it.
    """
    within = np.full(len(game.ruled), WITHIN / PITCHES)
    mix = _carried_out(spread_open(game, solved, within))
    for turn in range(TURNS):
        worth = leaning_worth(game, mix, since)
        now = (worth - solved.values[:, :4, :3])[:, since[0], since[1]]
        given_up = now[:, 0] if since == (0, 0) else now.max(axis=1)
        over = given_up > WITHIN
        if turn == TURNS - 1 or not over.any():
            break
        share = (SAFER * WITHIN / given_up[over])[:, None, None, None, None]
        mix[over] = _carried_out(exact[over] + share * (mix[over] - exact[over]))
    return mix, worth


def _carried_out(mix: Floats) -> Floats:
    """Leave out what is hardly ever called."""
    kept = np.where(mix >= SLIVER, mix, 0.0)
    total = kept.sum(axis=-1, keepdims=True)
    whole: Floats = np.divide(kept, total, out=kept, where=total > 0.0)
    return whole


def _worth(tables: Tables, game: FactoredGame, mix: Floats) -> tuple[Floats, Floats]:
    """Return what a mix is worth to a best reply, and against the habit."""
    whole = _whole(mix)
    return (
        evaluate_tables(game, whole).value,
        evaluate_tables(game, whole, tables.habit).value,
    )


def _whole(mix: Floats) -> Floats:
    """Return a mix with a call in every count: none that can still come hangs on the others."""
    whole = mix.copy()
    whole[..., 0] += whole.sum(axis=-1) == 0.0
    return whole


def ruled_out(tables: Tables, left: Bools) -> Tables:
    """Return tables in which only some calls may be made in each count.

    Parameters
    ----------
    tables : Tables
    left : array (hitters or 1, 4, 3, calls)
        What may be called. A call left in no count is allowed no more; one left in some costs
        more in the others than any pitch is worth, so that no solution uses it there and whoever
        solves the tables again finds the same.
    """
    ruled = tables.ruled + RULED_OUT * ~left.reshape(-1, 12, left.shape[-1])
    return replace(tables, ruled=ruled, allowed=tables.allowed & left.any(axis=(1, 2)))
