"""What a plan depends on beside the two people: level, rules, the coach's rules, the situation."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball.levels import Level
from sequencer.baseball.levels import level as find_level
from sequencer.baseball.rules import RuleSet, rule_set
from sequencer.estimates.command import PitchBelief, PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning import coach as coach_room
from sequencer.planning import stakes as stakes_room
from sequencer.planning.assumed import USUAL, Assumed
from sequencer.planning.calls import (
    STRIKE_FIRST,
    Call,
    CoachRules,
    allowed_calls,
    calls_for,
    planned,
    step_for,
    strike_first,
)
from sequencer.planning.outcomes import Tables, tables
from sequencer.planning.solved import ruled_out
from sequencer.planning.stakes import Catcher, Moment, Stakes

NO_RULES: Final = CoachRules()
_AIMED: Final = MappingProxyType(
    {
        "middle": "down the middle only",
        "half": "at halves",
        "quarter": "at quarters",
        "spot": "at spots",
        "ring": "at spots and off the plate",
    }
)


@dataclass(frozen=True, slots=True)
class Context:
    """What a plan depends on beside the two people.

    Attributes
    ----------
    level : Level
    rules : RuleSet
    coach : CoachRules
    moment : Moment or None
        A real situation; None for the average one, which a card is for.
    catcher : str or Catcher
        good, average or poor at blocking, or as he is known.
    assumed : Assumed
        What no data at hand can settle, to be moved for a look at what hangs on it.
    rules_for : mapping of hitter's name -> CoachRules
        Rules against one hitter, beside those against all.
    """

    level: Level
    rules: RuleSet
    coach: CoachRules = NO_RULES
    moment: Moment | None = None
    catcher: str | Catcher = "average"
    assumed: Assumed = USUAL
    rules_for: Mapping[str, CoachRules] = field(default_factory=dict)

    def coach_against(self, hitter: str) -> CoachRules:
        """Return the coach's rules against one hitter."""
        return coach_room.joined(self.coach, self.rules_for.get(hitter, NO_RULES))

    def coaches(self, hitters: Sequence[HitterBelief]) -> tuple[CoachRules, ...]:
        """Return the coach's rules against each hitter."""
        return tuple(self.coach_against(hitter.name) for hitter in hitters)

    def guided(self, hitters: Sequence[HitterBelief]) -> tuple[CoachRules, ...]:
        """Return these rules with the level's guidance on breaking balls among them."""
        return tuple(
            replace(one, breaking=self.level.breaking_balls) if one.breaking is None else one
            for one in self.coaches(hitters)
        )

    def stakes(self, league: League) -> Stakes:
        """Return what ends and runs by the way are worth here."""
        third = self.rules.dropped_third_strike
        if self.moment is None:
            return stakes_room.average(self.level, catcher=self.catcher, dropped_third_strike=third)
        return stakes_room.right_now(
            self.moment,
            self.level,
            league,
            catcher=self.catcher,
            dropped_third_strike=third,
            lead_offs=self.rules.lead_offs,
            rules=self.rules,
        )

    def pitches(self, pitcher: PitcherBelief) -> tuple[PitchBelief, ...]:
        """Return the pitches that may be planned with."""
        on = any(one.breaking is True for one in self.rules_for.values())
        return planned(pitcher, self.level.breaking_balls or on, self.coach)


def context(
    level: str,
    *,
    rules: RuleSet | None = None,
    coach: CoachRules = NO_RULES,
    moment: Moment | None = None,
    catcher: str | Catcher = "average",
    rules_for: Mapping[str, CoachRules] | None = None,
) -> Context:
    """Gather what a plan depends on; the level's usual rule set when none is given."""
    at = find_level(level)
    ruled = rules or rule_set(at.rules)
    return Context(at, ruled, coach, moment, catcher, rules_for=dict(rules_for or {}))


def free_game(
    hitters: Sequence[HitterBelief],
    pitcher: PitcherBelief,
    league: League,
    around: Context,
    calls: tuple[Call, ...] | None = None,
) -> Tables:
    """Return the tables of the game before the coach's rules, over the calls they are about.

    These are as fine as the pitcher's command, unless they are given.
    """
    return tables(
        hitters,
        pitcher,
        league,
        calls or calls_for(around.pitches(pitcher), *around.coaches(hitters)),
        around.stakes(league),
        around.level.zone,
        last_pitch=around.coach.last_pitch,
        assumed=around.assumed,
    )


def under_rules(free: Tables, hitters: Sequence[HitterBelief], around: Context) -> Tables:
    """Return the game under the coach's rules against each hitter.

    Raises
    ------
    BadInput
        If they leave no call.
    """
    left = np.array([allowed_calls(free.calls, one) for one in around.guided(hitters)])
    return free if left.all() else ruled_out(free, left)


def game_for(
    hitters: Sequence[HitterBelief], pitcher: PitcherBelief, league: League, around: Context
) -> Tables:
    """Return the tables of the game under the coach's rules."""
    return under_rules(free_game(hitters, pitcher, league, around), hitters, around)


def notes(pitcher: PitcherBelief, around: Context) -> tuple[str, ...]:
    """Return what must be said beside a plan, in a coach's words."""
    said = [*pitcher.notes, *pitcher.alike_notes()]
    if isinstance(around.catcher, Catcher) and around.catcher.says:
        said.append(around.catcher.says)
    if strike_first(pitcher):
        said.append(STRIKE_FIRST)
    has_breaking = any(pitch.family == "breaking" for pitch in pitcher.available)
    guidance = around.level.breaking_balls
    if has_breaking and not guidance and around.coach.breaking is not True:
        said.append(f"no breaking balls at {around.level.name} unless you turn them on")
    elif has_breaking and around.coach.breaking is not False and around.level.caution:
        said.append(around.level.caution)
    said += [f"{p.pitch} shelved: {p.evidence}" for p in pitcher.arsenal if p.shelved]
    thrown = {pitch.pitch for pitch in pitcher.arsenal}
    said += [
        f"he does not throw a {pitch} anyway" for pitch in around.coach.never if pitch not in thrown
    ]
    return tuple(said)


def aims(pitcher: PitcherBelief, around: Context) -> str:
    """Return how finely each pitch can be aimed, in a coach's words."""
    held = around.pitches(pitcher)
    return "he can aim " + ", ".join(f"the {p.pitch} {_AIMED[step_for(p)]}" for p in held)
