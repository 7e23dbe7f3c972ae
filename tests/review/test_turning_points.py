"""Every hit, walk and hit batter is told once, with what cost most."""

import json

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.review.came_to import STATES
from sequencer.review.coded import encode
from sequencer.review.ledger import PARTS, ledger_of
from sequencer.review.turning_points import ALWAYS, TurningPoint, turning_points
from tests.review.random_log import random_log


def points(frame: pd.DataFrame) -> list[TurningPoint]:
    log = encode(frame)
    return turning_points(ledger_of(frame, log), frame, log)


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_every_end_that_costs_is_told_once_and_in_order(seed: int) -> None:
    frame = random_log(seed)
    log = encode(frame)
    ledger = ledger_of(frame, log)
    expected = []
    for at_bat in np.unique(log.at_bat):
        own = np.flatnonzero(log.at_bat == at_bat)
        end = STATES[ledger.came[own[-1]]] if ledger.came[own[-1]] >= 12 else ""
        if end in ALWAYS or (end and np.nansum(ledger.runs[own]) > 0):
            expected.append((end, float(np.nansum(ledger.runs[own]))))
    told = [(point.event, point.runs) for point in turning_points(ledger, frame, log)]
    assert [event for event, _ in told] == [event for event, _ in expected]
    assert [runs for _, runs in told] == pytest.approx([runs for _, runs in expected])


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_parts_told_of_a_hit_are_the_runs_of_its_pitch(seed: int) -> None:
    frame = random_log(seed)
    log = encode(frame)
    ledger = ledger_of(frame, log)
    for point in turning_points(ledger, frame, log):
        if point.event != "walk":
            assert point.pitches == 1
            known = [runs for runs in point.parts.values() if runs is not None]
            assert np.isclose(ledger.runs, sum(known), atol=1e-9).any()


def walk() -> pd.DataFrame:
    plain = {"game": "g", "pitcher": "Ames", "hitter": "Dell", "hitter_no": "12", "at_bat": 1}
    plain |= {"bats": "R", "throws": "R", "pitch": "fastball", "target": "low-away"}
    pitches = [
        ("ball", "below-away", 0, 0),
        ("called strike", "belt-middle", 1, 0),
        ("ball", "above-middle", 1, 1),
        ("ball", "down-off-away", 2, 1),
        ("foul", "belt-in", 3, 1),
        ("ball", "belt-middle", 3, 2),
    ]
    return pd.DataFrame(
        [
            {**plain, "result": result, "cell": cell, "balls": b, "strikes": s, "pitch_no": i}
            for i, (result, cell, b, s) in enumerate(pitches, start=1)
        ]
    )


def test_a_walk_adds_up_its_balls() -> None:
    frame = walk()
    log = encode(frame)
    ledger = ledger_of(frame, log)
    (point,) = turning_points(ledger, frame, log)
    balls = frame["result"].to_numpy() == "ball"
    assert (point.event, point.count, point.pitches) == ("walk", "3-2", 4)
    assert point.runs == pytest.approx(ledger.runs.sum())
    for part in ("call", "execution", "umpire", "outcome"):
        assert point.parts[part] == pytest.approx(ledger.parts[part][balls].sum())
    assert point.parts["call_and_execution"] is None


def test_the_umpire_costs_most_when_he_misses_the_fourth_ball() -> None:
    (point,) = points(walk())
    assert point.cost_most == "umpire"
    far = walk().assign(side_in=25.0, height_in=28.0, seen_from="measured")
    (point,) = points(far)
    assert point.cost_most == "execution"


def test_a_hit_off_a_good_pitch_is_the_hitters() -> None:
    frame = walk().head(1).assign(result="in play", play="single", cell="down-off-away", strikes=2)
    (point,) = points(frame)
    assert point.cost_most == "outcome"
    assert point.cell == "down-off-away"


def test_a_late_target_is_not_what_was_asked() -> None:
    frame = walk().head(1).assign(result="hit by pitch", cell="belt-off-in", target_when="after")
    (point,) = points(frame)
    assert point.target == ""
    assert point.parts["call"] is None
    assert point.parts["call_and_execution"] is not None


def test_what_is_told_can_be_written_as_json() -> None:
    told = [point.as_json() for point in points(random_log(3))]
    assert json.loads(json.dumps(told)) == told
    assert set(told[0]["parts"]) == set(PARTS)  # type: ignore[call-overload]


def test_an_empty_log_has_no_turning_points() -> None:
    assert points(walk().head(0)) == []
