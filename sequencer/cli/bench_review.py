"""Measurements of the review: a season's log read and planned against, and reviewed."""

import tempfile
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sequencer.cli.bench import Measured

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.review.plans import Plans
    from sequencer.review.review import AllStakes

_PITCHES: Final = 10_000
#: Runs of which the quickest counts: what else the machine does is not the review's.
_RUNS: Final = 3


def season_read() -> Measured:
    """Measure a log of 10,000 pitches read, replayed, and a plan made for each of its pitchers."""
    ours = _season_read()[0]
    return Measured("season read, planned", ours, None, "-", "5 s", ours <= 5.0)


def review_of_a_season() -> Measured:
    """Measure the review of 10,000 pitches held against plans, beside one permutation test."""
    from sequencer.review.review import review

    _, frame, plans, stakes = _season_read()
    ours = min(_seconds(lambda: review(frame, plans=plans, stakes=stakes)) for _ in range(_RUNS))
    other = _seconds(lambda: _one_contrast(frame))
    return Measured("review of 10,000", ours, other, "scipy, 1 contrast", "1 s", ours <= 1.0)


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


@cache
def _season_read() -> "tuple[float, pd.DataFrame, Plans, AllStakes]":
    """Return the seconds it took, the log, and what a review asks of plans."""
    from sequencer.records.frames import read_log
    from sequencer.reports.usual_plans import usual_plans

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "season.csv"
        path.write_text("\n".join(season(_PITCHES)) + "\n", encoding="utf-8")
        began = time.perf_counter()
        frame = read_log(path, replayed=True)
        plans, stakes = usual_plans(frame)
        return time.perf_counter() - began, frame, plans, stakes


def _one_contrast(frame: "pd.DataFrame") -> None:
    """Ask by shuffles whether he throws the fastball more when behind."""
    import numpy as np
    from scipy.stats import permutation_test

    fast = (frame["pitch"] == "fastball").to_numpy()
    behind = (frame["balls"] > frame["strikes"]).to_numpy()
    permutation_test(
        (fast, behind),
        lambda x, y, axis: (x & y).mean(axis=axis),
        permutation_type="pairings",
        vectorized=True,
        n_resamples=2_000,
        rng=np.random.default_rng(0),
    )


def season(n: int) -> list[str]:
    """Return the lines of a log of n invented pitches, of eight pitchers who miss by ten inches."""
    import numpy as np

    rng = np.random.default_rng(0)
    lines = [
        "game,date,us,them,at_bat,pitch_no,balls,strikes,pitcher,hitter,bats,called,pitch,target,"
        "side_in,height_in,result"
    ]
    at_bat = 0
    while len(lines) <= n:
        at_bat += 1
        game, of_game = divmod(at_bat, 30)
        balls = strikes = 0
        for pitch_no in range(1, 12):
            result = str(rng.choice(["ball", "called strike", "foul"], p=[0.4, 0.3, 0.3]))
            pitch = str(rng.choice(["fastball", "changeup", "curveball"], p=[0.55, 0.25, 0.2]))
            target, aimed = (("in", -5.0), ("away", 5.0))[int(rng.integers(2))]
            side, height = rng.normal((aimed, 30.0), 10.0).clip((-40, 0), (40, 70)).round(1)
            lines.append(
                f"g{game},2026-05-{1 + game % 28:02d},Us,Them,{of_game + 1},{pitch_no},{balls},"
                f"{strikes},Arm {game % 8},Bat {at_bat % 9},R,{pitch},{pitch},{target},"
                f"{side},{height},{result}"
            )
            balls += result == "ball"
            strikes += result == "called strike" or (result == "foul" and strikes < 2)
            if balls == 4 or strikes == 3:
                break
    return lines
