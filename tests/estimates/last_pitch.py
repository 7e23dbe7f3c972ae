"""What the last pitch does, fitted on the open data: `python -m tests.estimates.last_pitch`.

Prints every effect on a miss, a swing and a foul: what the log says with its clustered error, and
with the prior; then what the effects save on pitches of games they were not fitted on.
"""

import sys
from typing import Final

import numpy as np
import pandas as pd

from sequencer.estimates import league, newton
from sequencer.estimates.arrays import Bools, Floats, expit
from sequencer.estimates.doubt import groups_of
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.last_pitch import EFFECTS, design_of, fit_last_pitch, league_odds
from sequencer.estimates.steps import used
from tests import open_data

#: Sources that hold whole sequences with results.
SOURCES: Final = ("day_2023", "hitters_2019", "two_relievers_2011")
FOLDS: Final = 8


def log() -> pd.DataFrame:
    """The pitches whose at-bats are whole and whose results are known."""
    frame = open_data.read()
    found: pd.DataFrame = frame[frame["source"].isin(SOURCES)].reset_index(drop=True)
    return found


def saved_on_others(frame: pd.DataFrame) -> tuple[float, float]:
    """Thousandths of a nat a swing saved by the fitted effects on a miss, and its error by game."""
    at = league.load("pro")
    data = data_of(frame)
    design = design_of(frame.iloc[data.at], data, at)
    which = used("miss", data)[0] & np.isfinite(design).all(axis=1)
    rows = np.flatnonzero(which)
    x, y = design[rows][:, : len(EFFECTS)], used("miss", data)[1][rows]
    offset = league_odds("miss", data, rows, at)
    game = groups_of(frame.iloc[data.at], "pitcher").by["game"]
    saved = np.zeros(len(rows))
    for fold in range(FOLDS):
        own = game[rows] % FOLDS == fold
        kept = frame.iloc[data.at[game % FOLDS != fold]].reset_index(drop=True)
        fitted = [e for e in fit_last_pitch(kept, at) if e.step == "miss"]
        moved = offset + x @ np.array([effect.counts for effect in fitted])
        saved[own] = _loss(y, offset, own) - _loss(y, moved, own)
    by_game = np.bincount(game[rows], saved)
    return 1000.0 * saved.mean(), 1000.0 * float(np.sqrt((by_game**2).sum())) / len(rows)


def _loss(outcome: Floats, log_odds: Floats, own: Bools) -> Floats:
    """Nats of some rows, the level of all log odds fitted on the other rows."""
    others = ~own
    nothing = np.ones((int(others.sum()), 1))
    level = newton.logistic(
        lambda part: nothing[part], outcome[others], np.array([1e-9]), np.zeros(1),
        offset=log_odds[others],
    ).coefficients[0]  # fmt: skip
    chance = expit(log_odds[own] + level)
    return np.asarray(-np.log(np.where(outcome[own] > 0.0, chance, 1.0 - chance)))


def main() -> None:
    """Print the fit."""
    frame = log()
    say = sys.stdout.write
    say(
        "step   after the pitch before      log says (se)   with the prior (sd)   such of pitches\n"
    )
    for one in fit_last_pitch(frame, league.load("pro")):
        say(
            f"{one.step:7}{one.effect:26}{one.says:+.3f} ({one.se:.3f})      {one.mean:+.3f} "
            f"({one.sd:.3f})    {one.such:5} of {one.pitches}, error by {one.by}\n"
        )
    saved, se = saved_on_others(frame)
    say(f"on games not fitted on: {saved:+.2f} thousandths of a nat a swing saved (se {se:.2f})\n")


if __name__ == "__main__":
    main()
