"""The next call in one state, with its reason and a draw from the mix."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sequencer.baseball.count import START, Count
from sequencer.baseball.rules import RuleSet
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats
from sequencer.planning.beside import Beside
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.context import NO_RULES, Context, context, game_for
from sequencer.planning.reasons import State, why
from sequencer.planning.solved import Solved, solve
from sequencer.planning.stakes import Catcher, Moment
from sequencer.planning.trust import Trust, trusts


@dataclass(frozen=True, slots=True)
class Suggested:
    """One call of a mix: its share, its runs to the hitter from here, and why."""

    call: Call
    share: float
    runs: float
    why: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What to call now.

    Attributes
    ----------
    count : Count
    last : str
        What the pitch before showed, such as ``fast away``; none when it does not matter.
    calls : tuple of Suggested
        The mix, most first; shares sum to one.
    draw : Call
        One of them, drawn from the mix.
    """

    count: Count
    last: str
    calls: tuple[Suggested, ...]
    draw: Call


@dataclass(frozen=True, eq=False)
class Ready:
    """One hitter solved in one situation: every count still to come can be asked at once.

    Attributes
    ----------
    solved : Solved
    hitter : int
        Which hitter of the tables.
    """

    solved: Solved
    hitter: int = 0

    def at(
        self, count: Count, last: Call | None = None, seed: int | tuple[int, ...] = 0
    ) -> Suggestion:
        """Return the suggestion in a count after a pitch.

        Parameters
        ----------
        count : Count
        last : Call or None
            What was thrown before, None at the start of an at-bat.
        seed : int or tuple of int
            Of the draw: the same seed and state draw the same call.
        """
        game = self.solved.tables
        place = game.last_of(last)
        mix = self.solved.mix[self.hitter, count.balls, count.strikes, place]
        order = [int(i) for i in np.argsort(-mix, kind="stable") if mix[i] > 0.0]
        state = self.state(count, place)
        runs = self.solved.payoffs(self.hitter, *count, place) @ state.brings
        calls = tuple(
            Suggested(game.calls[i], float(mix[i]), float(runs[i]), why(i, state)) for i in order
        )
        drawn = np.random.default_rng(seed).choice(len(calls), p=[one.share for one in calls])
        return Suggestion(count, game.lasts[place], calls, calls[int(drawn)].call)

    def state(self, count: Count, place: int = 0) -> State:
        """Gather the numbers of a count after one of the last pitches.

        He brings his habit as far as the book is trusted, else a best reply.
        """
        game, where = self.solved.tables, (self.hitter, count.balls, count.strikes, place)
        trust = float(self.solved.trust[self.hitter])
        brings = trust * game.habit[where] + (1.0 - trust) * self.solved.looks[where]
        outcomes, end_runs = game.state(self.hitter, count.balls, count.strikes, place)
        return State(
            outcomes,
            end_runs,
            self._after(count),
            brings,
            game.looks,
            game.allowed[self.hitter],
            float(self.solved.value[where]),
        )

    def _after(self, count: Count) -> Floats:
        """Return (calls, 3) runs after a ball, a strike and a foul on each call."""
        game, (balls, strikes) = self.solved.game, count
        values = game.blank_values()
        values[:, :4, :3] = self.solved.value
        then = values[self.hitter][:, :, game.next_last]
        fouled = min(strikes + 1, 2)
        return np.stack(
            [then[balls + 1, strikes], then[balls, strikes + 1], then[balls, fouled]], axis=1
        )


def ready(
    hitter: HitterBelief,
    pitcher: PitcherBelief,
    league: League,
    around: Context,
    trust: Trust = 0.0,
    since: Count = START,
) -> Ready:
    """Solve one hitter in one situation, at a trust as for a plan, in the counts still to come."""
    game = game_for([hitter], pitcher, league, around)
    return Ready(solve(game, trusts(trust, [hitter]), since=since))


def suggest(
    hitter: HitterBelief,
    pitcher: PitcherBelief,
    league: League,
    count: Count,
    *,
    last: Call | None = None,
    situation: Moment | None = None,
    trust: Trust = 0.0,
    coach: CoachRules = NO_RULES,
    catcher: str | Catcher = "average",
    rules: RuleSet | None = None,
    seed: int | tuple[int, ...] = 0,
) -> Suggestion:
    """Return the next call in one state; for many states of one situation use `ready`.

    Parameters
    ----------
    hitter, pitcher, league
        As for a plan.
    count : Count
    last : Call, optional
        The pitch before, in this at-bat.
    situation : Moment, optional
        The average one when absent.
    trust, coach, catcher, rules
        As for a plan.
    seed : int or tuple of int
        Of the draw.
    """
    around = context(league.level, rules=rules, coach=coach, moment=situation, catcher=catcher)
    return ready(hitter, pitcher, league, around, trust).at(count, last, seed)


def as_json(
    suggestion: Suggestion,
    state: dict[str, Any],
    guess_rate: float | None,
    beside: Beside | None = None,
) -> dict[str, Any]:
    """Return a suggestion as JSON values, with the state it is for as it was asked."""
    return {
        "state": state,
        "calls": [
            {
                "pitch": one.call.pitch,
                "target": one.call.target,
                "share": one.share,
                "runs": one.runs,
                "why": one.why,
            }
            for one in suggestion.calls
        ],
        "draw": {"pitch": suggestion.draw.pitch, "target": suggestion.draw.target},
        "guess_rate": guess_rate,
        "beside": beside.as_json() if beside else None,
    }
