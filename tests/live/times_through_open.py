"""What hitters gain by meeting a starter again: python -m tests.live.times_through_open.

Plate appearances of three open seasons, each worth its event's average runs. Every pitcher's season
(as starter and as reliever) and every hitter's season are levelled out, so that who is left to
pitch a third time, and who bats third times, does not stand for it. Errors go by whole games.
"""

import sys
from typing import Any, Final

import numpy as np
import pandas as pd

from sequencer.estimates.arrays import Bools, Floats, Ints
from tests import open_data

FILE: Final = open_data.FOLDER / "sequences_open.parquet"
#: Ends that are the manager's more than the hitter's.
_LEFT_OUT: Final = ("intentional walk", "sacrifice bunt")
_MEETINGS: Final = (2, 3)
#: Rounds of levelling, each over pitchers then hitters: by then means are nought to 1e-7 runs.
_ROUNDS: Final = 30


def plate_appearances() -> pd.DataFrame:
    """Return plate appearances with their runs, and which meeting of the game each was."""
    pitches = pd.read_parquet(FILE)
    found = pitches[pitches["event"].notna()].sort_values(["game_id", "at_bat_no"])
    worth = found.groupby("event")["run_value"].mean()
    met = found.groupby(["game_id", "pitcher_id", "batter_id"]).cumcount() + 1
    found = found.assign(runs=found["event"].map(worth), meeting=met, starter=_started(found))
    kept: pd.DataFrame = found[~found["event"].isin(_LEFT_OUT)]
    return kept


def _started(found: pd.DataFrame) -> Bools:
    """Return whose pitcher began the game for his side."""
    empty = ~(found["on_1b"] | found["on_2b"] | found["on_3b"])
    before = found.groupby("game_id")["pitcher_id"].shift()
    first = found[
        (found["inning"] == 1) & (found["outs"] == 0) & empty & (found["pitcher_id"] != before)
    ]
    began = set(zip(first["game_id"], first["pitcher_id"], strict=True))
    who = zip(found["game_id"], found["pitcher_id"], strict=True)
    return np.array([one in began for one in who])


def gains(found: pd.DataFrame) -> tuple[Floats, Floats]:
    """Return runs per 100 by which meetings differ from a starter's first, and standard errors."""
    pitcher = _numbers(found, ["pitcher_id", "season", "starter"])
    hitter = _numbers(found, ["batter_id", "season"])
    again = [found["starter"] & (found["meeting"] == n) for n in _MEETINGS]
    later = found["starter"] & (found["meeting"] > max(_MEETINGS))
    same = found["throws"] == found["bats"]
    columns = [_levelled(each, pitcher, hitter) for each in (*again, later, same)]
    x, y = np.stack(columns, axis=1), _levelled(found["runs"], pitcher, hitter)
    inverse = np.linalg.inv(x.T @ x)
    slope = inverse @ x.T @ y
    game = _numbers(found, ["game_id"])
    off = (y - x @ slope)[:, None] * x
    by_game = np.stack([np.bincount(game, column) for column in off.T], axis=1)
    errors = np.sqrt(np.diag(inverse @ by_game.T @ by_game @ inverse))
    return 100.0 * slope[: len(again)], 100.0 * errors[: len(again)]


def _numbers(found: pd.DataFrame, by: list[str]) -> Ints:
    return np.asarray(found.groupby(by).ngroup(), dtype=np.intp)


def _levelled(values: Any, *groups: Ints) -> Floats:
    """Return values with the mean of every group taken off, of all kinds at once."""
    left = np.asarray(values, dtype=np.float64)
    for _ in range(_ROUNDS):
        for group in groups:
            mean = np.bincount(group, left) / np.maximum(np.bincount(group), 1)
            left = left - mean[group]
    return np.asarray(left, dtype=np.float64)


def main() -> None:
    """Print the gains."""
    found = plate_appearances()
    for meeting, gain, error in zip(_MEETINGS, *gains(found), strict=True):
        sys.stdout.write(
            f"meeting {meeting}: {gain:+.2f} runs per 100 (standard error {error:.2f})\n"
        )
    starters = int(found["starter"].sum())
    sys.stdout.write(f"{len(found):,} plate appearances, {starters:,} of starters\n")


if __name__ == "__main__":
    main()
