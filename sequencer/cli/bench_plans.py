"""Measurements of plans: a line-up from fresh beliefs, and one hitter anew after a pitch."""

import time
from collections.abc import Callable
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Final, TypeVar

from sequencer.cli.bench import Measured

if TYPE_CHECKING:
    from sequencer.estimates.hitter import HitterBelief
    from sequencer.planning.lasts import Memory
    from sequencer.planning.outcomes import Tables
    from sequencer.planning.solved import Solved

Thing = TypeVar("Thing")

_LEVEL: Final = "17-18"
_TYPES: Final = ("fastball", "cutter", "changeup", "curveball", "slider")
#: Runs of which the quickest counts: what else the machine does is not the plan's.
_RUNS: Final = 5


def nine_hitters() -> Measured:
    """Measure nine hitters, 45 calls and nine last pitches, beside scipy on their games alone.

    Beliefs are fresh and cards left out; all a plan says of every count is worked out.
    """
    from sequencer.cli.bench_games import program

    def plan() -> "Solved":
        return _solved(_tables(_men(9), _nine_states()))

    solved, ours = _quickest(plan)
    states = [(man, balls, 1, 0) for man in range(9) for balls in range(0, 4, 2)]
    games = [solved.payoffs(*state) for state in states]
    began = time.perf_counter()
    for game in games:
        program(game)
    other = (time.perf_counter() - began) * solved.value.size / len(states)
    return Measured("plan of nine hitters", ours, other, "scipy, games alone", "0.5 s", ours <= 0.5)


def one_hitter_anew() -> Measured:
    """Measure one hitter's mix from fresh beliefs, beside his game as whole arrays alone."""
    from sequencer.planning.at_bat import at_bat_tables, solve_tables
    from sequencer.planning.solved import solve

    solved, ours = _quickest(lambda: solve(_tables(_men(1), None)))
    game = solved.tables

    def whole() -> object:
        stakes = game.stakes
        return solve_tables(
            at_bat_tables(
                game.outcomes, game.end_runs, game.next_last, stakes.walk, stakes.strikeout,
                stakes.hit_by_pitch, call_runs=game.call_runs,
            )
        )  # fmt: skip

    _, other = _quickest(whole)
    must = "100 ms"
    return Measured("one hitter planned", ours, other, "whole arrays alone", must, ours <= 0.1)


def _quickest(work: Callable[[], Thing]) -> tuple[Thing, float]:
    """Return what work makes and the least time it took."""
    took = []
    for _ in range(_RUNS):
        began = time.perf_counter()
        made = work()
        took.append(time.perf_counter() - began)
    return made, min(took)


def _men(number: int) -> "list[HitterBelief]":
    """Return hitters as their level has them, drawn."""
    import numpy as np

    from sequencer.estimates import hitter, league

    at, rng, men = league.load(_LEVEL), np.random.default_rng(0), []
    for n in range(number):
        usual = hitter.average(_LEVEL, name=str(n), bats="RL"[n % 2])
        mean = rng.standard_normal(usual.mean.size) * hitter.spread(_LEVEL)
        take = hitter.habit_of(mean, at.take_share)
        fast = hitter.fast_belief_of(mean, at.fast_share)
        men.append(replace(usual, mean=mean, take_share=take, fast_belief=fast))
    return men


def _tables(men: "list[HitterBelief]", memory: "Memory | None") -> "Tables":
    """Return the game of five pitches, each at nine spots."""
    from sequencer.baseball.zone import targets
    from sequencer.estimates import command, league
    from sequencer.planning import lasts
    from sequencer.planning.calls import Call
    from sequencer.planning.context import context
    from sequencer.planning.outcomes import tables

    at, around = league.load(_LEVEL), context(_LEVEL)
    calls = tuple(Call(pitch, spot) for pitch in _TYPES for spot in targets("spot"))
    thrower = command.average(_LEVEL, arsenal=_TYPES)
    return tables(
        men, thrower, at, calls, around.stakes(at), around.level.zone,
        memory=memory or lasts.USUAL,
    )  # fmt: skip


def _nine_states() -> "Memory":
    """Return a memory of height as well as side: nine last pitches instead of five."""
    from sequencer.planning import lasts

    def state(seen: lasts.Shown) -> str:
        told = seen.side != "middle" and seen.height != "belt"
        return " ".join(seen) if told else lasts.NONE

    return replace(lasts.USUAL, state=state)


def _solved(game: "Tables") -> "Solved":
    """Return a game solved, with all that a plan says worked out."""
    from sequencer.planning.solved import solve

    solved = solve(game)
    for said in (solved.guarantee, solved.if_habit, solved.safe):
        assert said.size
    for man, balls, strikes in product(range(len(solved.mix)), range(4), range(3)):
        solved.one_call(man, balls, strikes)
    return solved
