"""Plans that hitters share, so that a young catcher keeps two or three apart instead of nine.

Hitters who lose least by one another's cards share one, searched anew for all of them together; one
hitter may have his own, where sharing costs most. What sharing costs is worked out like what
being simple costs: both against a best reply over the whole at-bat.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, NamedTuple

import numpy as np

from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.calls import Call
from sequencer.planning.carried import CardGame, card_games
from sequencer.planning.mix import Card, card, simplicity_cost
from sequencer.planning.solved import Solved

#: Plans that are shared at most, beside one hitter's own.
MOST: Final = 3
#: Runs a plate appearance, over the line-up, that one more plan to keep apart must save
#: (assumption: a seventh of what carrying may cost).
WORTH_A_PLAN: Final = 0.0005
#: Runs a plate appearance that sharing and simplicity together may cost over a line-up.
MAY_COST: Final = 0.0035
#: Rounds in which hitters move to the shared card that suits them better (measured: two settle it).
_ROUNDS: Final = 3
#: Weight of a card with a call that a hitter's rules leave out.
_NEVER: Final = 1e3


@dataclass(frozen=True, eq=False)
class SharedPlan:
    """A card and the hitters it is for, in the order of the line-up.

    `own` is set for the one hitter who has a card of his own where others share.
    """

    hitters: tuple[int, ...]
    card: Card
    own: bool = False


@dataclass(frozen=True, eq=False)
class Pooled:
    """A line-up's shared plans, the one for most hitters first, a hitter's own last.

    Attributes
    ----------
    plans : tuple of SharedPlan
    sharing : array (hitters,)
        Runs a plate appearance that sharing costs: the shared card over his own.
    carrying : array (hitters,)
        The same and what his own card costs over his plan: all that is lost by the page.
    """

    plans: tuple[SharedPlan, ...]
    sharing: Floats
    carrying: Floats

    @property
    def too_dear(self) -> bool:
        """True when carrying costs more, over the line-up, than it may."""
        return float(self.carrying.mean()) > MAY_COST

    def plan_of(self, hitter: int) -> SharedPlan:
        """Return the plan a hitter is on."""
        return next(one for one in self.plans if hitter in one.hitters)


class _Grouping(NamedTuple):
    """Which hitters share, and the one left to himself (-1: nobody)."""

    groups: tuple[tuple[int, ...], ...]
    own: int

    @property
    def plans(self) -> int:
        """How many plans there are to keep apart."""
        return len(self.groups) + (self.own >= 0)


def regrets(games: Sequence[tuple[CardGame, ...]], cards: Sequence[Card]) -> Floats:
    """Return what every card weighs for every hitter over his own best, (cards, hitters).

    Parameters
    ----------
    games : sequence of tuples of CardGame
        Each hitter's, as from `card_games`.
    cards : sequence of Card
        One for each hitter.
    """
    weights = _weights(games, cards)
    found: Floats = weights - np.diagonal(weights)
    return found


def pool(solved: Solved, cards: Sequence[Card], most: int = MOST) -> Pooled:
    """Find which hitters share a plan, and the plans.

    Every way to share up to `most` plans about as many hitters' cards is compared, nobody and each
    hitter in turn on his own; the best of each is searched anew and the hitters moved to what suits
    them. One more plan must save `WORTH_A_PLAN`. Where the coach's rules leave some no call in
    common and so many plans cannot do, everybody keeps his own card.

    Parameters
    ----------
    solved : Solved
    cards : sequence of Card
        Each hitter's own.
    most : int
        Plans that may be shared, beside one hitter's own.
    """
    games = card_games(solved)
    alone = simplicity_cost(solved.tables, cards, solved.guarantee)
    known: dict[tuple[int, ...], Card] = {(hitter,): one for hitter, one in enumerate(cards)}
    found = _Shared(games, solved.tables.calls, known, alone)
    regret = regrets(games, cards)
    tried = [
        grouping
        for shared in range(1, min(most, len(cards)) + 1)
        for grouping in _groupings(regret, shared)
        if all(map(found.may_share, grouping.groups))
    ] or [_Grouping(tuple((hitter,) for hitter in range(len(cards))), -1)]
    options = dict.fromkeys(map(found.settled, tried))
    carrying = {option: float(alone.mean()) + found.sharing(option) for option in options}
    fair = [option for option, cost in carrying.items() if cost <= MAY_COST] or list(options)
    best = min(fair, key=lambda one: carrying[one] + WORTH_A_PLAN * one.plans)
    return found.priced(best, solved)


def _groupings(regret: Floats, shared: int) -> list[_Grouping]:
    """Return the best groupings about so many hitters' cards, nobody and somebody on his own."""
    found = [_best_about(regret, shared, -1)]
    if len(regret) > shared + 1:
        found += [_best_about(regret, shared, own) for own in range(len(regret))]
    return found


def _best_about(regret: Floats, shared: int, own: int) -> _Grouping:
    """Return the grouping about so many hitters' cards that all but one lose least by."""
    others = [h for h in range(len(regret)) if h != own]
    abouts = list(combinations(others, shared))
    costs = [float(regret[np.ix_(about, others)].min(axis=0).sum()) for about in abouts]
    about = abouts[int(np.argmin(costs))]
    nearest = regret[np.ix_(about, others)].argmin(axis=0)
    return _Grouping(_groups(others, nearest, shared), own)


def _groups(hitters: Sequence[int], at: Ints, groups: int) -> tuple[tuple[int, ...], ...]:
    """Return who is in each group, empty groups left out."""
    found = (tuple(h for h, k in zip(hitters, at, strict=True) if k == g) for g in range(groups))
    return tuple(sorted(group for group in found if group))


@dataclass(frozen=True, eq=False)
class _Shared:
    """A line-up and the shared cards found so far, each group's searched once."""

    games: Sequence[tuple[CardGame, ...]]
    calls: tuple[Call, ...]
    known: dict[tuple[int, ...], Card]
    alone: Floats  # what each hitter's own card costs, (hitters,)

    def card(self, group: tuple[int, ...], *, quick: bool = True) -> Card:
        """Return the card that is best for a group together."""
        if group not in self.known or not (quick or len(group) == 1):
            together = [game for hitter in group for game in self.games[hitter]]
            self.known[group] = card(together, self.calls, quick=quick)
        return self.known[group]

    def may_share(self, group: tuple[int, ...]) -> bool:
        """Whether the hitters' rules leave them a call in common."""
        allowed = [self.games[hitter][0].allowed for hitter in group]
        return bool(np.logical_and.reduce(allowed).any())

    def settled(self, grouping: _Grouping) -> _Grouping:
        """Move hitters to the shared card that suits them best, until nobody moves."""
        for _ in range(_ROUNDS):
            groups = grouping.groups
            others = sorted(hitter for group in groups for hitter in group)
            weights = _weights(self.games, [self.card(group) for group in groups])
            nearest = weights[:, others].argmin(axis=0)
            moved = grouping._replace(groups=_groups(others, nearest, len(groups)))
            if moved == grouping:
                break
            grouping = moved
        return grouping

    def sharing(self, grouping: _Grouping) -> float:
        """Return what sharing weighs, a hitter, over everybody's own card."""
        lost = 0.0
        for group in grouping.groups:
            shared = self.card(group).mix
            for hitter in group:
                own = self.known[hitter,].mix
                lost += _weight(self.games[hitter], shared) - _weight(self.games[hitter], own)
        return lost / len(self.games)

    def priced(self, grouping: _Grouping, solved: Solved) -> Pooled:
        """Return a grouping with its cards searched with care, and what they cost exactly."""
        ordered = sorted(grouping.groups, key=lambda group: (-len(group), group))
        plans = [SharedPlan(group, self.card(group, quick=False)) for group in ordered]
        if grouping.own >= 0:
            plans.append(SharedPlan((grouping.own,), self.card((grouping.own,)), own=True))
        used = [one.card for h in range(len(self.games)) for one in plans if h in one.hitters]
        carrying = simplicity_cost(solved.tables, used, solved.guarantee)
        return Pooled(tuple(plans), carrying - self.alone, carrying)


def _weights(games: Sequence[tuple[CardGame, ...]], cards: Sequence[Card]) -> Floats:
    """Return what every card weighs for every hitter, (cards, hitters)."""
    return np.array([[_weight(his, one.mix) for his in games] for one in cards])


def _weight(games: tuple[CardGame, ...], mix: Floats) -> float:
    if (mix.any(axis=(0, 1)) & ~games[0].allowed).any():
        return _NEVER
    return sum(float(game.weight(np.array(game.reply(mix)[0]))) for game in games)
