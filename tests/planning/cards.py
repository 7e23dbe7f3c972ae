"""What carrying a plan costs: `python -m tests.planning.cards` prints the table.

Runs per 100 plate appearances, the card against the plan, both against a best reply over the whole
at-bat, on average and for the worst of nine hitters; then the same with plans that hitters share.
"""

import sys
from dataclasses import replace
from time import process_time
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.planning.context import context, game_for
from sequencer.planning.mix import cards, simplicity_cost
from sequencer.planning.pooling import pool
from sequencer.planning.solved import Solved, solve
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

ARSENALS: Final = (
    ("fastball", "changeup"),
    ("fastball", "changeup", "curveball"),
    ("fastball", "changeup", "curveball", "slider", "cutter"),
)
#: Shares of the level's spread: as he is usual, and one who hits spots.
COMMAND: Final = (1.0, 0.8)
TRUSTS: Final = (0.0, 0.5)
LEVELS: Final = ("11-12", "13-14", "15-16", "17-18", "college", "pro")
#: Traits of a drawn hitter, in prior spreads.
DRAWN: Final = ("contact", "power", "chase", "fast", "inside", "up", "timing_late", "first_pitch")


class Row(NamedTuple):
    """One pitcher's line-up: costs in runs per 100 plate appearances, seconds of the search."""

    calls: int
    simple: float
    worst: float
    carrying: float
    plans: int
    seconds: float


def a_line_up(level: str, seed: int = 7) -> list[HitterBelief]:
    """Nine hitters drawn from the level's spread, three of them left-handed."""
    rng = np.random.default_rng(seed)
    return [
        a_hitter(
            level=level, bats="RRL"[n % 3], **dict(zip(DRAWN, rng.normal(size=8), strict=True))
        )
        for n in range(9)
    ]


def a_thrower(level: str, arsenal: tuple[str, ...], command: float) -> PitcherBelief:
    """The level's pitcher with these pitches, spread this share of the usual, surely known."""
    usual = a_pitcher(*arsenal, level=level)
    pitches = tuple(replace(pitch, cov=pitch.cov * command**2) for pitch in usual.arsenal)
    return replace(usual, arsenal=pitches)


def a_game(level: str, arsenal: tuple[str, ...], command: float, trust: float) -> Solved:
    """A line-up's game against such a pitcher, solved."""
    pitcher = a_thrower(level, arsenal, command)
    game = game_for(a_line_up(level), pitcher, a_league(level), context(level))
    return solve(game, trust)


def measured(solved: Solved) -> Row:
    """Return what carrying a solved game costs."""
    began = process_time()
    found = cards(solved)
    seconds = process_time() - began
    simple = 100.0 * simplicity_cost(solved.tables, found, solved.guarantee)
    pooled = pool(solved, found)
    return Row(
        len(solved.tables.calls),
        float(simple.mean()),
        float(simple.max()),
        100.0 * float(pooled.carrying.mean()),
        len(pooled.plans),
        seconds,
    )


def main() -> None:
    """Print the table."""
    say = sys.stdout.write
    say(f"{'level':8} pitches command trust calls  simple  worst  shared plans  seconds\n")
    rows = []
    for level in LEVELS:
        for arsenal in ARSENALS:
            for command in COMMAND:
                for trust in TRUSTS:
                    row = measured(a_game(level, arsenal, command, trust))
                    rows.append(row)
                    say(
                        f"{level:8} {len(arsenal):7} {command:7.1f} {trust:5.1f} {row.calls:5} "
                        f"{row.simple:7.2f} {row.worst:6.2f} {row.carrying:7.2f} {row.plans:5} "
                        f"{row.seconds:8.2f}\n"
                    )
                    sys.stdout.flush()
    simple = np.mean([row.simple for row in rows])
    worst = max(row.worst for row in rows)
    shared = np.mean([row.carrying for row in rows])
    say(f"all: simple {simple:.2f}, the worst hitter {worst:.2f}, shared {shared:.2f}\n")


if __name__ == "__main__":
    main()
