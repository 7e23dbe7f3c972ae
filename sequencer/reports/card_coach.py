"""The coach's side of a card: what carrying the plan costs, and what the draw gives away."""

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any, Final

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.calls import Call
from sequencer.planning.mix import Card, CardMix
from sequencer.planning.plan import Plan
from sequencer.planning.pooling import MAY_COST, Pooled
from sequencer.reports.card_words import Batter, numbered

LEAKS: Final = (
    "Following the draw gives nothing away beyond the tenths below, as long as it is drawn anew "
    "for each game: every cell is drawn on its own, and hitters of one plan have their own draws. "
    "Only a call that came as a repeat opens those counts his next time up: against a dugout that "
    "writes down every pitch, draw anew in between."
)


@dataclass(frozen=True, slots=True)
class Cost:
    """What carrying costs for one hitter, runs a plate appearance, against a best reply.

    Attributes
    ----------
    batter : Batter
    plan : str
        Letter of his plan.
    simple : float
        His own card over his plan.
    sharing : float
        The card he shares over his own.
    """

    batter: Batter
    plan: str
    simple: float
    sharing: float


@dataclass(frozen=True, slots=True)
class CoachSide:
    """What is to be said, each hitter's costs, and the cards by name, with the tenths drawn by."""

    says: tuple[str, ...]
    costs: tuple[Cost, ...]
    cards: tuple[tuple[str, CardMix], ...]

    @property
    def shares(self) -> tuple[tuple[str, tuple[tuple[str, ...], ...]], ...]:
        """Each card's name and, by row, its calls with their tenths."""
        return tuple(
            (name, tuple(_shares(rows[row]) for row in CARD_ROWS)) for name, rows in self.cards
        )


def coach_side(plan: Plan, pooled: Pooled | None, batters: Sequence[Batter]) -> CoachSide:
    """Return the coach's side.

    Parameters
    ----------
    plan : Plan
    pooled : Pooled or None
        The shared plans; None where every hitter has his own card.
    batters : sequence of Batter
        In the order of the plan.
    """
    simple = [one.simplicity_cost for one in plan.hitters]
    if pooled is None:
        own = [Cost(batter, "", cost, 0.0) for batter, cost in zip(batters, simple, strict=True)]
        cards = [(man.short, one.card) for man, one in zip(batters, plan.hitters, strict=True)]
        return _side(own, cards, each=True)
    letters = dict(zip(pooled.plans, ascii_uppercase, strict=False))
    costs = [
        Cost(batter, letters[pooled.plan_of(h)], simple[h], float(pooled.sharing[h]))
        for h, batter in enumerate(batters)
    ]
    return _side(costs, [(f"plan {name}", one.card) for one, name in letters.items()], each=False)


def _side(costs: list[Cost], cards: list[tuple[str, Card]], *, each: bool) -> CoachSide:
    rows = tuple((name, card.rows) for name, card in cards)
    return CoachSide(_says(costs, each), tuple(costs), rows)


def per_100(runs: float) -> str:
    """Return runs per 100 plate appearances."""
    return f"{100.0 * runs:.2f}".replace("-0.00", "0.00")


def _says(costs: Sequence[Cost], each: bool) -> tuple[str, ...]:
    totals = [one.simple + one.sharing for one in costs]
    worst = max(range(len(costs)), key=lambda h: totals[h])
    mean = sum(totals) / len(totals)
    what = "Keeping to cards" if each else "Simple and shared plans"
    said = [
        f"{what} cost{'' if not each else 's'} {per_100(mean)} runs per 100 plate appearances on "
        f"average, {per_100(totals[worst])} for {numbered(costs[worst].batter)}, against hitters "
        "who reply as well as can be."
    ]
    if mean > MAY_COST:
        said.append(
            f"That is more than the {per_100(MAY_COST)} a card should cost"
            + (": give hitters cards of their own (--each)." if not each else ".")
        )
    return (*said, LEAKS)


def _shares(row: Sequence[tuple[Call, int]]) -> tuple[str, ...]:
    return tuple(f"{call} {tenths}" for call, tenths in row)


def card_json(rows: CardMix) -> dict[str, Any]:
    """Return a card's rows as JSON values."""
    return {
        row: [
            {"pitch": call.pitch, "target": call.target, "tenths": tenths} for call, tenths in calls
        ]
        for row, calls in rows.items()
    }
