"""Advice for the pitch to come: what a game's state asks, answered from solved at-bats.

One hitter in one base-out situation is solved once, in some tens of milliseconds, and answers for
every count and last pitch after that; a screen asks in a worker and logging never waits.
"""

from dataclasses import dataclass, replace
from typing import Final, TypeVar

from sequencer.baseball.count import Count
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.rules import RuleSet
from sequencer.baseball.zone import TARGETS, to_hitter
from sequencer.errors import CoachError
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.beside import Beside, beside
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.context import NO_RULES, Context, context, notes
from sequencer.planning.stakes import Catcher, Moment
from sequencer.planning.suggest import Ready, Suggestion, ready
from sequencer.planning.trust import Trust
from sequencer.records.state import Logged, State

Key = TypeVar("Key")
Held = TypeVar("Held")

#: Nobody on and none out.
AT_FIRST: Final = Moment()
#: Situations kept solved: a line-up in two or three of them.
KEPT: Final = 24


def keep(solved: dict[Key, Held], key: Key, held: Held) -> None:
    """Keep what was asked for last, newest last, and forget what is beyond `KEPT`."""
    solved[key] = held
    while len(solved) > KEPT:
        solved.pop(next(iter(solved)))


class NoAdvice(CoachError):
    """Nothing can be advised in this state, and why."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: who hits, the count, the situation, and what was thrown before."""

    hitter: HitterBelief
    count: Count
    moment: Moment = AT_FIRST
    last: Call | None = None


class Adviser:
    """Advice against one pitcher's opponents.

    Parameters
    ----------
    pitcher : PitcherBelief
    league : League
    rules : RuleSet
    coach : CoachRules
    trust : float or auto
        How far to lean on the book, 0 to 0.9, or as far as it knows each hitter's habit.
    catcher : str or Catcher
        good, average or poor at blocking, or as he is known.
    """

    def __init__(
        self,
        pitcher: PitcherBelief,
        league: League,
        rules: RuleSet,
        *,
        coach: CoachRules = NO_RULES,
        trust: Trust = 0.0,
        catcher: str | Catcher = "average",
    ) -> None:
        self.pitcher, self.league, self.rules = pitcher, league, rules
        self.coach, self.trust, self.catcher = coach, trust, catcher
        self._solved: dict[tuple[int, Moment], tuple[HitterBelief, Ready]] = {}

    def advise(self, asked: Asked, seed: int | tuple[int, ...] = 0) -> Suggestion:
        """Return the suggestion for one question; the same seed draws the same call."""
        return self.prepared(asked.hitter, asked.moment).at(asked.count, asked.last, seed)

    def beside(self, asked: Asked, on_deck: HitterBelief | None = None) -> Beside:
        """Return what walking him and pitching around him are worth beside the plan."""
        solved = self.prepared(asked.hitter, asked.moment).solved
        around = self._around(asked.moment)
        return beside(
            solved,
            asked.hitter,
            self.pitcher,
            self.league,
            around,
            asked.count,
            last=asked.last,
            on_deck=on_deck,
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What must be said beside advice, in a coach's words."""
        return notes(self.pitcher, self._around(AT_FIRST))

    def _around(self, moment: Moment) -> Context:
        return context(
            self.league.level,
            rules=self.rules,
            coach=self.coach,
            moment=moment,
            catcher=self.catcher,
        )

    def prepared(self, hitter: HitterBelief, moment: Moment) -> Ready:
        """Return a hitter solved in a situation, from the last few when he is among them."""
        first, second, third = ("on" if base else "" for base in moment.bases)
        key = (id(hitter), replace(moment, bases=(first, second, third)))
        held = self._solved.pop(key, None)
        if held is None:
            around = self._around(moment)
            held = (hitter, ready(hitter, self.pitcher, self.league, around, self.trust))
        keep(self._solved, key, held)
        return held[1]


def moment_of(state: State) -> Moment:
    """Return the situation of a state, whoever the runners are.

    Inning and score count where the score is known: both halves are logged, or the board's score
    was said in this half.
    """
    first, second, third = ("on" if base else "" for base in state.bases)
    if not _score_known(state):
        return Moment((first, second, third), state.outs)
    lead = state.score_us - state.score_them
    return Moment(
        (first, second, third),
        state.outs,
        state.inning,
        state.half,
        lead if state.pitching == "us" else -lead,
        state.half_runs,
    )


def _score_known(state: State) -> bool:
    here = (state.inning, state.half)
    return state.game.both_halves or any(
        each.event.event == "score" and (each.before.inning, each.before.half) == here
        for each in state.happened
    )


def last_call(state: State) -> Call | None:
    """Return what the pitch before showed this hitter; None at the start of an at-bat."""
    if not state.log or state.log[-1].before.at_bat != state.at_bat:
        return None
    return shown(state.log[-1])


def shown(logged: Logged) -> Call | None:
    """Return the type and place of a logged pitch; None when its type is not known.

    Where it crossed, else where it was asked for, else the middle.
    """
    pitch = logged.pitch
    if TYPES.get(pitch.pitch, "unknown") == "unknown":
        return None
    for word in (pitch.cell, pitch.target):
        place = to_hitter(word, logged.before.bats)
        if place in TARGETS:
            return Call(pitch.pitch, place)
    return Call(pitch.pitch, "middle")
