"""Power on planted habits and false alarms on logs without any, against an oracle.

    python -m tests.review.power [--logs 200] [--pitches 300] [--extra 0.25]

The oracle is told which habit to test and tests only that one, at level .05/12, with the same
strata; it knows what nobody knows, so it is the most any review could find.
"""

from __future__ import annotations

import argparse
import dataclasses
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.review.coded import Coded, encode
from sequencer.review.findings import Asking, look_for
from sequencer.review.patterns import PATTERNS
from tests.review import simulate

LEVEL = 0.05 / 12


@dataclass(frozen=True)
class Planted:
    """One habit: the pattern that should find it, its condition and label, and how to plant it."""

    pattern: str
    where: Mapping[str, Any]
    what: Mapping[str, Any]
    habit: simulate.Habit


def planted(extra: float) -> tuple[Planted, ...]:
    """Return the seven habits, each raising one share by `extra`."""

    def when(pattern: str, where: Any, what: Any, applies: Any, column: str, word: str) -> Planted:
        return Planted(pattern, where, what, simulate.plant(applies, column, word, extra))

    return (
        when(
            "count",
            {"count": "hitter's"},
            {"pitch": "curveball"},
            lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS,
            "pitch",
            "curveball",
        ),
        when(
            "first pitch",
            {"count": "0-0"},
            {"pitch": "fastball"},
            lambda now, _p: (now["balls"], now["strikes"]) == (0, 0),
            "pitch",
            "fastball",
        ),
        when(
            "previous pitch",
            {"previous": "curveball"},
            {"pitch": "changeup"},
            lambda now, _p: now["previous"] == "curveball",
            "pitch",
            "changeup",
        ),
        when(
            "side by type",
            {"pitch": "changeup"},
            {"side": "away"},
            lambda _now, pitch: pitch["pitch"] == "changeup",
            "side",
            "away",
        ),
        when(
            "height by type",
            {"pitch": "curveball"},
            {"height": "down"},
            lambda _now, pitch: pitch["pitch"] == "curveball",
            "height",
            "down",
        ),
        when(
            "hitter side",
            {"bats": "L"},
            {"pitch": "changeup"},
            lambda now, _p: now["bats"] == "L",
            "pitch",
            "changeup",
        ),
        when(
            "bases",
            {"bases": "runner on third"},
            {"pitch": "fastball"},
            lambda now, _p: bool(now["on_third"]),
            "pitch",
            "fastball",
        ),
    )


def found(each: Planted, pitches: int, seed: int) -> tuple[bool, bool]:
    """Return whether the review flags the pattern, and whether the oracle does."""
    log = encode(simulate.log(pitches, seed=seed, habit=each.habit))
    findings, _could = look_for(log, seed=seed, name="Ames")
    flagged = any(f.flagged and f.pattern.id == each.pattern for f in findings)
    return flagged, oracle(each, log, seed)


def oracle(each: Planted, log: Coded, seed: int) -> bool:
    """Test the planted contrast alone, by the same draws."""
    asking = Asking(log, (seed,))
    question = asking.ask(next(p for p in PATTERNS if p.id == each.pattern))
    for contrast in question.contrasts if question else ():
        what = {k: v for k, v in contrast.what.items() if k in each.what}
        where = {k: v for k, v in contrast.condition.where.items() if k in each.where}
        if question and what == each.what and where == each.where:
            alone = asking.answer(dataclasses.replace(question, contrasts=(contrast,)), LEVEL)
            return alone is not None and alone.tested.p <= LEVEL
    return False


def false_alarms(pitches: int, logs: int, drift: float) -> float:
    """Return the share of logs without a habit in which anything is flagged."""
    rang = 0
    for seed in range(logs):
        log = encode(simulate.log(pitches, seed=10_000 + seed, drift=drift))
        findings, _could = look_for(log, seed=seed, name="Ames")
        rang += any(finding.flagged for finding in findings)
    return rang / logs


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--logs", type=int, default=200)
    parser.add_argument("--pitches", type=int, default=300)
    parser.add_argument("--extra", type=float, default=0.25)
    asked = parser.parse_args()
    write = sys.stdout.write
    powers = []
    for each in planted(asked.extra):
        results = np.array([found(each, asked.pitches, seed) for seed in range(asked.logs)])
        mine, told = results.mean(axis=0)
        powers.append(mine / max(told, 1e-9))
        write(f"{each.pattern:16} found {mine:.2f}   oracle {told:.2f}   {powers[-1]:.2f} of it\n")
        sys.stdout.flush()
    write(f"mean of the oracle's power: {np.mean(powers):.2f}\n")
    for drift in (0.0, 0.5):
        rate = false_alarms(asked.pitches, asked.logs, drift)
        write(f"logs without a habit, drift {drift}: {rate:.3f} with any flag\n")


if __name__ == "__main__":
    main()
