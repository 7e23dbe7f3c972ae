"""A pitcher's belief as today's pitches come: exactly what all of them at once would give."""

import dataclasses

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates.command import Before, PitcherBelief, believe
from sequencer.records.people import Person

VELA = Person(id="vela", team="Herons", name="Ines Vela", throws="R")
LEVEL = "17-18"


def pitches(n: int, seed: int, *, measured: bool = False, curves: float = 0.2) -> pd.DataFrame:
    """Return n pitches with targets, of two or three types."""
    rng = np.random.default_rng(seed)
    kinds = rng.choice(["fastball", "changeup", "curveball"], n, p=[0.8 - curves, 0.2, curves])
    speed = np.where(kinds == "fastball", 78.0, 70.0) + rng.normal(0.0, 1.5, n)
    return pd.DataFrame(
        {
            "pitch": kinds,
            "called": kinds,
            "bats": "R",
            "balls": 0,
            "strikes": 0,
            "target": rng.choice(["in", "away", "middle"], n),
            "target_when": rng.choice(["before", "after"], n, p=[0.8, 0.2]),
            "side_in": rng.normal(0.0, 9.0, n).round(0),
            "height_in": rng.normal(30.0, 9.0, n).round(0),
            "result": rng.choice(["ball", "called strike", "foul"], n),
            "intent": rng.choice(["", "pitch-out"], n, p=[0.95, 0.05]),
            "speed_mph": speed if measured else np.nan,
        }
    )


def same(one: PitcherBelief, other: PitcherBelief) -> None:
    assert dataclasses.replace(one, arsenal=()) == dataclasses.replace(other, arsenal=())
    for ours, theirs in zip(one.arsenal, other.arsenal, strict=True):
        for field in dataclasses.fields(ours):
            mine, his = getattr(ours, field.name), getattr(theirs, field.name)
            assert np.array_equal(mine, his), (ours.pitch, field.name)


@pytest.mark.parametrize("measured", [False, True])
def test_pitch_by_pitch_is_exactly_what_all_at_once_gives(measured: bool) -> None:
    past, today = pitches(60, 1, measured=measured), pitches(25, 2, measured=measured)
    before = Before(VELA, None, past, LEVEL)
    for n in range(len(today) + 1):
        now = today.head(n)
        same(before.with_today(now), believe(VELA, None, past, LEVEL, now))


def test_what_was_taken_back_or_put_right_is_not_remembered() -> None:
    past, today = pitches(40, 3), pitches(12, 4)
    before = Before(VELA, None, past, LEVEL)
    before.with_today(today)
    right = today.assign(pitch="changeup", called="changeup")
    for now in (today.head(5), right, None, today):
        same(before.with_today(now), believe(VELA, None, past, LEVEL, now))


def test_a_type_first_thrown_today_becomes_his() -> None:
    before = Before(VELA, None, pitches(40, 5, curves=0.0), LEVEL)
    assert "curveball" not in [pitch.pitch for pitch in before.with_today().arsenal]
    today = pitches(8, 6).assign(pitch="curveball")
    assert "curveball" in [pitch.pitch for pitch in before.with_today(today).arsenal]


def test_of_a_pitcher_nobody_has_seen_there_is_the_level_alone() -> None:
    same(Before(VELA, None, None, LEVEL).with_today(), believe(VELA, None, None, LEVEL))
