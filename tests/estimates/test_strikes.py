"""Strikes of each pitch, over all and in any count."""

from collections.abc import Mapping

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates import strikes
from sequencer.estimates.arrays import expit
from sequencer.estimates.strikes import (
    AMATEURS_WIDER,
    GROUP_SD,
    GROUPS,
    PITCHER_SD,
    TYPE_SD,
    Counted,
    believe_counts,
    offsets,
    strikes_of,
)

NONE: Mapping[str, Counted] = {}


def _one(found: Mapping[str, Counted], level: str = "17-18") -> strikes.Strikes:
    return believe_counts([found], level, ("fastball",))[0]


def test_the_groups_together_hold_every_count_once() -> None:
    held = [count for counts in GROUPS.values() for count in counts]
    assert len(held) == len(set(held)) == 12


def test_of_whom_nothing_is_known_has_the_levels_share_moved_by_the_count() -> None:
    found = _one(NONE)
    assert found.overall.mean == pytest.approx(0.611, abs=0.01)
    means = {group: share.mean for group, share in found.by_group.items()}
    assert means["pitcher's"] < means["first pitch"] < means["even"] < means["full"]


def test_soft_pitches_start_lower() -> None:
    fast, soft = believe_counts([NONE, NONE], "17-18", ("fastball", "curveball"))
    assert soft.overall.mean == pytest.approx(fast.overall.mean - 0.04, abs=0.01)


def test_what_is_seen_in_one_count_moves_the_others_a_little() -> None:
    none, found = _one(NONE), _one({"first pitch": Counted(70, 80)})
    moved = {g: found.by_group[g].mean - none.by_group[g].mean for g in GROUPS}
    assert moved["first pitch"] > moved["even"] > 0.0


def test_a_good_fastball_speaks_for_the_curveball_a_little() -> None:
    good = {"even": Counted(340, 400)}
    _, alone = believe_counts([NONE, NONE], "17-18", ("fastball", "curveball"))
    fast, beside = believe_counts([good, NONE], "17-18", ("fastball", "curveball"))
    gained = beside.overall.mean - alone.overall.mean
    assert 0.0 < gained < 0.6 * (fast.overall.mean - 0.611)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=5, max_size=5),
    st.floats(0.05, 0.95),
)
def test_chances_are_chances_and_all_counts_are_no_likelier_than_one(
    seen: list[tuple[int, int]], mark: float
) -> None:
    found = _one({g: Counted(s, s + b) for g, (s, b) in zip(GROUPS, seen, strict=True)})
    every = found.chance_at_least(mark)
    singles = [found.chance_in(group, mark) for group in GROUPS]
    assert 0.0 <= every <= min(singles) + 1e-9
    assert every <= found.chance_at_least(mark - 0.04) + 1e-9
    for share in (found.overall, *found.by_group.values()):
        assert 0.0 < share.interval[0] <= share.mean <= share.interval[1] < 1.0


def test_the_ends_of_the_scale_are_sure() -> None:
    found = _one(NONE)
    assert found.chance_at_least(0.0) == pytest.approx(1.0)
    assert found.chance_at_least(1.0) == 0.0


@pytest.mark.parametrize("thrown", [6, 60, 600])
def test_the_sums_agree_with_draws(thrown: int) -> None:
    """Importance draws from the prior itself, which know nothing of the grid."""
    rng = np.random.default_rng(thrown)
    seen = {"first pitch": Counted(int(0.7 * thrown), thrown), "even": Counted(thrown // 4, thrown)}
    n = 400_000
    centre = float(np.log(0.611 / 0.389))
    own = rng.normal(size=n) * np.hypot(PITCHER_SD, TYPE_SD) * AMATEURS_WIDER + centre
    odds = {
        g: own + off + rng.normal(size=n) * GROUP_SD[g] * AMATEURS_WIDER
        for g, off in offsets().items()
    }
    power = np.zeros(n)
    for group, (strike, all_of) in seen.items():
        p = expit(odds[group])
        power += strike * np.log(p) + (all_of - strike) * np.log1p(-p)
    weight = np.exp(power - power.max())
    weight /= weight.sum()
    found = _one(seen)
    sd = float(1.0 / np.sqrt(1.0 / (weight**2).sum()))
    every = np.all([expit(value) >= 0.5 for value in odds.values()], axis=0)
    assert found.chance_at_least(0.5) == pytest.approx(float(weight @ every), abs=4 * sd)
    for group in GROUPS:
        drawn = float(weight @ expit(odds[group]))
        assert found.by_group[group].mean == pytest.approx(drawn, abs=0.005 + 0.4 * sd)


def test_ninety_of_a_hundred_pitchers_are_inside_their_intervals() -> None:
    rng = np.random.default_rng(7)
    inside: list[bool] = []
    promised, kept = [], []
    for _ in range(150):
        own = rng.normal() * np.hypot(PITCHER_SD, TYPE_SD) * AMATEURS_WIDER + np.log(0.611 / 0.389)
        p = {
            g: float(expit(np.array(own + off + rng.normal() * GROUP_SD[g] * AMATEURS_WIDER)))
            for g, off in offsets().items()
        }
        found = _one({g: Counted(int(rng.binomial(12, p[g])), 12) for g in GROUPS})
        inside += [lo <= p[g] <= hi for g in GROUPS for lo, hi in [found.by_group[g].interval]]
        promised.append(found.chance_at_least(0.55))
        kept.append(min(p.values()) >= 0.55)
    assert np.mean(inside) == pytest.approx(0.90, abs=0.045)
    # What is promised in every count is kept as often as it is promised.
    assert np.mean(promised) == pytest.approx(np.mean(kept), abs=0.09)


def _game(**columns: object) -> pd.DataFrame:
    base = {"pitch": ["fastball"] * 4, "balls": 0, "strikes": 0, "result": "ball", "intent": ""}
    return pd.DataFrame({**base, **columns})


def test_pitch_outs_and_balls_asked_for_are_left_out() -> None:
    frame = _game(
        intent=["pitch-out", "", "", ""],
        target=["", "down-off-away", "down-off-away", "middle"],
        target_when=["", "before", "after", "before"],
    )
    (found,) = strikes_of(frame, None, "pro", ("fastball",))
    assert found.overall.counted == Counted(0, 2)


def test_a_pitch_without_a_count_counts_for_all_of_them() -> None:
    frame = _game(balls=np.nan, result=["foul", "foul", "called strike", "unknown"])
    (found,) = strikes_of(frame, None, "pro", ("fastball",))
    assert found.overall.counted == Counted(3, 3)
    assert all(share.counted.thrown == 0 for share in found.by_group.values())
    assert found.overall.mean > _one(NONE, "pro").overall.mean


def test_bullpen_throws_need_a_call_and_never_weigh_as_games_do() -> None:
    pen = pd.DataFrame(
        {
            "pitch": "fastball",
            "called": ["fastball"] * 398 + ["", "curveball"],
            "target": "",
            "strike": [1.0, 0.0] * 200,
        }
    )
    (found,) = strikes_of(None, pen, "17-18", ("fastball",))
    assert found.pen == Counted(199, 398)
    assert found.overall.counted == Counted(0, 0)
    game = _one({"": Counted(199, 398)})
    width = found.overall.interval[1] - found.overall.interval[0]
    assert width > 1.8 * (game.overall.interval[1] - game.overall.interval[0])
    # Half strikes in the bullpen are fewer than half in a game.
    assert found.overall.mean < 0.55


def test_a_bullpen_throw_is_judged_by_its_place_where_nobody_said() -> None:
    pen = pd.DataFrame(
        {
            "pitch": "fastball",
            "called": "fastball",
            "side_in": [0.0, 20.0, np.nan, np.nan, np.nan],
            "height_in": [30.0, 30.0, np.nan, np.nan, np.nan],
            "cell": ["", "", "belt-middle", "below-middle", "unknown"],
        }
    )
    (found,) = strikes_of(None, pen, "17-18", ("fastball",))
    assert found.pen == Counted(2, 4)


def test_absurd_counts_do_no_harm() -> None:
    for seen in (Counted(5000, 5000), Counted(0, 5000)):
        found = _one({"": seen, "full": seen, "bullpen": seen})
        assert np.isfinite([found.overall.mean, found.chance_at_least(0.6)]).all()
