"""Which pitches a hitter can tell apart, and what cannot be known."""

from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates import command
from sequencer.estimates.pitcher import Alike, PitcherBelief
from sequencer.estimates.separable import (
    NOT_TOLD,
    TOLD,
    UNKNOWN,
    Separable,
    separable,
    with_alike,
)
from sequencer.records.people import Person

FAST = {"speed_mph": (80.0, 2.0), "break_side_in": (-6.0, 2.0), "break_up_in": (9.0, 2.0)}
SLOW = FAST | {"speed_mph": (70.0, 2.0)}


def _thrown(pitch: str, n: int, seed: int = 0, **columns: tuple[float, float]) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    drawn: dict[str, Any] = {
        name: mean + sd * rng.normal(size=n) for name, (mean, sd) in columns.items()
    }
    return pd.DataFrame({"pitch": [pitch] * n, "intent": "", **drawn})


def _of(*frames: pd.DataFrame) -> Separable:
    kinds = [str(frame["pitch"].iloc[0]) for frame in frames]
    return separable(pd.concat(frames, ignore_index=True), kinds)


def test_ten_miles_an_hour_are_told_apart() -> None:
    pair = _of(_thrown("fastball", 60, 1, **FAST), _thrown("changeup", 40, 2, **SLOW)).pairs[0]
    assert pair.verdict == TOLD
    assert pair.accuracy is not None and pair.accuracy > 0.95
    assert pair.rows == (60, 40)


def test_one_pitch_under_two_names_is_not() -> None:
    found = _of(_thrown("four-seam", 60, 1, **FAST), _thrown("two-seam", 60, 2, **FAST))
    assert found.pairs[0].verdict == NOT_TOLD
    assert found.alike == (Alike("four-seam", "two-seam"),)
    assert found.says == "No hitter could tell the four-seam and the two-seam apart."


def test_rare_pitches_are_judged_as_fairly_as_common_ones() -> None:
    found = _of(_thrown("four-seam", 900, 1, **FAST), _thrown("two-seam", 30, 2, **FAST))
    accuracy = found.pairs[0].accuracy
    assert accuracy is not None and 0.35 < accuracy < 0.65


def test_equal_speeds_without_breaks_leave_two_fastballs_open() -> None:
    speed = {"speed_mph": FAST["speed_mph"]}
    pair = _of(_thrown("four-seam", 80, 1, **speed), _thrown("two-seam", 80, 2, **speed)).pairs[0]
    assert pair.verdict == UNKNOWN
    assert "break is not" in pair.why


def test_a_changeup_as_fast_as_the_fastball_is_one_by_its_speed_alone() -> None:
    speed = {"speed_mph": FAST["speed_mph"]}
    pair = _of(_thrown("fastball", 80, 1, **speed), _thrown("changeup", 80, 2, **speed)).pairs[0]
    assert pair.verdict == NOT_TOLD


def test_places_alone_tell_no_shape_and_it_is_said() -> None:
    high = {"side_in": (0.0, 4.0), "height_in": (40.0, 4.0)}
    low = {"side_in": (0.0, 4.0), "height_in": (15.0, 4.0)}
    found = _of(_thrown("fastball", 50, 1, **high), _thrown("curveball", 50, 2, **low))
    pair = found.pairs[0]
    assert pair.verdict == UNKNOWN
    assert pair.by_place is not None and pair.by_place > 0.95
    assert pair.why == "no speed or break is logged, and places do not say what a pitch looks like"
    assert found.says.startswith("Whether his pitches look different cannot be known: no speed")


def test_places_do_not_make_one_shape_two() -> None:
    high, low = (FAST | {"side_in": (0.0, 4.0), "height_in": (at, 4.0)} for at in (40.0, 15.0))
    found = _of(_thrown("four-seam", 60, 1, **high), _thrown("two-seam", 60, 2, **low))
    assert found.pairs[0].verdict == NOT_TOLD


@pytest.mark.parametrize("n", [1, 6, 11])
def test_too_few_pitches_say_nothing(n: int) -> None:
    pair = _of(_thrown("fastball", 60, 1, **FAST), _thrown("changeup", n, 2, **SLOW)).pairs[0]
    assert pair.verdict == UNKNOWN and pair.accuracy is None


def test_a_radar_that_read_nine_or_nine_hundred_is_left_out_and_said() -> None:
    fast, slow = _thrown("fastball", 60, 1, **FAST), _thrown("changeup", 40, 2, **SLOW)
    clean = _of(fast, slow).pairs[0]
    fast.loc[0, "speed_mph"], fast.loc[1, "speed_mph"] = 900.0, 9.0
    slow.loc[0, "speed_mph"] = 45.0
    found = _of(fast, slow)
    assert found.notes == ("3 readings of speed or break cannot be right and are left out.",)
    assert found.pairs[0].verdict == TOLD
    assert found.pairs[0].rows == (58, 39)
    assert found.pairs[0].accuracy == pytest.approx(clean.accuracy, abs=0.03)


def test_columns_that_never_change_do_no_harm() -> None:
    still = {"speed_mph": (80.0, 0.0), "break_side_in": (3.0, 0.0), "break_up_in": (3.0, 0.0)}
    found = _of(_thrown("four-seam", 40, 1, **still), _thrown("two-seam", 40, 2, **still))
    assert found.pairs[0].verdict == NOT_TOLD
    apart = still | {"speed_mph": (70.0, 0.0)}
    found = _of(_thrown("fastball", 40, 1, **still), _thrown("changeup", 40, 2, **apart))
    assert found.pairs[0].verdict == TOLD


def test_a_column_that_one_type_lacks_is_not_used() -> None:
    slow = _thrown("changeup", 40, 2, **SLOW).drop(columns="break_up_in")
    pair = _of(_thrown("fastball", 60, 1, **FAST), slow).pairs[0]
    assert pair.columns == ("speed_mph", "break_side_in")
    assert pair.verdict == TOLD


def test_one_pitch_has_no_pairs_and_none_logged_is_unknown() -> None:
    assert separable(None, ["fastball"]) == Separable(())
    assert separable(None, ["fastball"]).says == ""
    assert separable(None, ["fastball", "curveball"]).pairs[0].verdict == UNKNOWN
    with pytest.raises(KeyError):
        separable(None, ["fastball"]).pair("fastball", "cutter")


def test_a_coarse_word_is_not_held_against_what_it_may_mean() -> None:
    frame = pd.concat([_thrown("fastball", 40, 1, **FAST), _thrown("two-seam", 40, 2, **FAST)])
    assert separable(frame, ["fastball", "two-seam"]).pairs == ()


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    sizes=st.tuples(st.integers(0, 30), st.integers(0, 30)),
    missing=st.floats(0.0, 1.0),
    scale=st.sampled_from([0.0, 1e-9, 1.0, 1e3]),
)
def test_whatever_is_logged_the_verdict_is_one_of_three(
    seed: int, sizes: tuple[int, int], missing: float, scale: float
) -> None:
    rng = np.random.default_rng(seed)
    frame = pd.concat(
        [
            _thrown(pitch, n, seed + i, **dict.fromkeys(FAST, (80.0 * i, scale)))
            for i, (pitch, n) in enumerate(zip(("fastball", "slider"), sizes, strict=True))
        ]
    )
    for column in FAST:
        frame[column] = frame[column].where(rng.random(len(frame)) >= missing)
    pair = separable(frame, ["fastball", "slider"]).pairs[0]
    assert pair.verdict in (TOLD, NOT_TOLD, UNKNOWN)
    assert bool(pair.why) == (pair.verdict == UNKNOWN)
    if pair.accuracy is not None and pair.interval is not None:
        assert 0.0 <= pair.interval[0] <= pair.interval[1] <= 1.0


def _believed(*arsenal: str, shares: tuple[float, ...], alike: tuple[Alike, ...]) -> PitcherBelief:
    found = command.average("pro", arsenal=arsenal)
    pitches = tuple(
        replace(pitch, strike_share=share)
        for pitch, share in zip(found.arsenal, shares, strict=True)
    )
    return replace(found, arsenal=pitches, alike=alike)


def _offered(belief: PitcherBelief, never: tuple[str, ...] = ()) -> list[str]:
    return [pitch.pitch for pitch in belief.offered(never)]


def test_of_two_that_look_the_same_the_one_thrown_for_strikes_is_offered() -> None:
    same = (Alike("four-seam", "two-seam"),)
    found = _believed("four-seam", "two-seam", "slider", shares=(0.58, 0.63, 0.5), alike=same)
    assert _offered(found) == ["two-seam", "slider"]
    assert "two-seam is planned" in found.alike_notes()[0]


def test_when_the_better_is_shelved_or_ruled_out_the_other_stands_in() -> None:
    same = (Alike("curveball", "slider"),)
    found = _believed("fastball", "curveball", "slider", shares=(0.6, 0.5, 0.6), alike=same)
    assert _offered(found) == ["fastball", "slider"]
    shelved = replace(found.pitch("slider"), shelved=True)
    today = replace(found, arsenal=(*found.arsenal[:2], shelved))
    assert _offered(today) == ["fastball", "curveball"]
    assert today.alike_notes() == ()
    assert _offered(found, ("slider",)) == ["fastball", "curveball", "slider"]


def test_three_in_a_row_keep_the_two_ends_that_differ() -> None:
    same = (Alike("four-seam", "two-seam"), Alike("two-seam", "cutter"))
    found = _believed("four-seam", "two-seam", "cutter", shares=(0.64, 0.62, 0.60), alike=same)
    assert _offered(found) == ["four-seam", "cutter"]


def test_across_families_both_are_offered_and_the_lesser_counts_as_the_other() -> None:
    found = _believed(
        "fastball", "changeup", shares=(0.6, 0.6), alike=(Alike("fastball", "changeup"),)
    )
    assert _offered(found) == ["fastball", "changeup"]
    assert found.seen_as("changeup") == found.seen_as("fastball") == "fast"
    assert "it counts as fast" in found.alike_notes()[0]
    assert command.average("pro").seen_as("changeup") == "off-speed"


def test_a_pitcher_of_the_book_is_told_which_of_his_pitches_are_one() -> None:
    frame = pd.concat(
        [_thrown("four-seam", 90, 1, **FAST), _thrown("two-seam", 40, 2, **FAST)]
    ).assign(result="foul", balls=0, strikes=0, bats="R")
    frame["speed_mph"] = [900.0, *frame["speed_mph"].tolist()[1:]]
    found = command.believe(Person(id="a", team="Us", name="Ames"), None, frame, "pro")
    assert found.alike == (Alike("four-seam", "two-seam"),)
    assert len(found.available) == 1
    assert any("cannot be right" in note for note in found.notes)


def test_pairs_of_pitches_he_no_longer_throws_are_dropped() -> None:
    pairs = _of(_thrown("four-seam", 60, 1, **FAST), _thrown("two-seam", 60, 2, **FAST))
    assert with_alike(command.average("pro", arsenal=("four-seam",)), pairs).alike == ()
