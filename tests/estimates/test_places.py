"""How places were seen: as the log says, else by how finely its inches are given."""

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball import levels
from sequencer.estimates.hitter_rows import rows_of
from sequencer.estimates.league import load
from sequencer.estimates.places import SEEN_ERROR_IN, boxes, crossed, seen_from
from tests.estimates.simulated import pitches

ZONE = levels.level("17-18").zone
LOG = pitches(60, level="17-18", seed=1)


def _inches(side: list[float], height: list[float], **columns: str) -> pd.DataFrame:
    return pd.DataFrame({"side_in": side, "height_in": height, "bats": "R", **columns})


def test_tracking_data_have_no_word_for_it_and_are_measured() -> None:
    assert "seen_from" not in LOG
    assert set(seen_from(LOG)) == {"measured"}
    assert set(seen_from(LOG.assign(seen_from=""))) == {"measured"}


def test_what_the_log_says_stands_however_fine_its_inches() -> None:
    assert set(seen_from(LOG.assign(seen_from="dugout"))) == {"dugout"}


def test_whole_and_half_inches_are_given_by_eye() -> None:
    told = _inches([-3.0, 2.5, 0.0, 7.25], [30.0, 24.5, 18.0, 20.0])
    assert seen_from(told) == ["", "", "", "measured"]


def test_a_measured_pitch_that_falls_on_a_half_inch_is_measured_in_its_log() -> None:
    tenths = LOG.round({"side_in": 1, "height_in": 1})
    tenths.loc[0, ["side_in", "height_in"]] = 4.5, 30.0
    assert set(seen_from(tenths)) == {"measured"}
    assert seen_from(tenths.head(1)) == [""]


@pytest.mark.parametrize("height", [np.nan, np.inf])
def test_half_a_place_measures_nothing(height: float) -> None:
    told = _inches([1.23], [height])
    assert seen_from(told.assign(cell="down-away")) == [""]
    assert seen_from(pd.DataFrame({"cell": ["down-away"]})) == [""]
    assert seen_from(told.head(0)) == []


def test_every_estimate_has_the_same_error_of_seeing() -> None:
    by_eye = LOG.round({"side_in": 0, "height_in": 0})
    for told, word in ((LOG, "measured"), (by_eye, ""), (LOG.assign(seen_from="video"), "video")):
        error = np.tile(np.square(SEEN_ERROR_IN[word]), (len(LOG), 1))
        np.testing.assert_allclose(crossed(told, ZONE).error, error)
        np.testing.assert_allclose(boxes(told, ZONE).error, error)


def test_a_hitters_tracked_pitches_are_sharp_without_a_word() -> None:
    league = load("17-18")
    plain, said = (rows_of(log, "R", league) for log in (LOG, LOG.assign(seen_from="measured")))
    np.testing.assert_array_equal(plain.base, said.base)
    by_eye = rows_of(LOG.assign(seen_from="behind plate"), "R", league)
    assert np.abs(by_eye.base - said.base).max() > 0.05
