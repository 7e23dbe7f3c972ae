"""The open-data fit, on a part of the data, where the data is there."""

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import coefficients, fit
from sequencer.estimates.calibrate import calibrated
from sequencer.estimates.chain import chain
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.league import League, LevelShift
from tests import open_data

pytestmark = pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING)


@pytest.fixture(scope="module")
def log() -> pd.DataFrame:
    frame = open_data.read()
    taken = (frame["source"] == "called_2012").to_numpy()
    kept: pd.DataFrame = frame[~taken | (np.arange(len(frame)) % 15 == 0)]
    return kept.reset_index(drop=True)


def test_the_reader_gives_a_pitch_log(log: pd.DataFrame) -> None:
    data = data_of(log)
    assert len(data.rows) > 60_000
    # Only the slipped and the doubtful are lost.
    assert data.left_out < 100
    assert fit.used("miss", data)[0].sum() > 7_000
    assert fit.used("in_play", data)[0].sum() > 2_500


def test_a_part_of_the_data_fits_the_committed_league(log: pd.DataFrame) -> None:
    found = calibrated(fit.fit_league(log))
    ours, committed = (League.of(c, LevelShift()) for c in (found, coefficients.read()))
    np.testing.assert_allclose(chain(ours).value, chain(committed).value, atol=0.005)
    data = data_of(log)
    mine, theirs = fit.losses(data, ours), fit.losses(data, committed)
    for step in ("called", "swing", "miss", "foul", "in_play"):
        assert mine[step] == pytest.approx(theirs[step], rel=0.03), step
