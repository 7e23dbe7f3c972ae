"""The ledger adds up exactly, for every pitch and every group, and says what it cannot know."""

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import Count
from sequencer.baseball.count_runs import count_values_at
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.levels import level
from sequencer.review.coded import encode
from sequencer.review.ledger import PARTS, of_pitches, totals
from tests.review import simulate

RUNS_PER_GAME = level("").runs_per_game


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    log = simulate.log(400, seed=4)
    rng = np.random.default_rng(1)
    log.loc[rng.random(len(log)) < 0.1, "cell"] = ""
    log.loc[rng.random(len(log)) < 0.1, "cell"] = "off-away"
    log["target"] = np.where(rng.random(len(log)) < 0.5, "low-away", "")
    return log


def test_the_parts_of_every_pitch_are_its_runs(frame: pd.DataFrame) -> None:
    ledger = of_pitches(frame, encode(frame))
    parts = np.stack([ledger.parts[part] for part in PARTS])
    known = ~np.isnan(ledger.runs)
    assert known.mean() > 0.95
    assert np.nansum(parts, axis=0)[known] == pytest.approx(ledger.runs[known], abs=1e-12)


def test_the_parts_of_every_group_are_its_runs(frame: pd.DataFrame) -> None:
    log = encode(frame)
    ledger = of_pitches(frame, log)
    entries = totals(ledger, frame, log)
    assert {entry["by"] for entry in entries} == {
        *("game", "pitcher", "catcher", "caller", "pitch", "count")
    }
    for entry in entries:
        parts = [float(str(entry[part])) for part in PARTS if entry[part] is not None]
        assert sum(parts) == pytest.approx(float(str(entry["runs"])), abs=1e-9)
    for by in ("game", "pitcher", "count"):
        mine = [float(str(entry["runs"])) for entry in entries if entry["by"] == by]
        assert sum(mine) == pytest.approx(float(np.nansum(ledger.runs)))


def one(**pitch: object) -> pd.DataFrame:
    plain = {"game": "g", "pitcher": "Ames", "hitter": "h", "at_bat": 1, "pitch_no": 1}
    return pd.DataFrame([{**plain, "balls": 0, "strikes": 0, "pitch": "fastball", **pitch}])


@pytest.mark.parametrize(
    ("pitch", "reached"),
    [
        ({"result": "ball"}, Count(1, 0)),
        ({"result": "foul", "strikes": 2}, Count(0, 2)),
        ({"result": "called strike", "balls": 3}, Count(3, 1)),
    ],
)
def test_a_pitch_is_worth_the_count_it_leads_to(pitch: dict[str, object], reached: Count) -> None:
    frame = one(**pitch)
    values = count_values_at(RUNS_PER_GAME)
    at = Count(int(frame["balls"][0]), int(frame["strikes"][0]))
    runs = of_pitches(frame, encode(frame)).runs[0]
    assert runs == pytest.approx(values[reached] - values[at])


@pytest.mark.parametrize(
    ("pitch", "event"),
    [
        ({"result": "ball", "balls": 3, "strikes": 1}, "walk"),
        ({"result": "swinging strike", "balls": 1, "strikes": 2}, "strikeout"),
        ({"result": "in play", "play": "double"}, "double"),
        ({"result": "foul", "strikes": 2, "bunt": 1}, "strikeout"),
        ({"result": "hit by pitch"}, "hit by pitch"),
    ],
)
def test_a_pitch_that_ends_it_is_worth_the_event(pitch: dict[str, object], event: str) -> None:
    frame = one(**pitch)
    at = Count(int(frame["balls"][0]), int(frame["strikes"][0]))
    runs = of_pitches(frame, encode(frame)).runs[0]
    assert runs == pytest.approx(
        event_value(event, RUNS_PER_GAME) - count_values_at(RUNS_PER_GAME)[at]
    )


def test_a_strike_called_a_ball_is_the_umpires() -> None:
    ledger = of_pitches(missed := one(result="ball", cell="down-away"), encode(missed))
    values = count_values_at(RUNS_PER_GAME)
    assert ledger.parts["umpire"][0] == pytest.approx(values[Count(1, 0)] - values[Count(0, 1)])
    ledger = of_pitches(missed := one(result="ball", cell="down-off-away"), encode(missed))
    assert ledger.parts["umpire"][0] == 0


def test_what_is_not_known_is_told_as_not_known() -> None:
    bare = one(result="ball")
    ledger = of_pitches(bare, encode(bare))
    assert np.isnan([ledger.parts[part][0] for part in PARTS if part != "unplaced"]).all()
    assert ledger.parts["unplaced"][0] == ledger.runs[0]
    silent = one(result="in play", play="")
    assert np.isnan(of_pitches(silent, encode(silent)).runs[0])
    entry = totals(ledger, bare, encode(bare))[0]
    assert entry["call"] is None
    assert entry["umpire"] is None


def test_a_target_set_after_the_result_is_no_call() -> None:
    late = one(result="ball", cell="down-away", target="low-away", target_when="after")
    ledger = of_pitches(late, encode(late))
    assert np.isnan(ledger.parts["call"][0])
    assert not np.isnan(ledger.parts["call_and_execution"][0])


def test_a_plan_prices_the_call_and_the_sum_stays() -> None:
    asked = one(result="ball", cell="down-away")
    ledger = of_pitches(asked, encode(asked), call_runs=np.array([0.013]))
    assert ledger.parts["call"][0] == 0.013
    parts = [ledger.parts[part][0] for part in PARTS]
    assert np.nansum(parts) == pytest.approx(ledger.runs[0])
