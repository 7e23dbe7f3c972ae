"""Random logs that a scorer could have kept: every result there is, holes and slips in the rest."""

from typing import Any, Final

import numpy as np
import pandas as pd

from sequencer.baseball.count import START, after
from sequencer.baseball.pitches import PLAYS, RESULTS, TYPES
from sequencer.baseball.zone import CELL_WORDS, TARGETS

THROWN: Final = tuple(word for word in RESULTS if not word.startswith("automatic"))


def random_log(seed: int, at_bats: int = 25) -> pd.DataFrame:
    """Return a log of several at-bats; places, targets and sides are known now and then."""
    rng = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    for at_bat in range(1, at_bats + 1):
        moment = {
            "game": f"game {at_bat % 3}",
            "pitcher": rng.choice(["Ames", "Boyd"]),
            "throws": rng.choice(["R", "L", ""]),
            "catcher": rng.choice(["Cole", ""]),
            "hitter": f"hitter {at_bat % 9}",
            "bats": rng.choice(["R", "L", ""], p=[0.5, 0.4, 0.1]),
            "at_bat": at_bat,
        }
        rows += _at_bat(moment, rng)
    return pd.DataFrame(rows)


def _at_bat(moment: dict[str, Any], rng: np.random.Generator) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    at, end = START, ""
    while not end:
        result, bunt = str(rng.choice(THROWN)), int(rng.random() < 0.05)
        row = {**moment, "balls": at.balls, "strikes": at.strikes, "pitch_no": len(rows) + 1}
        row |= {"result": result, "bunt": bunt, "play": ""}
        if result == "in play" and rng.random() < 0.95:
            row["play"] = rng.choice(PLAYS)
        row |= {"pitch": rng.choice(list(TYPES)), "called": rng.choice([*TYPES, "", ""])}
        row |= {"cell": rng.choice([*CELL_WORDS, "", ""]), "target": rng.choice([*TARGETS, "", ""])}
        row |= {"target_when": rng.choice(["before", "after", ""])}
        measured = rng.random() < 0.5
        row["side_in"] = rng.normal(0, 14) if measured else np.nan
        row["height_in"] = rng.normal(28, 14) if measured else np.nan
        rows.append(row)
        at, end = after(at, result, bunt=bool(bunt))
    return rows
