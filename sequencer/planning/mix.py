"""A plan a catcher can carry: at most three calls in each row of the card, in tenths.

The card is not the plan rounded: it is searched for under its own limits, every change valued over
the whole at-bat against the best reply to the card, and it states what being simple costs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.calls import Call
from sequencer.planning.outcomes import Tables
from sequencer.planning.stages import (
    BALL,
    COUNTS_BACKWARD,
    END,
    FOUL,
    HIT_BY_PITCH,
    STRIKE,
    TWO_STRIKES,
)

MOST: Final = 3
TENTHS: Final = 10
#: Calls a row may choose from: those the plan uses most in its counts (measured on nine hitters and
#: 15 to 63 calls: no card was better for more than seven).
CANDIDATES: Final = 9
#: Runs a change must save to be made, so that rounding never turns the search in a circle.
ENOUGH: Final = 1e-7
#: Passes over the six rows (measured on the same: the third changes nothing).
PASSES: Final = 3

CardMix = dict[str, tuple[tuple[Call, int], ...]]


@dataclass(frozen=True, eq=False)
class Card:
    """One hitter's card.

    Attributes
    ----------
    rows : mapping of card row -> calls with tenths, most first
    mix : array (4, 3, calls)
        The same as shares by count.
    """

    rows: CardMix
    mix: Floats


@dataclass(frozen=True, eq=False)
class _Game:
    """One hitter's at-bat without what the last pitch showed: `parts` of each call and look.

    parts
        (4, 3, calls, 4 x looks): chances of ball, strike, foul, and runs that need no next pitch.
    """

    parts: Floats
    habit: Floats
    trust: float
    walk: float
    strikeout: float

    @property
    def looks(self) -> int:
        return int(self.habit.shape[-1])

    def value(self, mixes: dict[tuple[int, int], Floats]) -> Floats:
        """Return runs at 0-0 of several cards: (cards or 1, calls) at each count -> (cards,)."""
        values: dict[tuple[int, int], Floats] = {}
        for balls, strikes in COUNTS_BACKWARD:
            mix = mixes[balls, strikes]
            parts = (mix @ self.parts[balls, strikes]).reshape(mix.shape[0], 4, self.looks)
            ball = values[balls + 1, strikes] if balls < 3 else np.array([self.walk])
            runs = parts[:, 3] + parts[:, 0] * ball[:, None]
            if strikes == TWO_STRIKES:
                runs = runs + parts[:, 1] * self.strikeout
                values[balls, strikes] = self._reply(runs, parts[:, 2], balls, strikes)
            else:
                runs = runs + (parts[:, 1] + parts[:, 2]) * values[balls, strikes + 1][:, None]
                values[balls, strikes] = self._reply(runs, None, balls, strikes)
        return values[0, 0]

    def _reply(self, runs: Floats, stay: Floats | None, balls: int, strikes: int) -> Floats:
        """Best reply (and habit, as far as it is trusted) to each card's mix; stay: of a foul."""
        usual = self.habit[balls, strikes]
        best = (1.0 - self.trust) * runs + self.trust * (runs @ usual)[:, None]
        if stay is not None:
            keeps = (1.0 - self.trust) * stay + self.trust * (stay @ usual)[:, None]
            best = best / (1.0 - keeps)
        values: Floats = best.max(axis=1)
        return values


def card(tables: Tables, hitter: int, plan: Floats, trust: float = 0.0) -> Card:
    """Find a hitter's card by local search from his plan.

    Parameters
    ----------
    tables : Tables
    hitter : int
        Which hitter of the tables.
    plan : array (4, 3, lasts, calls)
        The plan's mix; the card begins from its shares where the last pitch showed nothing.
    trust : float
        The trust the plan was made with.
    """
    game = _game(tables, hitter, trust)
    allowed = tables.allowed[hitter]
    start = np.where(allowed, plan[:, :, 0], 0.0)
    tenths = {row: _first_tenths(_row_mean(start, row)) for row in CARD_ROWS}
    choices = {row: _choices(_row_mean(start, row), allowed) for row in CARD_ROWS}
    best = float(game.value(_mixes(tenths))[0])
    for _ in range(PASSES):
        before = best
        for row in reversed(CARD_ROWS):
            best = _improve(game, tenths, row, choices[row], best)
        if before - best < ENOUGH:
            break
    return _as_card(tables.calls, tenths)


def simplicity_cost(tables: Tables, cards: list[Card], guarantee: Floats) -> Floats:
    """Return runs a plate appearance that each card gives up, both against a best reply.

    Exact: over the whole at-bat, last pitches included, against the best of every look.

    Parameters
    ----------
    tables : Tables
    cards : list of Card
        One for each hitter of the tables.
    guarantee : array (hitters, 4, 3, lasts)
        The plan's.
    """
    worth = evaluate_tables(tables.game(), mix_of(cards, guarantee.shape[-1])).value
    cost: Floats = (worth - guarantee)[:, 0, 0, 0]
    return cost


def mix_of(cards: Sequence[Card], lasts: int) -> Floats:
    """Return the cards as one mix, (hitters, 4, 3, lasts, calls): alike after every last pitch."""
    shares = np.stack([one.mix for one in cards])[:, :, :, None, :]
    mix: Floats = np.repeat(shares, lasts, axis=3)
    return mix


def _game(tables: Tables, hitter: int, trust: float) -> _Game:
    here = tables.outcomes[hitter, :, :, 0]
    fixed = (
        here[..., END] * tables.end_runs[hitter, :, :, 0]
        + here[..., HIT_BY_PITCH] * tables.stakes.hit_by_pitch
        + tables.call_runs[hitter, :, :, 0]
    )
    parts = np.stack([here[..., BALL], here[..., STRIKE], here[..., FOUL], fixed], axis=3)
    return _Game(
        parts.reshape(*parts.shape[:3], -1),
        tables.habit[hitter, :, :, 0],
        trust,
        tables.stakes.walk,
        tables.stakes.strikeout,
    )


def _row_mean(start: Floats, row: str) -> Floats:
    mean: Floats = np.mean([start[count] for count in CARD_ROWS[row]], axis=0)
    return mean


def _choices(mean: Floats, allowed: Floats) -> Ints:
    """Return the calls a row may use: allowed ones, most used first."""
    order = np.argsort(-np.where(allowed, mean, -1.0), kind="stable")
    return order[: min(CANDIDATES, int(np.count_nonzero(allowed)))]


def _first_tenths(mean: Floats) -> Ints:
    """Return the three largest shares in tenths by largest remainder."""
    top = np.argsort(-mean, kind="stable")[:MOST]
    shares = mean[top] / mean[top].sum() * TENTHS
    whole = np.floor(shares).astype(np.intp)
    short = TENTHS - int(whole.sum())
    whole[np.argsort(whole - shares, kind="stable")[:short]] += 1
    tenths = np.zeros(mean.size, dtype=np.intp)
    tenths[top] = whole
    return tenths


def _mixes(tenths: dict[str, Ints]) -> dict[tuple[int, int], Floats]:
    return {
        (count.balls, count.strikes): tenths[row][None, :] / TENTHS
        for row, counts in CARD_ROWS.items()
        for count in counts
    }


def _improve(game: _Game, tenths: dict[str, Ints], row: str, choices: Ints, best: float) -> float:
    """Change one row for the better until nothing near it is better, in place."""
    while True:
        near = _neighbours(tenths[row], choices)
        if near.shape[0] == 0:
            return best
        mixes = _mixes(tenths)
        for count in CARD_ROWS[row]:
            mixes[count.balls, count.strikes] = near / TENTHS
        values = game.value(mixes)
        first = int(values.argmin())
        if values[first] > best - ENOUGH:
            return best
        best = float(values[first])
        tenths[row] = near[first]


def _neighbours(now: Ints, choices: Ints) -> Ints:
    """Mixes of at most three calls reached by moving some tenths from one call to another."""
    near = []
    for source in np.flatnonzero(now):
        for target in choices:
            if source == target:
                continue
            for moved in {1, 2, int(now[source])}:
                if moved > now[source]:
                    continue
                new = now.copy()
                new[source] -= moved
                new[target] += moved
                if np.count_nonzero(new) <= MOST:
                    near.append(new)
    return np.array(near, dtype=np.intp).reshape(-1, now.size)


def _as_card(calls: tuple[Call, ...], tenths: dict[str, Ints]) -> Card:
    rows: CardMix = {}
    mix = np.zeros((4, 3, len(calls)))
    for row, counts in CARD_ROWS.items():
        order = np.argsort(-tenths[row], kind="stable")
        rows[row] = tuple((calls[i], int(tenths[row][i])) for i in order if tenths[row][i])
        for count in counts:
            mix[count.balls, count.strikes] = tenths[row] / TENTHS
    return Card(rows, mix)
