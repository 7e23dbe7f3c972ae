"""A plan a catcher can carry: at most three calls in each row of the card, in tenths.

The card is not the plan rounded: it is searched for under its own limits, every change valued over
the whole at-bat against the best reply to the card, and it states what being simple costs. A row
is re-solved outright, all mixes of its likeliest calls tried, with the rest of the card as it is;
several starts keep the search out of corners. One card can be searched for several hitters at once.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from typing import Final

import numpy as np

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.calls import Call
from sequencer.planning.carried import CardGame, NarrowGame, Rows, card_games
from sequencer.planning.outcomes import Tables
from sequencer.planning.solved import Solved

MOST: Final = 3
TENTHS: Final = 10
#: Calls that a row is re-solved over (measured: eight to twelve make no card better).
CHOICES: Final = 7
#: The same where cards are only to be compared.
FEW: Final = 6
#: Runs a change must save to be made, so that rounding never turns the search in a circle.
ENOUGH: Final = 1e-7
#: Passes over the six rows, and rounds in which looks are grown, at most.
PASSES: Final = 3
ROUNDS: Final = 8
#: Runs that looks not yet counted may gain over the search's own value before it goes on.
NO_LOOK_GAINS: Final = 1e-6

#: Use of a call that the plan never makes, to have something to share out.
_LEAST: Final = 1e-9

CardMix = dict[str, tuple[tuple[Call, int], ...]]
Tenths = dict[str, Ints]


@dataclass(frozen=True, eq=False)
class Card:
    """One hitter's card, or one that several share.

    Attributes
    ----------
    rows : mapping of card row -> calls with tenths, most first
    mix : array (4, 3, calls)
        The same as shares by count.
    """

    rows: CardMix
    mix: Floats


def cards(solved: Solved) -> list[Card]:
    """Find every hitter's card of a solved game, at the trust it was solved with."""
    return [card(games, solved.tables.calls) for games in card_games(solved)]


def card(games: Sequence[CardGame], calls: tuple[Call, ...], *, quick: bool = False) -> Card:
    """Find the card that is best for these hitters together.

    Parameters
    ----------
    games : sequence of CardGame
        The hitters': the sum of what best replies make of the card is made least.
    calls : tuple of Call
        What the games' calls are; one at least must be allowed to every hitter.
    quick : bool
        Over fewer calls, from one start, to compare who might share (see `FEW`).
    """
    if quick:
        games = [game for game in games if game.weighs_all]
    looks = [game.played.copy() for game in games]
    cheap, mixed = _starts(games)
    if quick:
        _, tenths = _search(games, {row: calls[:FEW] for row, calls in cheap.items()}, looks)
        return _as_card(calls, tenths)
    found = [_search(games, choices, looks) for choices in (cheap, mixed)]
    crossed = _crossed(cheap, [tenths for _, tenths in found])
    found.append(_search(games, crossed, looks))
    _, best = min(found, key=lambda one: one[0])
    return _as_card(calls, best)


def simplicity_cost(tables: Tables, cards: Sequence[Card], guarantee: Floats) -> Floats:
    """Return runs a plate appearance that each card gives up, both against a best reply.

    Exact: over the whole at-bat, last pitches included, against the best of every look.

    Parameters
    ----------
    tables : Tables
    cards : sequence of Card
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


def _starts(games: Sequence[CardGame]) -> tuple[dict[str, Ints], dict[str, Ints]]:
    """Return what each row may choose from, in two ways.

    By what calls cost against the solution's looks; and that by turns with what the plan uses most.
    """
    slack, use = _total([game.slack for game in games]), _total([game.use for game in games])
    allowed = np.logical_and.reduce([game.allowed for game in games])
    cheap, mixed = {}, {}
    for row in CARD_ROWS:
        first = _ordered(_over_row(slack, row), allowed)
        used = _ordered(-_over_row(use, row), allowed)
        cheap[row] = first[:CHOICES]
        turns = dict.fromkeys(np.stack([used, first], axis=1).ravel())
        mixed[row] = np.array(list(turns)[:CHOICES])
    return cheap, mixed


def _total(arrays: Sequence[Floats]) -> Floats:
    total: Floats = np.sum(arrays, axis=0)
    return total


def _over_row(by_count: Floats, row: str) -> Floats:
    return _total([by_count[count] for count in CARD_ROWS[row]])


def _ordered(cost: Floats, allowed: Bools) -> Ints:
    order = np.argsort(cost, kind="stable")
    return order[allowed[order]]


def _crossed(cheap: Mapping[str, Ints], found: Sequence[Tenths]) -> dict[str, Ints]:
    """Return choices that hold, for every row, what each search has come to call there."""
    crossed = {}
    for row in CARD_ROWS:
        called = [call for tenths in found for call in np.flatnonzero(tenths[row])]
        crossed[row] = np.array(list(dict.fromkeys([*called, *cheap[row]]))[:CHOICES])
    return crossed


def _search(
    games: Sequence[CardGame], choices: dict[str, Ints], looks: Sequence[Bools]
) -> tuple[float, Tenths]:
    """Search one set of choices; `looks` grow in place. Return what it weighs, and tenths."""
    size = games[0].allowed.size
    picked = {row: _first(games, row, choices[row]) for row in CARD_ROWS}
    weight = _weigh(games, _mix(picked, choices, size), looks)
    for _ in range(ROUNDS):
        claimed = _descend(
            games, [game.narrowed(choices, k) for game, k in zip(games, looks, strict=True)], picked
        )
        weight = _weigh(games, _mix(picked, choices, size), looks)
        if weight - claimed < NO_LOOK_GAINS:
            break
    return weight, _tenths(picked, choices, size)


def _weigh(games: Sequence[CardGame], mix: Floats, looks: Sequence[Bools]) -> float:
    """Return what a card weighs against every look; those of best replies count from now on."""
    weight = 0.0
    for game, kept in zip(games, looks, strict=True):
        value, best = game.reply(mix)
        np.put_along_axis(kept, best[..., None], True, axis=-1)
        weight += float(game.weight(np.array(value)))
    return weight


def _descend(
    games: Sequence[CardGame], narrow: Sequence[NarrowGame], picked: dict[str, Ints]
) -> float:
    """Re-solve row after row until no row gets better, in place; return what the card weighs."""
    best = float(_weights(games, narrow, _shares(picked), np.inf)[0])
    for _ in range(PASSES):
        before = best
        for row in reversed(CARD_ROWS):
            tried = menu(picked[row].size)
            weights = _weights(games, narrow, _shares(picked) | {row: tried / TENTHS}, best)
            first = int(weights.argmin())
            if weights[first] < best - ENOUGH:
                best, picked[row] = float(weights[first]), np.rint(tried[:, first]).astype(np.intp)
        if before - best < ENOUGH:
            break
    return best


def _weights(
    games: Sequence[CardGame], narrow: Sequence[NarrowGame], rows: Rows, best: float
) -> Floats:
    """Return what several cards weigh, (cards,); in full only where that may beat the best."""
    weights = np.zeros(1)
    for game, small in zip(games, narrow, strict=True):
        if game.weighs_all:
            weights = weights + small.value(rows)
    near = np.flatnonzero(weights < best)
    if near.size == 0:
        return weights
    some = {row: mix if mix.shape[1] == 1 else mix[:, near] for row, mix in rows.items()}
    for game, small in zip(games, narrow, strict=True):
        if not game.weighs_all:
            weights[near] += game.weight(small.value(some))
    return weights


@cache
def menu(choices: int) -> Floats:
    """Return every mix of at most three of some calls in tenths, (choices, mixes)."""
    mixes = []
    for size in range(1, min(MOST, choices) + 1):
        parts = [one for one in product(range(1, TENTHS + 1), repeat=size) if sum(one) == TENTHS]
        for calls in combinations(range(choices), size):
            block = np.zeros((choices, len(parts)))
            block[calls, :] = np.transpose(parts)
            mixes.append(block)
    return np.concatenate(mixes, axis=1)


def _first(games: Sequence[CardGame], row: str, choices: Ints) -> Ints:
    """Return the row's three most used choices in tenths by largest remainder."""
    use = _over_row(_total([game.use for game in games]), row)[choices] + _LEAST
    top = np.argsort(-use, kind="stable")[:MOST]
    shares = use[top] / use[top].sum() * TENTHS
    whole = np.floor(shares).astype(np.intp)
    short = TENTHS - int(whole.sum())
    whole[np.argsort(whole - shares, kind="stable")[:short]] += 1
    tenths = np.zeros(choices.size, dtype=np.intp)
    tenths[top] = whole
    return tenths


def _shares(picked: Mapping[str, Ints]) -> dict[str, Floats]:
    return {row: tenths[:, None] / TENTHS for row, tenths in picked.items()}


def _tenths(picked: Mapping[str, Ints], choices: Mapping[str, Ints], size: int) -> Tenths:
    full = {row: np.zeros(size, dtype=np.intp) for row in CARD_ROWS}
    for row, tenths in full.items():
        tenths[choices[row]] = picked[row]
    return full


def _mix(picked: Mapping[str, Ints], choices: Mapping[str, Ints], size: int) -> Floats:
    return _by_count(_tenths(picked, choices, size), size)


def _by_count(tenths: Tenths, size: int) -> Floats:
    mix = np.zeros((4, 3, size))
    for row, counts in CARD_ROWS.items():
        for count in counts:
            mix[count.balls, count.strikes] = tenths[row] / TENTHS
    return mix


def _as_card(calls: tuple[Call, ...], tenths: Tenths) -> Card:
    rows: CardMix = {}
    for row in CARD_ROWS:
        order = np.argsort(-tenths[row], kind="stable")
        rows[row] = tuple((calls[i], int(tenths[row][i])) for i in order if tenths[row][i])
    return Card(rows, _by_count(tenths, len(calls)))
