"""A plan for every hitter against one of our pitchers: numbers in, plan out."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final, TypeVar

import numpy as np

from sequencer.baseball.count import COUNTS, Count
from sequencer.baseball.rules import RuleSet
from sequencer.errors import BadInput
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.planning.arrays import Floats
from sequencer.planning.beside import Beside, beside
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.coach import costs, first_values, joined
from sequencer.planning.context import (
    NO_RULES,
    aims,
    context,
    free_game,
    notes,
    under_rules,
)
from sequencer.planning.looks import Look
from sequencer.planning.mix import Card, cards, mix_of, simplicity_cost
from sequencer.planning.outcomes import Tables
from sequencer.planning.saved import save_tables
from sequencer.planning.sensitivity import Given, Turn, sensitivity
from sequencer.planning.solved import Solved, solve
from sequencer.planning.stakes import Catcher, Moment
from sequencer.planning.suggest import Ready, Suggested, Suggestion, suggest
from sequencer.planning.trust import AUTO, Trust, trusts
from sequencer.planning.what_if import Answer, Preferred, what_if

Thing = TypeVar("Thing")

#: The last of a hitter's rules' costs: of all of them.
TOGETHER: Final = "all together"
#: Shares of looks smaller than this are left out of what is shown.
SHOWN: Final = 0.005


@dataclass(frozen=True, slots=True)
class CountPlan:
    """One count of one hitter, nothing shown by the pitch before.

    Attributes
    ----------
    value, gap : float
        Runs of a best reply to the plan from here, and that less the value at trust 0.
    calls : calls with shares, most first
    looks : what he would best bring, with shares, most first
    one_call : float
        Runs a pitch that the best one call, always made and known to him, gives away here: what
        mixing is worth.
    coin_flips : calls that turn when an assumption moves; None before that was looked at
    """

    value: float
    gap: float
    calls: tuple[tuple[Call, float], ...]
    looks: tuple[tuple[Look, float], ...]
    one_call: float
    coin_flips: frozenset[Call] | None = None


@dataclass(frozen=True, slots=True)
class HitterPlan:
    """One hitter's plan; runs are per plate appearance, to him.

    Attributes
    ----------
    value : a best reply over the whole at-bat against this plan: what it guarantees.
    gap : that less the value at trust 0.
    if_book_right : runs saved against his habit, compared with the plan at trust 0.
    if_book_wrong : runs lost to a best reply, compared with the same.
    rules_costs : words and runs of each of the coach's rules alone, at trust 0; then of them all.
    simplicity_cost : card against plan, both against a best reply.
    trust : how far this plan leans on the book.
    turns : what turns when an assumption moves within its doubt; see `sensitivity`.
    beside : walking him and pitching around him; None without a real situation.
    """

    hitter: str
    bats: str
    value: float
    gap: float
    if_book_right: float
    if_book_wrong: float
    rules_costs: tuple[tuple[str, float], ...]
    counts: dict[Count, CountPlan]
    card: Card
    simplicity_cost: float
    notes: tuple[str, ...] = ()
    trust: float = 0.0
    turns: tuple[Turn, ...] = ()
    beside: Beside | None = None

    @property
    def rules_cost(self) -> float:
        """Runs that all of the coach's rules together cost, at trust 0."""
        return self.rules_costs[-1][1] if self.rules_costs else 0.0

    def as_json(self) -> dict[str, Any]:
        """Return the plan of this hitter as JSON values."""
        return {
            "hitter": self.hitter,
            "bats": self.bats,
            "trust": self.trust,
            "value": self.value,
            "gap": self.gap,
            "if_book_right": self.if_book_right,
            "if_book_wrong": self.if_book_wrong,
            "rules_cost": self.rules_cost,
            "rules_costs": [{"rule": words, "cost": cost} for words, cost in self.rules_costs],
            "counts": {str(count): _count_json(one) for count, one in self.counts.items()},
            "card": {
                row: [
                    {"pitch": call.pitch, "target": call.target, "tenths": tenths}
                    for call, tenths in calls
                ]
                for row, calls in self.card.rows.items()
            },
            "simplicity_cost": self.simplicity_cost,
            "turns": [
                {"count": str(one.count), "when": one.when, "instead": str(one.instead)}
                for one in self.turns
            ],
            "notes": list(self.notes),
            "beside": self.beside.as_json() if self.beside else None,
        }


def _count_json(one: CountPlan) -> dict[str, Any]:
    return {
        "value": one.value,
        "gap": one.gap,
        "one_call": one.one_call,
        "calls": [
            {
                "pitch": call.pitch,
                "target": call.target,
                "share": share,
                "coin_flip": None if one.coin_flips is None else call in one.coin_flips,
            }
            for call, share in one.calls
        ],
        "looks": [
            {
                "look": str(look),
                "readiness": look.readiness,
                "belief": None if look.readiness == "take" else look.belief,
                "area": "whole" if look.readiness == "take" else look.area,
                "share": share,
            }
            for look, share in one.looks
        ],
    }


@dataclass(frozen=True, eq=False)
class Plan:
    """A plan for every hitter, what it believes of the pitcher, and the solved game behind it.

    `trust` is the mean of the hitters' own; `by_book` when each is by what the book knows of him.
    `given` is what it was made from.
    """

    pitcher: str
    level: str
    trust: float
    hitters: tuple[HitterPlan, ...]
    notes: tuple[str, ...]
    arsenal: tuple[PitchBelief, ...]
    solved: Solved
    given: Given
    by_book: bool = False

    def as_json(self, *, why: bool = False, asked: Sequence[Preferred] = ()) -> dict[str, Any]:
        """Return the plan as JSON values.

        Parameters
        ----------
        why : bool
            Whether to say why of each call.
        asked : sequence of Preferred
            Calls the coach would rather make: what each costs, against each hitter.
        """
        hitters = [one.as_json() for one in self.hitters]
        answers = [self.what_if(one) for one in asked]
        for h, said in enumerate(hitters):
            said["what_if"] = [answer[h].as_json() for answer in answers]
            for count, calls in self.whys(h).items() if why else ():
                reasons = {one.call: one.why for one in calls}
                for (call, _), told in zip(
                    self.hitters[h].counts[count].calls,
                    said["counts"][str(count)]["calls"],
                    strict=True,
                ):
                    told["why"] = reasons[call]
        return {
            "pitcher": self.pitcher,
            "level": self.level,
            "trust": self.trust,
            "trust_by": "book" if self.by_book else "coach",
            "hitters": hitters,
            "arsenal": [_pitch_json(pitch) for pitch in self.arsenal],
            "notes": list(self.notes),
        }

    def with_sensitivity(self, told: Callable[[str], None] = lambda _: None) -> "Plan":
        """Return the plan with its coin flips marked: it is solved some ten times more.

        Parameters
        ----------
        told : callable
            Takes sentences on how far it is.
        """
        found = sensitivity(self.solved, self.given, told)
        hitters = tuple(
            replace(
                one,
                turns=found.turns[h],
                counts={
                    count: replace(
                        here,
                        coin_flips=frozenset(
                            self.solved.tables.calls[c] for c in found.flipping(h, count)
                        ),
                    )
                    for count, here in one.counts.items()
                },
            )
            for h, one in enumerate(self.hitters)
        )
        return replace(self, hitters=hitters)

    def what_if(self, preferred: Preferred) -> tuple[Answer, ...]:
        """Return what a call the coach prefers costs against each hitter."""
        return what_if(self.solved, preferred, tuple(one.hitter for one in self.hitters))

    def whys(self, hitter: int) -> dict[Count, tuple[Suggested, ...]]:
        """Return the calls of each count against a hitter, each with its runs and why."""
        ready = Ready(self.solved, hitter)
        return {count: ready.at(count).calls for count in COUNTS}

    def save_tables(self, path: str | Path) -> None:
        """Write the game behind the plan as .npz; see `saved`."""
        cards = mix_of([one.card for one in self.hitters], len(self.solved.tables.lasts))
        save_tables(self.solved, path, cards)


def _pitch_json(pitch: PitchBelief) -> dict[str, Any]:
    """Return what is believed of one pitch, with its spread, as JSON values."""
    return {
        "pitch": pitch.pitch,
        "spread_in": pitch.spread,
        "spread_sd_in": pitch.spread_sd,
        "charted": pitch.charted,
        "strike_share": pitch.strike_share,
        "interval": list(pitch.strike_interval),
        "thrown": pitch.thrown,
        "shelved": pitch.shelved,
    }


def plan(
    hitters: Sequence[HitterBelief],
    pitcher: PitcherBelief,
    league: League,
    *,
    trust: Trust = 0.0,
    coach: CoachRules = NO_RULES,
    rules_for: Mapping[str, CoachRules] | None = None,
    situation: Moment | None = None,
    catcher: str | Catcher = "average",
    rules: RuleSet | None = None,
) -> Plan:
    """Plan every hitter for one pitcher.

    Parameters
    ----------
    hitters : sequence of HitterBelief
    pitcher : PitcherBelief
    league : League
        Of the level that is played.
    trust : float or auto
        How far to lean on the book, 0 (safe) to 0.9; auto, as far as it knows each hitter's habit.
    coach : CoachRules
        Constraints of the game; their cost in runs is stated.
    rules_for : mapping of hitter's name -> CoachRules
        Rules against one hitter, beside those.
    situation : Moment, optional
        A real situation; the average one when absent.
    catcher : str or Catcher
        good, average or poor at blocking, or as he is known.
    rules : RuleSet, optional
        The level's usual one when absent.

    Raises
    ------
    BadInput
        For no hitter, a trust out of range, a pitcher without a pitch, or rules that leave no call.
    """
    if not hitters:
        raise BadInput("There is no hitter to plan for: name a team or a file of hitters.")
    lean, (thrower, left_out) = trusts(trust, hitters), _unshelved(pitcher)
    around = context(
        league.level,
        rules=rules,
        coach=joined(coach, left_out),
        moment=situation,
        catcher=catcher,
        rules_for=rules_for,
    )
    free = free_game(hitters, thrower, league, around)
    game = under_rules(free, hitters, around)
    solved = solve(game, lean)
    simple_cards = cards(solved)
    simple = simplicity_cost(game, simple_cards, solved.guarantee)
    binding = _rules_costs(free, solved, around.coaches(hitters))
    made = [
        _hitter_plan(solved, h, hitter, simple_cards[h], float(simple[h]), binding[h])
        for h, hitter in enumerate(hitters)
    ]
    if situation is not None:
        made = [
            replace(one, beside=beside(solved, man, thrower, league, around, Count(0, 0), index=h))
            for h, (one, man) in enumerate(zip(made, hitters, strict=True))
        ]
    return Plan(
        pitcher.name,
        league.level,
        float(lean.mean()),
        tuple(made),
        (*notes(pitcher, around), aims(pitcher, around)),
        pitcher.arsenal,
        solved,
        Given(tuple(hitters), thrower, league, around),
        by_book=trust == AUTO,
    )


def _unshelved(pitcher: PitcherBelief) -> tuple[PitcherBelief, CoachRules]:
    """Return a pitcher with the pitches he has not got today, and the rule that leaves them out.

    So what being without them costs is told as of any rule.
    """
    gone = tuple(pitch.pitch for pitch in pitcher.arsenal if pitch.shelved)
    arsenal = tuple(replace(pitch, shelved=False) for pitch in pitcher.arsenal)
    return replace(pitcher, arsenal=arsenal), CoachRules(never=gone)


def _rules_costs(
    free: Tables, solved: Solved, coaches: Sequence[CoachRules]
) -> list[tuple[tuple[str, float], ...]]:
    """Return what each hitter's rules cost alone, and all together, at trust 0."""
    alone = costs(free, coaches)
    if not any(alone):
        return [()] * len(coaches)
    together = np.maximum(solved.safe[:, 0, 0, 0] - first_values(free), 0.0)
    return [
        (*one, (TOGETHER, float(cost))) if one else ()
        for one, cost in zip(alone, together, strict=True)
    ]


def _hitter_plan(
    solved: Solved,
    h: int,
    hitter: HitterBelief,
    one_card: Card,
    simple: float,
    binding: tuple[tuple[str, float], ...],
) -> HitterPlan:
    start = (h, 0, 0, 0)
    value = float(solved.guarantee[start])
    return HitterPlan(
        hitter=hitter.name,
        bats=hitter.bats,
        value=value,
        gap=max(value - float(solved.safe[start]), 0.0),
        if_book_right=float(solved.safe_if_habit[start] - solved.if_habit[start]),
        if_book_wrong=float(solved.guarantee[start] - solved.safe_guarantee[start]),
        rules_costs=binding,
        counts={count: _count_plan(solved, h, count) for count in COUNTS},
        card=one_card,
        simplicity_cost=simple,
        notes=hitter.notes,
        trust=float(solved.trust[h]),
    )


def _count_plan(solved: Solved, h: int, count: Count) -> CountPlan:
    where = (h, count.balls, count.strikes, 0)
    value = float(solved.guarantee[where])
    return CountPlan(
        value,
        max(value - float(solved.safe[where]), 0.0),
        most_first(solved.tables.calls, solved.mix[where]),
        most_first(solved.tables.looks, solved.looks[where], SHOWN),
        solved.one_call(h, count.balls, count.strikes),
    )


def most_first(
    things: tuple[Thing, ...], shares: Floats, least: float = 0.0
) -> tuple[tuple[Thing, float], ...]:
    """Return what has more than the least share with its share, most first; they sum to one."""
    order = np.argsort(-shares, kind="stable")
    kept = [int(i) for i in order if shares[i] > least]
    total = float(shares[kept].sum())
    return tuple((things[i], float(shares[i]) / total) for i in kept)


__all__ = ["CountPlan", "HitterPlan", "Plan", "Suggestion", "most_first", "plan", "suggest"]
