"""What stands on a printed card, apart from how it is set: lines, plans, draw, the coach's side.

The catcher's side has no runs, no decimals and no percentages. A line holds a hitter's draw: for
each group of counts the numbers of the calls in his plan, from his first time up to his fourth. On
a card for each hitter the calls themselves stand there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any, Final

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.calls import Call
from sequencer.planning.draw import Draw, draw
from sequencer.planning.mix import Card
from sequencer.planning.pairs import met_by_habit, pair_used_most
from sequencer.planning.plan import Plan
from sequencer.planning.pooling import Pooled, pool
from sequencer.reports.card_coach import CoachSide, card_json, coach_side
from sequencer.reports.card_words import Batter, group_words, numbered, pair_words

#: The counts of each row, as they are called out.
COUNTS: Final = {row: tuple(map(str, counts)) for row, counts in CARD_ROWS.items()}
TIMES: Final = ("1st time up", "2nd", "3rd", "4th")
LEGEND: Final = (
    "Find his number, find the count, go along the row: first number there = his 1st time up, and "
    "his plan says which call that is; the same counts again = next one to the right."
)
LEGEND_EACH: Final = (
    "Find his number, find the count, go along the row: first pitch there = his 1st time up; "
    "the same counts again = next one to the right."
)


@dataclass(frozen=True, slots=True)
class Line:
    """One hitter of the line-up.

    Attributes
    ----------
    batter : Batter
    plan : str
        Letter of his plan.
    draw : tuple of tuple of str
        For each row of the card, by time up: numbers of his plan's calls, or the calls in words.
    pair : str
        On a card for each hitter: what to practise for him.
    """

    batter: Batter
    plan: str
    draw: tuple[tuple[str, ...], ...]
    pair: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """One plan: its letter, whom it is for, its calls by row, and what to practise for it."""

    letter: str
    title: str
    numbers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    pair: str


@dataclass(frozen=True, slots=True)
class Page:
    """A card: the catcher's side and the coach's."""

    pitcher: str
    game: str
    each: bool
    lines: tuple[Line, ...]
    blocks: tuple[Block, ...]
    shelved: tuple[str, ...]
    coach: CoachSide

    @property
    def legend(self) -> str:
        """How to read it, in one sentence."""
        return LEGEND_EACH if self.each else LEGEND

    @property
    def example(self) -> str:
        """How the first hitter's first pitch is looked up."""
        line = self.lines[0]
        who = numbered(line.batter)
        called, number = self.called(line)[0][0], line.draw[0][0]
        way = f"{number}; plan {line.plan}, 0-0, {number}: " if self.blocks else ""
        return f"{who[:1].upper()}{who[1:]}, 0-0, 1st time up: {way}{called}."

    @property
    def shelved_says(self) -> str:
        """What is not thrown today, in a sentence; empty when everything is."""
        return f"Not today: {' and '.join(self.shelved)}." if self.shelved else ""

    def as_json(self) -> dict[str, Any]:
        """Return the card as JSON values; runs are per plate appearance."""
        return {
            "pitcher": self.pitcher,
            "game": self.game,
            "says": list(self.coach.says),
            "shelved": list(self.shelved),
            "plans": [self._plan_json(k) for k in range(len(self.blocks))],
            "hitters": [self._hitter_json(k) for k in range(len(self.lines))],
        }

    def _plan_json(self, k: int) -> dict[str, Any]:
        block = self.blocks[k]
        return {
            "plan": block.letter,
            "for": block.title,
            "hitters": [line.batter.as_json() for line in self.lines if line.plan == block.letter],
            "card": card_json(self.coach.cards[k][1]),
            "practise": block.pair,
        }

    def _hitter_json(self, k: int) -> dict[str, Any]:
        line, cost = self.lines[k], self.coach.costs[k]
        own = {} if self.blocks else {"card": card_json(self.coach.cards[k][1])}
        return {
            **line.batter.as_json(),
            "plan": line.plan or None,
            **own,
            "draw": dict(zip(CARD_ROWS, map(list, self.called(line)), strict=True)),
            "simplicity_cost": cost.simple,
            "sharing_cost": cost.sharing,
        }

    def called(self, line: Line) -> tuple[tuple[str, ...], ...]:
        """Return a hitter's draw in words: for each row of the card, the calls by time up."""
        if self.each:
            return line.draw
        block = next(one for one in self.blocks if one.letter == line.plan)
        return tuple(
            tuple(calls[int(cell) - 1] for cell in cells)
            for calls, cells in zip(block.rows, line.draw, strict=True)
        )


def make_page(
    plan: Plan,
    *,
    line_up: Sequence[Batter] = (),
    seed: int = 0,
    game: str = "",
    each: bool = False,
) -> Page:
    """Return the card of a plan.

    Parameters
    ----------
    plan : Plan
    line_up : sequence of Batter
        Numbers, names and marks of the plan's hitters, in its order; else what the plan calls them.
    seed : int
    game : str
        Which game it is for: the draw hangs on it.
    each : bool
        Every hitter's own six rows, in place of shared plans.
    """
    batters = tuple(line_up) or tuple(Batter.of(one.hitter, one.bats) for one in plan.hitters)
    assert len(batters) == len(plan.hitters)
    pooled = None if each else pool(plan.solved, [one.card for one in plan.hitters])
    drawn = _Drawn(batters, game, seed)
    shelved = tuple(pitch.pitch for pitch in plan.arsenal if pitch.shelved)
    blocks = () if pooled is None else _blocks(plan, pooled, batters)
    lines = _own_lines(plan, drawn) if pooled is None else _shared_lines(pooled, drawn)
    return Page(
        plan.pitcher,
        game,
        each,
        lines,
        blocks,
        shelved,
        coach_side(plan, pooled, batters),
    )


@dataclass(frozen=True)
class _Drawn:
    """The draws of a line-up: two hitters called alike have draws of their own."""

    batters: tuple[Batter, ...]
    game: str
    seed: int

    def of(self, hitter: int, card: Card) -> Draw:
        me = self.batters[hitter]
        before = sum(other.key == me.key for other in self.batters[:hitter])
        who = f"{me.key}, {before}" if before else me.key
        return draw(card, hitter=who, game=self.game, seed=self.seed)


def _shared_lines(pooled: Pooled, drawn: _Drawn) -> tuple[Line, ...]:
    lines = []
    for hitter, batter in enumerate(drawn.batters):
        shared = pooled.plan_of(hitter)
        places = drawn.of(hitter, shared.card)
        letter = ascii_uppercase[pooled.plans.index(shared)]
        numbers = tuple(tuple(str(place + 1) for place in places[row]) for row in CARD_ROWS)
        lines.append(Line(batter, letter, numbers))
    return tuple(lines)


def _own_lines(plan: Plan, drawn: _Drawn) -> tuple[Line, ...]:
    calls, met = plan.solved.tables.calls, met_by_habit(plan.solved)
    lines = []
    for hitter, batter in enumerate(drawn.batters):
        card = plan.hitters[hitter].card
        places = drawn.of(hitter, card)
        words = tuple(
            tuple(str(card.rows[row][place][0]) for place in places[row]) for row in CARD_ROWS
        )
        pair = pair_words(pair_used_most(calls, met, (hitter,), card))
        lines.append(Line(batter, "", words, pair))
    return tuple(lines)


def _blocks(plan: Plan, pooled: Pooled, batters: Sequence[Batter]) -> tuple[Block, ...]:
    calls, met = plan.solved.tables.calls, met_by_habit(plan.solved)
    titles = group_words(pooled.plans, batters)
    blocks = []
    for shared, letter, title in zip(pooled.plans, ascii_uppercase, titles, strict=False):
        together = shared.hitters if len(shared.hitters) > 1 else ()
        numbers = tuple(batters[hitter].short for hitter in together)
        rows = tuple(_calls(shared.card.rows[row]) for row in CARD_ROWS)
        pair = pair_used_most(calls, met, shared.hitters, shared.card)
        blocks.append(Block(letter, title, numbers, rows, pair_words(pair)))
    return tuple(blocks)


def _calls(row: Sequence[tuple[Call, int]]) -> tuple[str, ...]:
    return tuple(str(call) for call, _ in row)
