"""Two professionals' long series: real types told apart, split ones not."""

from dataclasses import replace
from functools import cache

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import command, strikes
from sequencer.estimates.arsenal import updated
from sequencer.estimates.separable import NOT_TOLD, TOLD, UNKNOWN, separable
from tests.open_data import FILE, FOLDER, MISSING

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


def test_usual_soft_pitches_are_shelved_in_few_games() -> None:
    pitch = command.average("pro", arsenal=("fastball", "curveball")).pitch("curveball")
    shelved = []
    for own in _series():
        seen = own[own["result_hint"].isin(["ball", "strike", "foul"])]
        soft = seen[~seen["pitch"].isin(["four-seam", "two-seam"])]
        for _, season in soft.groupby("pitch"):
            strike = season["result_hint"] != "ball"
            for _, day in season.groupby("game_id"):
                today = strike[day.index]
                rest = (strike.sum() - today.sum()) / (len(strike) - len(today))
                usual = replace(pitch, strike_share=float(rest))
                course = np.cumsum(today.to_numpy(dtype=np.int64)).tolist()
                shelved.append(any(updated(usual, s, n + 1).shelved for n, s in enumerate(course)))
    assert len(shelved) > 500
    assert np.mean(shelved) < 0.05


def _loss(strike: "pd.Series[int]", share: "pd.Series[float]") -> float:
    p = share.to_numpy(dtype=np.float64)
    return float(-np.log(np.where(strike.to_numpy() == 1, p, 1.0 - p)).mean())


def test_strikes_to_come_are_named_better_than_by_the_league_or_by_counting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(strikes, "TYPE_SD", 0.01)  # no types here: all his pitches are one
    columns = ["game_id", "at_bat_no", "pitch_no", "pitcher_id", "balls", "strikes", "result"]
    log = pd.read_parquet(
        FOLDER / "sequences_open.parquet",
        columns=columns,
        filters=[("season", "==", 2020), ("balls", "<=", 3), ("strikes", "<=", 2)],
    ).sort_values(["game_id", "at_bat_no", "pitch_no"])
    log = log[log["result"] != "other"]
    log["strike"] = (~log["result"].isin(["ball", "hit_by_pitch"])).astype(int)
    group_of = {tuple(c): group for group, counts in strikes.GROUPS.items() for c in counts}
    log["group"] = [group_of[c] for c in zip(log["balls"], log["strikes"], strict=True)]
    usual = strikes.believe_counts([{}], "pro", ("fastball",))[0]
    level = {group: share.mean for group, share in usual.by_group.items()}
    losses = []
    for _, own in log.groupby("pitcher_id"):
        if len(own) < 700:
            continue
        sums = own.head(300).groupby("group")["strike"].agg(["sum", "count"])
        seen = {str(g): strikes.Counted(int(s), int(n)) for g, s, n in sums.itertuples()}
        found = strikes.believe_counts([seen], "pro", ("fastball",))[0]
        told = {group: share.mean for group, share in found.by_group.items()}
        raw = {g: (one.strikes + 0.5) / (one.thrown + 1.0) for g, one in seen.items()}
        rest = own.iloc[300:]
        losses.append([_loss(rest["strike"], rest["group"].map(m)) for m in (told, level, raw)])
    ours, leagues, counted = np.array(losses).mean(axis=0)
    assert len(losses) > 60
    assert ours < leagues
    assert ours < counted - 0.003
