"""What every step of the precision ladder saves, by spread: `python -m tests.planning.ladder`.

To set `calls.STEP_LIMITS_IN` anew when the league has moved: the widest spreads at which a step
still saves `calls.WORTH_A_STEP` over the step before it.
"""

import sys
from dataclasses import replace
from types import MappingProxyType
from unittest.mock import patch

import numpy as np

from sequencer.baseball.zone import LADDER
from sequencer.estimates import command, hitter, league
from sequencer.planning import calls
from sequencer.planning.plan import plan

_ANY: float = 99.0


def guaranteed(level: str, spread: float, step: str) -> float:
    """Return runs per 100 plate appearances with every pitch aimed as finely as this step."""
    finer = LADDER[1 : LADDER.index(step) + 1]
    limits = MappingProxyType({name: _ANY if name in finer else 0.0 for name in LADDER[1:]})
    usual = command.average(level, arsenal=("fastball", "changeup", "curveball"))
    cov = np.eye(2) * spread**2
    pitcher = replace(usual, arsenal=tuple(replace(p, cov=cov) for p in usual.arsenal))
    with patch.object(calls, "STEP_LIMITS_IN", limits):
        made = plan([hitter.average(level)], pitcher, league.load(level))
    return 100.0 * float(made.solved.safe[0, 0, 0, 0])


def main() -> None:
    """Print what each step saves over the one before it, runs per 100 plate appearances."""
    say = sys.stdout.write
    say(f"{'level':8}  inches  " + "  ".join(f"{step:>7}" for step in LADDER[1:]) + "\n")
    for level in ("13-14", "17-18", "pro"):
        for spread in np.arange(8.0, 14.1, 0.5):
            runs = [guaranteed(level, float(spread), step) for step in LADDER]
            saved = "  ".join(f"{less:7.2f}" for less in -np.diff(runs))
            say(f"{level:8}  {spread:6.1f}  {saved}\n")


if __name__ == "__main__":
    main()
