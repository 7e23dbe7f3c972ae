"""What hangs on what is not known: which calls turn when an assumption moves within its doubt.

The plan is solved again with one thing moved at a time: what surprise is worth, the area bonus,
what a ball in play is worth, the pitcher's spread, the last pitch. Where another call, or another
family, then leads its count by as much as a card can show, both calls are a coin flip.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball.count import COUNTS, Count
from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning.arrays import Bools, Floats
from sequencer.planning.assumed import AREA_RUNS
from sequencer.planning.calls import Call
from sequencer.planning.context import Context, free_game, under_rules
from sequencer.planning.solved import Solved, solve

#: Standard deviations that what surprise is worth is moved by.
SURPRISE_SDS: Final = 2.0
#: Runs that every ball in play is moved by (assumption): what professionals make of one is counted,
#: below them it is moved from theirs by runs per game alone.
IN_PLAY_RUNS: Final = MappingProxyType({"pro": 0.01})
_IN_PLAY_BELOW: Final = 0.02
#: Share by which another call must have gained on the one that led: what a card's tenths can show.
TURNS: Final = 0.1


@dataclass(frozen=True, eq=False)
class Given:
    """What a plan is made from."""

    hitters: tuple[HitterBelief, ...]
    pitcher: PitcherBelief
    league: League
    around: Context


@dataclass(frozen=True, slots=True)
class Turn:
    """A count whose main call another one takes over from when something is moved."""

    count: Count
    when: str
    call: Call
    instead: Call

    @property
    def says(self) -> str:
        """The turn in one line."""
        return f"{self.count}: {self.instead} instead of {self.call} with {self.when}"


@dataclass(frozen=True, eq=False)
class Sensitivity:
    """Which calls turn.

    Attributes
    ----------
    moved : tuple of str
        What was moved.
    turns : for each hitter, the turns of his counts
    coin_flips : array (hitters, 4, 3, calls)
        Whether a call is a coin flip: it leads and would not, or would.
    """

    moved: tuple[str, ...]
    turns: tuple[tuple[Turn, ...], ...]
    coin_flips: Bools

    def flipping(self, hitter: int, count: Count) -> tuple[int, ...]:
        """Return the calls of a count that are a coin flip against a hitter."""
        return tuple(int(c) for c in np.flatnonzero(self.coin_flips[(hitter, *count)]))


def moved(given: Given) -> tuple[tuple[str, Given], ...]:
    """Return what a plan is made from with one thing moved at a time, each in a coach's words."""
    league, assumed = given.league, given.around.assumed

    def surprise(sds: float) -> Given:
        moved = replace(
            league,
            surprise_miss=league.surprise_miss + sds * league.surprise_miss_sd,
            surprise_foul=league.surprise_foul + sds * league.surprise_foul_sd,
        )
        return replace(given, league=moved)

    def assuming(**values: float) -> Given:
        around = replace(given.around, assumed=replace(assumed, **values))
        return replace(given, around=around)

    runs = IN_PLAY_RUNS.get(league.level, _IN_PLAY_BELOW)
    return (
        ("surprise worth more", surprise(SURPRISE_SDS)),
        ("surprise worth less", surprise(-SURPRISE_SDS)),
        ("no gain from looking for a place", assuming(area_runs=0.0)),
        ("twice the gain from looking for a place", assuming(area_runs=2.0 * AREA_RUNS)),
        ("balls in play worth more", assuming(in_play=assumed.in_play + runs)),
        ("balls in play worth less", assuming(in_play=assumed.in_play - runs)),
        ("him wilder", replace(given, pitcher=wilder(given.pitcher, 1.0))),
        ("him surer", replace(given, pitcher=wilder(given.pitcher, -1.0))),
        ("the last pitch counting for nothing", assuming(same_side_other_speed=0.0)),
    )


def wilder(pitcher: PitcherBelief, sds: float) -> PitcherBelief:
    """Return a pitcher every pitch of whom spreads by so many posterior deviations more."""
    arsenal = tuple(
        replace(pitch, cov=pitch.cov * (1.0 + sds * pitch.spread_sd / pitch.spread) ** 2)
        for pitch in pitcher.arsenal
    )
    return replace(pitcher, arsenal=arsenal)


def sensitivity(
    solved: Solved, given: Given, told: Callable[[str], None] = lambda _: None
) -> Sensitivity:
    """Solve a plan again with one thing moved at a time, and say which calls turn.

    Parameters
    ----------
    solved : Solved
        The plan as it stands; its calls and trust are kept.
    given : Given
        What it was made from.
    told : callable
        Takes sentences on how far it is.
    """
    ways = moved(given)
    flips = np.zeros((len(given.hitters), 4, 3, len(solved.tables.calls)), dtype=bool)
    turns: list[list[Turn]] = [[] for _ in given.hitters]
    for i, (words, other) in enumerate(ways):
        told(f"Solving again with {words} ({i + 1} of {len(ways)}) …")
        mix = _mix(solved, other)[:, :, :, 0]
        for h in range(len(given.hitters)):
            for count in COUNTS:
                _turn(solved, h, count, mix[(h, *count)], words, flips, turns[h])
    names = tuple(words for words, _ in ways)
    return Sensitivity(names, tuple(map(tuple, turns)), flips)


def _mix(solved: Solved, other: Given) -> Floats:
    calls = solved.tables.calls
    free = free_game(other.hitters, other.pitcher, other.league, other.around, calls)
    return solve(under_rules(free, other.hitters, other.around), solved.trust, solved).mix


def _turn(
    solved: Solved,
    h: int,
    count: Count,
    mix: Floats,
    words: str,
    flips: Bools,
    turns: list[Turn],
) -> None:
    """Note in place the turn of a count when its mix becomes `mix`, if it is one."""
    calls, now = solved.tables.calls, solved.mix[h, count.balls, count.strikes, 0]
    pair = leads(calls, now, mix)
    if pair is None:
        return
    flips[h, count.balls, count.strikes, list(pair)] = True
    turns.append(Turn(count, words, calls[pair[0]], calls[pair[1]]))


def leads(calls: Sequence[Call], now: Floats, then: Floats) -> tuple[int, int] | None:
    """Return the call that leads a count now and the one that leads it then, if that is a turn.

    The family that leads is looked at first: among the targets of one family, shares move much for
    little.
    """
    families = np.array([[call.family == family for call in calls] for family in FAMILIES])
    old, new = families @ now, families @ then
    one, other = int(old.argmax()), int(new.argmax())
    if one != other and _gained(old, new, one, other):
        return int((families[one] * now).argmax()), int((families[other] * then).argmax())
    one, other = int(now.argmax()), int(then.argmax())
    return (one, other) if one != other and _gained(now, then, one, other) else None


def _gained(now: Floats, then: Floats, one: int, other: int) -> bool:
    return bool(
        (then[other] - then[one]) - (now[other] - now[one]) >= TURNS
        and then[other] - then[one] >= TURNS / 2.0
    )
