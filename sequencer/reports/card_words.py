"""Words of a card: who a hitter is, what marks a group of them, which pair to practise."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from sequencer.baseball.pitches import TYPES
from sequencer.planning.calls import Call
from sequencer.planning.mix import Card
from sequencer.planning.pooling import SharedPlan

_SIDES: Final = {"R": "right", "L": "left"}
#: A share of its calls by which a plan must lead the others for that to be its name (a choice).
_LEADS: Final = 0.1


@dataclass(frozen=True, slots=True)
class Batter:
    """A hitter as a catcher meets him: number on his back, side, name; and a coach's marks."""

    number: str
    name: str
    bats: str
    marks: tuple[str, ...] = ()

    @classmethod
    def of(cls, label: str, bats: str, *, number: str = "", marks: Sequence[str] = ()) -> "Batter":
        """Return a hitter by what he is called; ``#7`` is a number and no name."""
        said = "" if number.startswith("?") else number
        if label.startswith("#"):
            return cls(said or label[1:], "", bats, tuple(marks))
        return cls(said, label, bats, tuple(marks))

    @property
    def key(self) -> str:
        """What his draw hangs on."""
        return f"{self.number}, {self.name}"

    @property
    def short(self) -> str:
        """His number, or his name while no number is known."""
        return self.number or self.name

    @property
    def tag(self) -> str:
        """His number, or his last name: what fits into a narrow column."""
        return self.number or (self.name.split() or [""])[-1]

    @property
    def side(self) -> str:
        """Where he hits from: right or left."""
        return _SIDES.get(self.bats, self.bats)

    def as_json(self) -> dict[str, Any]:
        """Return him as JSON values."""
        return {"number": self.number, "hitter": self.name, "bats": self.bats}


def numbered(batter: Batter) -> str:
    """Return how a hitter is called: by his number, else by his name."""
    return f"number {batter.number}" if batter.number else batter.name


def pair_words(pair: tuple[Call, Call] | None) -> str:
    """Return a pair to practise, such as ``fastball in, then changeup same spot``."""
    return f"{pair[0]}, then {pair[1].pitch} same spot" if pair else ""


def group_words(plans: Sequence[SharedPlan], batters: Sequence[Batter]) -> tuple[str, ...]:
    """Return what each plan is for, in words a child keeps apart; no two alike."""
    words: list[str] = []
    for plan in plans:
        choices = (*_said(plan, plans, batters), "the others", f"group {len(words) + 1}")
        words.append(next(word for word in choices if word and word not in words))
    return tuple(words)


def _said(
    plan: SharedPlan, plans: Sequence[SharedPlan], batters: Sequence[Batter]
) -> tuple[str, ...]:
    """Return words for one plan, the plainest first; some empty."""
    if len(plans) == 1:
        return ("everybody",)
    here = [batters[hitter] for hitter in plan.hitters]
    if len(here) == 1:
        return (f"only {here[0].short}",)
    rest = [one for hitter, one in enumerate(batters) if hitter not in plan.hitters]
    most = "most hitters" if 2 * len(here) > len(batters) else ""
    others = [other.card for other in plans if other is not plan]
    return (
        most,
        _by_marks(here, rest),
        _by_side(here, rest),
        _by_calls(plan.card, others),
        _by_first(plan.card, others),
    )


def _by_marks(here: Sequence[Batter], rest: Sequence[Batter]) -> str:
    """Return a mark that all of them have and at most a third of the others."""
    for mark in here[0].marks:
        seldom = 3 * sum(mark in one.marks for one in rest) <= len(rest)
        if seldom and all(mark in one.marks for one in here):
            return mark
    return ""


def _by_side(here: Sequence[Batter], rest: Sequence[Batter]) -> str:
    sides = {one.bats for one in here}
    if len(sides) == 1 and not sides & {one.bats for one in rest}:
        return f"hits {here[0].side}"
    return ""


def _by_calls(card: Card, others: Sequence[Card]) -> str:
    """Return what this plan calls more than every other one does, pitch first, then place."""
    mine, theirs = _shares(card), [_shares(other) for other in others]
    lead = {
        word: share - max(other.get(word, 0.0) for other in theirs) for word, share in mine.items()
    }
    best = max(lead, key=lambda word: lead[word])
    plural = "s" if best in TYPES else ""
    return f"more {best}{plural}" if lead[best] >= _LEADS else ""


def _by_first(card: Card, others: Sequence[Card]) -> str:
    """Return the first pitch called most, if no other plan's is the same."""
    first = card.rows["first pitch"][0][0]
    alike = any(other.rows["first pitch"][0][0] == first for other in others)
    return "" if alike else f"starts {first}"


def _shares(card: Card) -> dict[str, float]:
    """Return the share of pitch types and sides over the rows of a card."""
    shares: dict[str, float] = {}
    for calls in card.rows.values():
        for call, tenths in calls:
            for word in (call.pitch, call.side):
                shares[word] = shares.get(word, 0.0) + tenths
    total = float(np.sum([tenths for calls in card.rows.values() for _, tenths in calls]))
    return {word: share / total for word, share in shares.items() if word != "middle"}
