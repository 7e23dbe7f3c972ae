"""What stands beside the plan in a real situation: walking him, and pitching around him.

All in runs to the hitters relative to now, less is better for us, in the count as it is. Pitching
around is the game with calls off the plate only, solved as the plan is, so that a hitter who knows
it takes. Who is on deck counts when he is known: what he makes over the level's usual hitter
against this pitcher, where a walk leads and where an out does.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sequencer.baseball.count import Count
from sequencer.errors import BadInput
from sequencer.estimates import hitter as hitter_room
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import solve_tables
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.context import NO_RULES, Context, free_game, game_for, under_rules
from sequencer.planning.here import Moment, here
from sequencer.planning.outcomes import Tables
from sequencer.planning.solved import Solved

#: Runs within which two ways are told as a coin flip: what is not known of one hitter over a
#: plate appearance is about as much (assumption).
COIN_FLIP: Final = 0.03
#: Runs of who is on deck that are told: what two digits show.
_TOLD: Final = 0.005
#: Where to miss when he gets nothing to hit: off the plate, above and below it.
WIDE: Final = (
    "above-middle",
    "belt-off-in",
    "belt-off-away",
    "down-off-away",
    "below-away",
    "below-middle",
)
#: Share of plate appearances that end in an out: 293,697 of 437,603, Retrosheet 2016, 2019, 2020.
OUT_SHARE: Final = 0.671
#: Levels at which pitchers and hitters are there to learn; common practice, no source.
DEVELOPING: Final = ("9-10", "11-12")


@dataclass(frozen=True, slots=True)
class Beside:
    """The ways there are, in runs to the hitters.

    Attributes
    ----------
    plan : pitching to him, against a best reply
    walk : walking him now
    pitch_around : calls off the plate only, against a best reply
    on_deck : what the hitter on deck puts on `walk` beyond the usual hitter; 0 when not known
    base_open : whether first base is open
    win : the hitters' chance to win now, where inning and score are known
    by_win : whether runs are those of an even game's start, by the chance to win
    developing : whether players at this level are there to learn first
    announced : whether the rules let a walk be announced
    """

    plan: float
    walk: float
    pitch_around: float
    on_deck: float = 0.0
    base_open: bool = False
    win: float | None = None
    by_win: bool = False
    developing: bool = False
    announced: bool = True

    @property
    def worth_a_look(self) -> bool:
        """Whether either way is not dearer than pitching to him by more than a coin flip."""
        return min(self.walk, self.pitch_around) - self.plan < COIN_FLIP

    def says(self) -> tuple[str, ...]:
        """Return the ways in plain sentences."""
        said = [
            _said("walking him", self.walk - self.plan),
            _said("pitching around him", self.pitch_around - self.plan),
        ]
        if abs(self.on_deck) >= _TOLD:
            more = "more" if self.on_deck > 0.0 else "less"
            said.append(f"of the walk, {abs(self.on_deck):.2f} {more} is for who is on deck")
        if self.developing and self.worth_a_look:
            said.append("development first: pitch to him (common practice, no source)")
        elif self.walk - self.plan < -COIN_FLIP and not self.announced:
            said.append("a walk cannot be announced in this league: it takes four wide ones")
        return tuple(said)

    def as_json(self) -> dict[str, Any]:
        """Return the ways as JSON values."""
        return {
            "plan": self.plan,
            "walk": self.walk,
            "pitch_around": self.pitch_around,
            "on_deck": self.on_deck,
            "win": self.win,
            "by": "win chance" if self.by_win else "runs",
            "developing": self.developing,
            "says": list(self.says()),
        }


def _said(way: str, costs: float) -> str:
    if abs(costs) < COIN_FLIP:
        return f"{way} is within a coin flip of pitching to him"
    word = "costs" if costs > 0.0 else "saves"
    than = "more than" if costs > 0.0 else "against"
    return f"{way} {word} {abs(costs):.2f} runs {than} pitching to him"


def beside(
    solved: Solved,
    hitter: HitterBelief,
    pitcher: PitcherBelief,
    league: League,
    around: Context,
    count: Count,
    *,
    last: Call | None = None,
    on_deck: HitterBelief | None = None,
    index: int = 0,
) -> Beside:
    """Value walking a hitter and pitching around him beside his plan.

    Parameters
    ----------
    solved : Solved
        His plan in this situation, as of `suggest.Ready.solved` or a plan with a situation.
    hitter, pitcher, league, around
        What it was solved from; `around.moment` is the situation.
    count : Count
    last : Call, optional
        The pitch before, in this at-bat.
    on_deck : HitterBelief, optional
        Who hits next; the level's usual hitter when absent.
    index : int
        Which hitter of the tables he is.

    Raises
    ------
    BadInput
        If there is no real situation.
    """
    if around.moment is None:
        raise BadInput("Walking him is worth something only in a situation: say bases and outs.")
    now = here(around.moment, around.level, around.rules)
    put_on = 0.0 if on_deck is None else _on_deck(on_deck, pitcher, league, around, around.moment)
    return Beside(
        plan=_value(solved.tables, solved.guarantee, index, count, last),
        walk=now.play("walk") + put_on,
        pitch_around=_around(hitter, pitcher, league, around, count),
        on_deck=put_on,
        base_open=not around.moment.bases[0],
        win=now.win,
        by_win=now.by_win,
        developing=around.level.name in DEVELOPING,
        announced=around.rules.announced_walk,
    )


def _value(game: Tables, values: Floats, hitter: int, count: Count, last: Call | None) -> float:
    """Return a value after the pitch before, where that matters."""
    return float(values[hitter, count.balls, count.strikes, game.last_of(last)])


def _around(
    hitter: HitterBelief, pitcher: PitcherBelief, league: League, around: Context, count: Count
) -> float:
    """Return the value of the game with calls off the plate only, from this count."""
    coach = around.coach_against(hitter.name)
    breaking = CoachRules(breaking=coach.breaking, last_pitch=False)
    kept = replace(around, coach=breaking, rules_for={})
    free = free_game([hitter], pitcher, league, kept, wide_calls(around, pitcher, coach))
    return float(_values(under_rules(free, [hitter], kept))[0, count.balls, count.strikes])


def wide_calls(
    around: Context, pitcher: PitcherBelief, coach: CoachRules = NO_RULES
) -> tuple[Call, ...]:
    """Return calls off the plate, whatever the pitcher's command: he need only miss there.

    The coach's rules on pitches and sides hold here too.
    """
    wide = tuple(Call(pitch.pitch, word) for pitch in around.pitches(pitcher) for word in WIDE)
    return tuple(call for call in wide if coach.allows(call)) or wide


def _values(game: Tables) -> Floats:
    """Return the exact values at trust 0 by hitter and count, nothing shown before."""
    values: Floats = solve_tables(game.game()).value[..., 0]
    return values


def _on_deck(
    on_deck: HitterBelief,
    pitcher: PitcherBelief,
    league: League,
    around: Context,
    moment: Moment,
) -> float:
    """Return what he makes over the usual hitter after a walk, less the same after pitching.

    Pitching leads to an out as often as it does in a league, and else to where a walk does.
    """
    usual = hitter_room.average(league.level, bats=on_deck.bats)
    (bases, outs, scored), out = _after_walk(moment), _after_out(moment)
    walked = _over([on_deck, usual], pitcher, league, around, moment.after(bases, outs, scored))
    pitched = 0.0 if out is None else _over([on_deck, usual], pitcher, league, around, out)
    return OUT_SHARE * (walked - pitched)


def _after_walk(moment: Moment) -> tuple[tuple[str, str, str], int, int]:
    """Return bases, outs and runs once he is walked."""
    first, second, third = (bool(base) for base in moment.bases)
    on = (True, first or second, (first and second) or third)
    bases = tuple("on" if base else "" for base in on)
    return (bases[0], bases[1], bases[2]), moment.outs, int(first and second and third)


def _after_out(moment: Moment) -> Moment | None:
    """Return the moment with one more out, nobody moved; None when that ends the half."""
    return moment.after(moment.bases, moment.outs + 1) if moment.outs < 2 else None


def _over(
    two: Sequence[HitterBelief],
    pitcher: PitcherBelief,
    league: League,
    around: Context,
    moment: Moment,
) -> float:
    """Return what the first of two hitters makes over the second in a situation."""
    coach = replace(around.coach, last_pitch=False)
    game = game_for(two, pitcher, league, replace(around, moment=moment, coach=coach))
    first, second = _values(game)[:, 0, 0]
    return float(first - second)


__all__ = ["COIN_FLIP", "DEVELOPING", "WIDE", "Beside", "beside", "wide_calls"]
