"""The ledger adds up exactly, for every pitch and every group, and says what it cannot know."""

import time

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.count import COUNTS, Count, after
from sequencer.review.came_to import STATES
from sequencer.review.coded import encode
from sequencer.review.ledger import BY_GAME_FROM, GROUPS, PARTS, Ledger, ledger_of, totals
from sequencer.review.place_runs import level_states
from tests.review import simulate
from tests.review.random_log import random_log

RUNS = dict(zip(STATES, level_states("17-18").tolist(), strict=True))


def ledger(frame: pd.DataFrame) -> Ledger:
    return ledger_of(frame, encode(frame))


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    log = simulate.log(700, seed=4)
    rng = np.random.default_rng(1)
    log.loc[rng.random(len(log)) < 0.1, "cell"] = ""
    log.loc[rng.random(len(log)) < 0.1, "cell"] = "off-away"
    log["target"] = np.where(rng.random(len(log)) < 0.5, "low-away", "")
    return log


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_known_parts_of_every_pitch_are_its_runs(seed: int) -> None:
    log = random_log(seed)
    found, coded = ledger(log), encode(log)
    parts = np.stack([found.parts[part] for part in PARTS])
    known = ~np.isnan(found.runs)
    assert np.abs(np.nansum(parts, axis=0) - found.runs)[known].max() < 1e-9
    assert np.isnan(parts[:, ~known]).all()
    for i, row in enumerate(log.iloc[coded.row].to_dict("records")):
        at = Count(row["balls"], row["strikes"])
        count, end = after(at, row["result"], bunt=bool(row["bunt"]))
        state = (row["play"] if end == "in play" else end) or str(count)
        if row["result"] == "unknown" or (end == "in play" and not row["play"]):
            assert np.isnan(found.runs[i])
        else:
            assert found.runs[i] == pytest.approx(RUNS[state] - RUNS[str(at)], abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_pitches_of_an_at_bat_sum_to_how_it_ended_less_how_it_began(seed: int) -> None:
    log = random_log(seed)
    coded, found = encode(log), ledger(log)
    for at_bat in np.unique(coded.at_bat):
        own = np.flatnonzero(coded.at_bat == at_bat)
        states = [STATES[came] for came in found.came[own]]
        if -1 not in found.came[own]:
            assert found.runs[own].sum() == pytest.approx(RUNS[states[-1]] - RUNS["0-0"], abs=1e-9)


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_parts_of_every_group_are_its_runs(seed: int) -> None:
    log = random_log(seed)
    coded, found = encode(log), ledger(log)
    entries = totals(found, log, coded)
    assert [by for by in GROUPS if any(entry["by"] == by for entry in entries)] == [
        by for by in GROUPS if by != "caller"
    ]
    for entry in entries:
        parts = [float(str(entry[part])) for part in PARTS if entry[part] is not None]
        assert sum(parts) == pytest.approx(float(str(entry["runs"])), abs=1e-9)
    for by in ("game", "pitcher", "pitch", "count"):
        mine = [float(str(entry["runs"])) for entry in entries if entry["by"] == by]
        assert sum(mine) == pytest.approx(float(np.nansum(found.runs)), abs=1e-9)


def test_an_empty_log_has_an_empty_ledger(frame: pd.DataFrame) -> None:
    nobody = frame.head(0)
    assert not len(ledger(nobody).runs)
    assert totals(ledger(nobody), nobody, encode(nobody)) == []


def test_the_log_is_not_changed(frame: pd.DataFrame) -> None:
    before = frame.copy()
    totals(ledger(frame), frame, encode(frame))
    pd.testing.assert_frame_equal(frame, before)


def one(**pitch: object) -> pd.DataFrame:
    plain = {"game": "g", "pitcher": "Ames", "hitter": "h", "at_bat": 1, "pitch_no": 1}
    plain |= {"bats": "R", "throws": "R"}
    return pd.DataFrame([{**plain, "balls": 0, "strikes": 0, "pitch": "fastball", **pitch}])


@pytest.mark.parametrize(
    ("pitch", "event"),
    [
        ({"result": "ball", "balls": 3, "strikes": 1}, "walk"),
        ({"result": "swinging strike", "balls": 1, "strikes": 2}, "strikeout"),
        ({"result": "in play", "play": "double"}, "double"),
        ({"result": "foul", "strikes": 2, "bunt": 1}, "strikeout"),
        ({"result": "foul", "strikes": 2}, "0-2"),
        ({"result": "hit by pitch"}, "hit by pitch"),
    ],
)
def test_a_pitch_is_worth_what_it_leads_to(pitch: dict[str, object], event: str) -> None:
    log = one(**pitch)
    at = f"{log['balls'][0]}-{log['strikes'][0]}"
    assert ledger(log).runs[0] == pytest.approx(RUNS[event] - RUNS[at])


@pytest.mark.parametrize("count", [*COUNTS])
def test_a_strike_called_a_ball_is_the_umpires(count: Count) -> None:
    balls, strikes = count
    log = one(result="ball", cell="belt-middle", balls=balls, strikes=strikes)
    ball = RUNS["walk" if balls == 3 else str(Count(balls + 1, strikes))]
    strike = RUNS["strikeout" if strikes == 2 else str(Count(balls, strikes + 1))]
    assert ledger(log).parts["umpire"][0] == pytest.approx(ball - strike, rel=0.05)
    wide = log.assign(cell="belt-off-away", side_in=30.0, height_in=28.0, seen_from="measured")
    assert ledger(wide).parts["umpire"][0] == pytest.approx(0.0, abs=2e-3)


def test_a_pitch_on_the_edge_is_half_the_umpires_either_way() -> None:
    edge = {"side_in": 10.2, "height_in": 29.0, "seen_from": "measured"}
    called = ledger(one(result="called strike", **edge)).parts["umpire"][0]
    not_called = ledger(one(result="ball", **edge)).parts["umpire"][0]
    assert called < 0 < not_called
    assert not_called - called == pytest.approx(RUNS["1-0"] - RUNS["0-1"])


@pytest.mark.parametrize("result", ["called strike", "ball", "foul", "swinging strike"])
def test_a_mirrored_pitch_has_the_same_ledger(result: str) -> None:
    place = {"height_in": 20.0, "seen_from": "measured", "result": result, "target": "low-away"}
    right = ledger(one(bats="R", throws="R", side_in=9.0, **place))
    left = ledger(one(bats="L", throws="L", side_in=-9.0, **place))
    for part in PARTS:
        np.testing.assert_allclose(left.parts[part], right.parts[part], atol=1e-12)


def test_what_is_not_known_is_told_as_not_known() -> None:
    bare = one(result="ball")
    found = ledger(bare)
    assert np.isnan([found.parts[part][0] for part in PARTS if part != "unplaced"]).all()
    assert found.parts["unplaced"][0] == found.runs[0]
    silent = one(result="in play", play="", cell="down-away", target="low-away")
    assert np.isnan(ledger(silent).runs[0])
    entry = totals(found, bare, encode(bare))[0]
    assert entry["call"] is None
    assert entry["umpire"] is None


def test_a_pitch_without_a_place_still_has_its_call() -> None:
    found = ledger(one(result="ball", target="low-away"))
    parts = {part: found.parts[part][0] for part in PARTS if not np.isnan(found.parts[part][0])}
    assert set(parts) == {"call", "unplaced"}
    assert sum(parts.values()) == pytest.approx(found.runs[0])


def test_a_target_set_after_the_result_is_no_call() -> None:
    found = ledger(one(result="ball", cell="down-away", target="low-away", target_when="after"))
    assert np.isnan(found.parts["call"][0])
    assert not np.isnan(found.parts["call_and_execution"][0])


def test_a_cross_up_is_the_execution_of_what_was_called() -> None:
    asked = {"result": "foul", "cell": "belt-middle", "target": "low-away", "called": "curveball"}
    crossed = ledger(one(pitch="fastball", **asked))
    as_asked = ledger(one(pitch="curveball", **asked))
    assert crossed.parts["call"][0] == as_asked.parts["call"][0]
    assert crossed.parts["execution"][0] != as_asked.parts["execution"][0]


def test_who_hits_his_spots_loses_less_by_his_misses_than_who_does_not() -> None:
    rng = np.random.default_rng(3)
    log = simulate.log(2000, seed=3).assign(target="low-away", seen_from="measured", throws="R")
    away = np.where(log["bats"] == "R", 1.0, -1.0)
    misses = {}
    for spread in (4.0, 16.0):
        thrown = log.assign(
            side_in=away * 5.0 + rng.normal(0, spread, len(log)),
            height_in=24.0 + rng.normal(0, spread, len(log)),
        )
        misses[spread] = np.nanmean(ledger(thrown).parts["execution"])
    assert misses[4.0] < -0.005 < 0.005 < misses[16.0]


def test_levels_of_one_log_are_each_told_by_their_own_tables(frame: pd.DataFrame) -> None:
    young = np.arange(len(frame)) % 2 == 0
    both = ledger(frame.assign(level=np.where(young, "9-10", "college")))
    for level, own in (("9-10", young), ("college", ~young)):
        alone = ledger(frame.assign(level=level))
        np.testing.assert_allclose(both.runs[own], alone.runs[own])
        for part in PARTS:
            np.testing.assert_allclose(both.parts[part][own], alone.parts[part][own])


def test_inches_to_the_side_of_a_hitter_of_unknown_side_say_nothing_but_height() -> None:
    known = {"result": "ball", "bats": "", "height_in": 70.0, "seen_from": "measured"}
    left, right = (ledger(one(side_in=side, **known)) for side in (-8.0, 8.0))
    for part in PARTS:
        np.testing.assert_array_equal(left.parts[part], right.parts[part])
    assert left.parts["umpire"][0] == pytest.approx(0.0, abs=2e-3)


@pytest.mark.parametrize("games", [BY_GAME_FROM + 2, 2])
def test_a_sum_spreads_as_its_games_or_at_bats_do(games: int) -> None:
    log = simulate.log(60 * games, seed=5)
    coded, found = encode(log), ledger(log)
    (entry,) = (each for each in totals(found, log, coded) if each["by"] == "pitcher")
    cluster = coded.game if games >= BY_GAME_FROM else coded.at_bat
    assert entry["se_by"] == ("game" if games >= BY_GAME_FROM else "at-bat")
    mean = np.nanmean(found.runs)
    away = [
        (found.runs[cluster == each] - mean)[~np.isnan(found.runs[cluster == each])].sum()
        for each in np.unique(cluster)
    ]
    expected = np.sqrt(len(away) / (len(away) - 1) * np.square(away).sum())
    assert isinstance(entry["se"], dict)
    assert entry["se"]["runs"] == pytest.approx(expected)
    assert set(entry["se"]) == {"runs", *PARTS}


def test_one_at_bat_has_no_spread() -> None:
    log = one(result="in play", play="single", cell="belt-middle")
    (entry, *_) = totals(ledger(log), log, encode(log))
    assert isinstance(entry["se"], dict)
    assert entry["se"]["runs"] is None


def test_ten_thousand_pitches_take_a_fraction_of_a_second() -> None:
    log = simulate.log(10_000, seed=6).assign(target="low-away")
    coded = encode(log)
    ledger_of(log, coded)  # tables are worked out once
    begun = time.process_time()
    totals(ledger_of(log, coded), log, coded)
    assert time.process_time() - begun < 0.5
