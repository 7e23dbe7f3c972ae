"""Power on planted habits and false alarms on logs without any, against an oracle.

    python -m tests.review.power [--logs 200] [--pitches 300] [--extra 0.25]

The exact oracle is told which habit to test and tests only that one, exactly, at level .05/12,
labels moving only among pitches alike in all that the pattern holds. The other does so by the
review's own usual rates, which cost less than cells of five pitches do: it is the most that this
way of testing could find by one who knows what nobody knows.
"""

from __future__ import annotations

import argparse
import dataclasses
import sys
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from scipy.stats import hypergeom

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.review.coded import Coded, Codes, encode
from sequencer.review.findings import Asking, look_for
from sequencer.review.patterns import PATTERNS
from sequencer.review.question import Question, combined
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


def found(each: Planted, pitches: int, seed: int) -> tuple[bool, bool, bool]:
    """Return whether the review flags the pattern, and whether the two oracles do."""
    log = encode(simulate.log(pitches, seed=seed, habit=each.habit))
    findings, _could = look_for(log, seed=seed, name="Ames")
    flagged = any(f.flagged and f.pattern.id == each.pattern for f in findings)
    asking = Asking(log, (seed,))
    question = asking.ask(next(p for p in PATTERNS if p.id == each.pattern))
    for contrast in question.contrasts if question else ():
        what = {k: v for k, v in contrast.what.items() if k in each.what}
        where = {k: v for k, v in contrast.condition.where.items() if k in each.where}
        if question and what == each.what and where == each.where:
            alone = dataclasses.replace(question, contrasts=(contrast,))
            answered = asking.answer(alone, LEVEL)
            told = answered is not None and answered.tested.p <= LEVEL
            return flagged, exact_p(alone, log, seed) <= LEVEL, told
    return flagged, False, False


def exact_p(question: Question, log: Coded, seed: int) -> float:
    """Return the exact p of one contrast, labels moved only among pitches alike in all held.

    Where the classes are the labels before, they move with them: by 20,000 such moves.
    """
    strata = combined([*question.factors], len(question))
    inside = question.contrasts[0].inside[question.classes]
    wanted = question.weights[0].max(axis=0)[question.labels] > 0
    seen = int((inside & wanted).sum())
    if question.pattern.repeats:
        return _moved_p(question, log, strata, seen, seed)
    chances = np.ones(1)
    for stratum in np.unique(strata):
        here = strata == stratum
        size, hits, draws = here.sum(), (here & wanted).sum(), (here & inside).sum()
        chances = np.convolve(chances, hypergeom(size, hits, draws).pmf(np.arange(draws + 1)))
    return float(chances[seen:].sum())


def _moved_p(
    question: Question, log: Coded, strata: Codes, seen: int, seed: int, moves: int = 20_000
) -> float:
    order, at_bat = log.order[question.rows], log.at_bat[question.rows]
    follows = (np.diff(order, prepend=-2) == 1) & (np.diff(at_bat, prepend=-2) == 0)
    back = np.where(follows, np.arange(len(order)) - 1, 0)
    rng, groups = np.random.default_rng(seed), np.argsort(strata, kind="stable")
    hits = 0
    for _ in range(moves // 500):
        keys = strata[groups] + rng.random((500, len(groups)))
        labels = np.empty((500, len(groups)), dtype=np.int64)
        labels[:, groups] = question.labels[groups][np.argsort(keys, axis=1)]
        before = np.where(follows, labels[:, back], question.classes)
        hits += int((question.weights[0][before, labels].sum(axis=1) >= seen).sum())
    return (1 + hits) / (1 + moves)


def rang(pitches: int, drift: float, seed: int) -> bool:
    """Return whether a habit is flagged in a log without one; that a day drifted is none."""
    log = encode(simulate.log(pitches, seed=10_000 + seed, drift=drift))
    findings, _could = look_for(log, seed=seed, name="Ames")
    return any(finding.flagged and not finding.pattern.of_days for finding in findings)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--logs", type=int, default=200)
    parser.add_argument("--pitches", type=int, default=300)
    parser.add_argument("--extra", type=float, default=0.25)
    asked = parser.parse_args()
    write, seeds = sys.stdout.write, range(asked.logs)
    ratios = []
    with ProcessPoolExecutor() as several:
        for each in range(len(planted(asked.extra))):
            ours = partial(_found, each, asked.extra, asked.pitches)
            results = np.array(list(several.map(ours, seeds, chunksize=10)))
            mine, exact, same = results.mean(axis=0)
            ratios.append((mine / max(exact, 1e-9), mine / max(same, 1e-9)))
            write(
                f"{planted(asked.extra)[each].pattern:16} found {mine:.3f}   "
                f"exact oracle {exact:.3f} ({ratios[-1][0]:.2f} of it)   "
                f"by the same rates {same:.3f} ({ratios[-1][1]:.2f} of it)\n"
            )
            sys.stdout.flush()
        of_exact, of_same = np.mean(ratios, axis=0)
        write(f"mean of the exact oracle's power {of_exact:.3f}, of the other's {of_same:.3f}\n")
        for drift in (0.0, 0.5):
            rings = list(several.map(partial(rang, asked.pitches, drift), seeds, chunksize=10))
            write(f"logs without a habit, drift {drift}: {np.mean(rings):.4f} with any flag\n")


def _found(each: int, extra: float, pitches: int, seed: int) -> tuple[bool, bool, bool]:
    return found(planted(extra)[each], pitches, seed)


if __name__ == "__main__":
    main()
