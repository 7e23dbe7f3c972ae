"""What a pitcher does to hitters of either side, and only what his pitches carry."""

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball import zone
from sequencer.baseball.levels import level
from sequencer.estimates import command
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.estimates.platoon import Platoon, platoon
from sequencer.records.people import Person

AMES = Person(id="a", team="Us", name="Ames", throws="R")
AT = level("17-18")


def _game(
    rng: np.random.Generator,
    bats: str,
    n: int,
    *,
    change: float = 0.3,
    strikes: float = 0.6,
    bias: tuple[float, float] = (0.0, 0.0),
    sd: float = 9.0,
) -> pd.DataFrame:
    centre = np.array(zone.centre_of("middle", AT.zone))
    place = centre + bias + rng.normal(size=(n, 2)) * sd
    return pd.DataFrame(
        {
            "pitch": np.where(rng.random(n) < change, "changeup", "fastball").astype(object),
            "result": np.where(rng.random(n) < strikes, "foul", "ball").astype(object),
            "bats": bats,
            "balls": 1,
            "strikes": 1,
            "intent": "",
            "target": "middle",
            "target_when": "before",
            "seen_from": "measured",
            "side_in": place[:, 0],
            "height_in": place[:, 1],
        }
    )


def _both(seed: int, right: dict[str, Any], left: dict[str, Any]) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    return pd.concat([_game(rng, "R", **right), _game(rng, "L", **left)], ignore_index=True)


def _found(frame: pd.DataFrame) -> tuple[PitcherBelief, Platoon]:
    belief = command.believe(AMES, None, frame, "17-18")
    return belief, platoon(belief, frame)


def test_a_change_up_for_left_handers_only_is_said_so() -> None:
    _, found = _found(_both(0, {"n": 120, "change": 0.0}, {"n": 80, "change": 0.4}))
    assert any(
        s.startswith("Throws the changeup to left-handers only: ") and s.endswith(" right-handers.")
        for s in found.sentences
    )


def test_a_side_he_is_wild_to_and_one_he_misses_low_to_are_said() -> None:
    _, found = _found(
        _both(1, {"n": 400, "bias": (0.0, 6.0), "strikes": 0.70}, {"n": 400, "strikes": 0.45})
    )
    assert any("Fewer strikes with the fastball to left-handers" in s for s in found.sentences)
    assert any("fastball go" in s and "higher" in s for s in found.sentences)
    _, found = _found(_both(2, {"n": 300, "sd": 7.0}, {"n": 300, "sd": 13.0}))
    assert any("Wilder with the fastball to left-handers" in s for s in found.sentences)


def test_sides_alike_are_told_apart_in_at_most_a_few_of_a_hundred_pitchers() -> None:
    told = 0
    for seed in range(60):
        _, found = _found(_both(seed, {"n": 90}, {"n": 60}))
        told += bool(found.sentences)
    # Five in a hundred are promised, two standard errors of sixty.
    assert told <= 6


def test_six_pitches_stay_near_his_own_total() -> None:
    rng = np.random.default_rng(3)
    frame = pd.concat(
        [_game(rng, "R", 300, change=0.2), _game(rng, "L", 6, change=1.0, strikes=0.0)]
    )
    belief, found = _found(frame)
    few = found.by_side["L"]["changeup"]
    assert 0.2 < few.mix.mean < 0.6
    assert few.strikes.mean > belief.pitch("changeup").strike_share - 0.06
    assert found.sentences == ()
    width = few.mix.interval[1] - few.mix.interval[0]
    many = found.by_side["R"]["changeup"].mix.interval
    assert width > 2 * (many[1] - many[0])


def test_a_side_seen_a_lot_is_its_own() -> None:
    belief, found = _found(_both(4, {"n": 20}, {"n": 900, "bias": (5.0, 0.0), "change": 0.0}))
    left = found.by_side["L"]["fastball"].belief
    assert left.bias[0] == pytest.approx(5.0, abs=1.0)
    assert left.charted == 900
    assert belief.pitch("fastball").charted > 900


@settings(max_examples=20, deadline=None)
@given(
    n=st.tuples(st.integers(0, 20), st.integers(0, 20)),
    change=st.floats(0.0, 1.0),
    seed=st.integers(0, 10**6),
)
def test_whatever_he_threw_no_number_is_missing(
    n: tuple[int, int], change: float, seed: int
) -> None:
    frame = _both(seed, {"n": n[0], "change": change}, {"n": n[1], "change": change})
    _, found = _found(frame)
    for side in found.by_side.values():
        for one in side.values():
            numbers = [
                *one.mix.interval, one.mix.mean, *one.strikes.interval, one.strikes.mean,
                *one.belief.bias, one.belief.spread, *one.belief.spread_interval,
            ]  # fmt: skip
            assert np.isfinite(numbers).all()


def test_one_pitch_or_nothing_logged_says_nothing() -> None:
    alone = command.average("17-18", arsenal=("fastball",))
    assert platoon(alone, None).sentences == ()
    rng = np.random.default_rng(5)
    frame = pd.concat([_game(rng, side, 60, change=0.0) for side in ("R", "L")])
    found = platoon(alone, frame)
    assert found.thrown == {"R": 60, "L": 60}
    assert not any("more to" in s or "only" in s for s in found.sentences)
