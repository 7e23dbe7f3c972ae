"""What the last pitch does: found where it was planted, not where it was not, as committed."""

from typing import Any

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import league
from sequencer.estimates.arrays import expit
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.last_pitch import (
    CAP,
    EFFECTS,
    PRIOR_SD,
    LastEffect,
    design_of,
    fit_last_pitch,
    league_odds,
)
from sequencer.planning.assumed import CROSSED_SAME_SIDE
from tests import open_data
from tests.estimates.last_pitch import log


def a_log(planted: float, at_bats: int = 2_500) -> pd.DataFrame:
    """Swings by the league's steps at random places, a miss moved after the same side."""
    rng = np.random.default_rng(11)
    n = 3 * at_bats
    frame = pd.DataFrame(
        {
            "game": np.repeat(np.arange(at_bats) // 70, 3).astype(str),
            "at_bat": np.repeat(np.arange(at_bats), 3),
            "pitch_no": np.tile([1, 2, 3], at_bats),
            "pitcher": np.repeat(np.arange(at_bats) % 12, 3).astype(str),
            "hitter": np.repeat(np.arange(at_bats) % 90, 3).astype(str),
            "throws": "R", "bats": "L", "balls": 1, "strikes": 1,
            "pitch": rng.choice(["four-seam", "changeup"], n),
            "side_in": rng.normal(0.0, 8.0, n), "height_in": rng.normal(30.0, 8.0, n),
            "result": "foul", "seen_from": "measured",
        }
    )  # fmt: skip
    at, data = league.load("pro"), data_of(frame)
    odds = league_odds("miss", data, np.arange(n), at)
    odds += planted * design_of(frame, data, at)[:, EFFECTS.index("same side, other speed")]
    frame["result"] = np.where(rng.random(n) < expit(odds), "swinging strike", "foul")
    return frame


def miss(found: tuple[LastEffect, ...]) -> dict[str, LastEffect]:
    return {one.effect: one for one in found if one.step == "miss"}


def test_a_planted_effect_is_found_and_no_other() -> None:
    found = miss(fit_last_pitch(a_log(0.9), league.load("pro")))
    side = found["same side, other speed"]
    assert abs(side.says - 0.9) < 3.0 * side.se < 0.6
    others = [one for one in found.values() if one is not side]
    assert all(abs(one.says) < 3.0 * one.se for one in others)


def test_the_prior_draws_in_by_precision_and_the_cap_holds() -> None:
    side = miss(fit_last_pitch(a_log(0.9), league.load("pro")))["same side, other speed"]
    weight = PRIOR_SD**2 / (PRIOR_SD**2 + side.se**2)
    assert side.mean == pytest.approx(weight * side.says)
    assert side.sd == pytest.approx((side.se**-2 + PRIOR_SD**-2) ** -0.5)
    assert side.counts == CAP < side.mean


def test_the_first_pitch_of_an_at_bat_follows_nothing() -> None:
    frame = a_log(0.0, 40)
    columns = design_of(frame, data_of(frame), league.load("pro"))
    first: Any = frame["pitch_no"].to_numpy() == 1
    assert not columns[first][:, : len(EFFECTS)].any()
    assert columns[~first][:, : len(EFFECTS)].any()
    skipped = frame.drop(index=1).reset_index(drop=True)
    columns = design_of(skipped, data_of(skipped), league.load("pro"))
    assert not columns[1][: len(EFFECTS)].any()


@pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING)
def test_what_a_plan_counts_with_is_what_the_open_data_say() -> None:
    side = miss(fit_last_pitch(log(), league.load("pro")))["same side, other speed"]
    assert side.counts == pytest.approx(CROSSED_SAME_SIDE[0], abs=0.005)
    assert side.sd == pytest.approx(CROSSED_SAME_SIDE[1], abs=0.005)
