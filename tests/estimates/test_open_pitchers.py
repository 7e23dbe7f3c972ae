"""Two professionals' long series: real types told apart, split ones not."""

from functools import cache

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates.separable import NOT_TOLD, TOLD, UNKNOWN, separable
from tests.open_data import FILE, MISSING

pytestmark = pytest.mark.skipif(bool(MISSING), reason=MISSING)


@cache
def _series() -> list[pd.DataFrame]:
    raw = pd.read_parquet(FILE, filters=[("source", "==", "two_pitchers_2009_12")])
    names = {"move_x_in": "break_side_in", "move_z_in": "break_up_in"}
    raw = raw.rename(columns={**names, "x_in": "side_in", "z_in": "height_in"})
    raw["pitch"] = raw["pitch_type"].astype(object)
    return [own for _, own in raw.groupby("pitcher_id")]


def _measured() -> pd.DataFrame:
    """The one of them whose breaks are known."""
    return next(own for own in _series() if own["break_up_in"].notna().any())


def _by_radar_only() -> pd.DataFrame:
    return next(own for own in _series() if own["break_up_in"].isna().all())


@pytest.mark.parametrize("n", [600, 15_000])
def test_every_pitch_of_one_is_told_from_every_other(n: int) -> None:
    frame = _measured().head(n)
    found = separable(frame, sorted(frame["pitch"].unique()))
    assert len(found.pairs) == 10
    assert {pair.verdict for pair in found.pairs} == {TOLD}
    assert all(pair.accuracy is not None and pair.accuracy > 0.9 for pair in found.pairs)


def test_speed_tells_what_it_can_and_leaves_the_rest_open() -> None:
    frame = _by_radar_only().head(600)
    found = separable(frame, sorted(frame["pitch"].unique()))
    assert found.pair("four-seam", "changeup").verdict == TOLD
    assert found.pair("four-seam", "slider").verdict == TOLD
    assert found.pair("four-seam", "two-seam").verdict == UNKNOWN
    assert "break is not" in found.pair("four-seam", "two-seam").why
    assert found.alike == ()


@pytest.mark.parametrize(("n", "sure"), [(24, 0.02), (60, 0.9), (400, 0.99)])
def test_one_fastball_split_at_random_is_never_two(n: int, sure: float) -> None:
    fast = _measured()
    fast = fast[fast["pitch"] == "four-seam"]
    rng = np.random.default_rng(n)
    verdicts = []
    for _ in range(60):
        some = fast.iloc[rng.choice(len(fast), n, replace=False)].copy()
        some["pitch"] = np.where(rng.random(n) < 0.5, "four-seam", "two-seam").astype(object)
        verdicts.append(separable(some, ["four-seam", "two-seam"]).pairs[0].verdict)
    assert TOLD not in verdicts
    assert np.mean([verdict == NOT_TOLD for verdict in verdicts]) >= sure
