"""The log as coded columns: order, people, places, what was asked for and what was thrown."""

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball import zone
from sequencer.baseball.levels import level
from sequencer.review.coded import HEIGHTS, SIDES, encode, height_of, side_of
from tests.review import simulate


def one(**pitch: Any) -> pd.DataFrame:
    plain = {"game": "g", "pitcher": "Ames", "hitter": "h", "at_bat": 1, "pitch_no": 1}
    return pd.DataFrame([{**plain, "pitch": "fastball", "result": "ball", **pitch}])


@pytest.mark.parametrize(
    ("word", "side", "height"),
    [
        ("down-away", "away", "down"),
        ("belt-off-in", "in", "belt"),
        ("above-middle", "middle", "up"),
        ("high-in", "in", "up"),
        ("in", "in", ""),
        ("low", "", "down"),
        ("off-away", "away", ""),
        ("below", "", "down"),
        ("middle", "middle", "belt"),
        ("unknown", "", ""),
    ],
)
def test_a_place_is_a_side_and_a_height(word: str, side: str, height: str) -> None:
    assert side_of(word) == (SIDES.index(side) if side else -1)
    assert height_of(word) == (HEIGHTS.index(height) if height else -1)


@given(st.sampled_from(zone.CELLS), st.sampled_from("RL"))
@settings(max_examples=50, deadline=None)
def test_inches_give_the_cell_they_are_in(cell: str, bats: str) -> None:
    side, height = zone.centre_of(zone.to_catcher(cell, bats), level("").zone)
    measured = encode(one(side_in=side, height_in=height, bats=bats))
    charted = encode(one(cell=cell, bats=bats))
    assert (measured.side[0], measured.height[0]) == (charted.side[0], charted.height[0])


def test_inches_without_a_side_or_off_the_map_are_no_place() -> None:
    assert encode(one(side_in=0.0, height_in=30.0)).side[0] == -1
    assert encode(one(side_in=300.0, height_in=30.0, bats="R")).side[0] == -1


def test_the_hitters_own_zone_comes_before_his_levels() -> None:
    short = one(side_in=0.0, height_in=30.0, bats="R", top_in=28.0, bottom_in=14.0)
    assert encode(short).height[0] == HEIGHTS.index("up")


def test_rows_in_any_order_are_read_in_the_order_of_play() -> None:
    frame = simulate.log(150, seed=1)
    mixed = frame.sample(frac=1.0, random_state=3)
    log = encode(mixed)
    names = [log.words.pitches[code] for code in log.pitch]
    assert names == frame["pitch"].tolist()
    assert mixed.iloc[log.row]["pitch"].tolist() == names


def test_the_pitch_before_is_of_the_same_at_bat() -> None:
    frame = simulate.log(150, seed=1)
    log = encode(frame)
    first = (frame["pitch_no"] == 1).to_numpy()
    assert (log.previous[first] == -1).all()
    assert (log.previous[~first] == log.pitch[np.flatnonzero(~first) - 1]).all()


def test_times_through_count_meetings_of_the_day() -> None:
    log = encode(simulate.log(200, seed=1, per_game=100))
    frame = simulate.log(200, seed=1, per_game=100)
    assert log.time_through.tolist() == ((frame["at_bat"] - 1) // 9 + 1).tolist()


def test_two_pitchers_of_one_name_stay_two() -> None:
    frame = pd.concat(
        [
            simulate.log(20, seed=1).assign(pitcher_id="a"),
            simulate.log(20, seed=2).assign(pitcher_id="b"),
        ]
    )
    log = encode(frame)
    assert log.words.pitchers == ("Ames", "Ames")
    assert set(log.pitcher.tolist()) == {0, 1}


def test_a_call_is_read_from_four_pitches_in_five() -> None:
    frame = simulate.log(100, seed=1).assign(called="", target="")
    charted = np.arange(100) % 5 > 0
    frame.loc[charted, ["called", "target"]] = ["changeup", "low-in"]
    log = encode(frame)
    changeup = log.words.pitches.index("changeup")
    assert (log.pitch[charted] == changeup).all()
    assert (log.side[charted] == SIDES.index("in")).all()
    assert (log.side[~charted] == -1).all()
    frame.loc[charted.nonzero()[0][0], ["called", "target"]] = ["", ""]
    thrown = encode(frame)
    assert not thrown.by_call.any()
    assert [thrown.words.pitches[code] for code in thrown.pitch] == frame["pitch"].tolist()


def test_a_target_set_after_the_result_is_not_what_was_asked() -> None:
    frame = simulate.log(50, seed=1).assign(target="low-in", target_when="after")
    charted = encode(simulate.log(50, seed=1))
    assert (encode(frame).side == charted.side).all()


def test_their_pitches_are_read_when_asked_for_and_a_log_that_does_not_say_is_ours() -> None:
    ours = simulate.log(30, seed=1)
    both = pd.concat([ours, simulate.log(20, seed=2, pitcher="Dorn").assign(pitching="them")])
    assert encode(both).words.pitchers == ("Ames",)
    theirs = encode(both, whose="them")
    assert (theirs.words.pitchers, len(theirs)) == (("Dorn",), 20)
    silent = ours.drop(columns="pitching")
    assert (len(encode(silent)), len(encode(silent, whose="them"))) == (30, 0)
