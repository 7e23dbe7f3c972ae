"""Traits against six whole seasons whose hitters neither the league nor the spreads have met.

Both come from two sources of many hitters with a few pitches each; `hitters_open` does the same
with all but one of the long hitters.
"""

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates.arrays import Floats
from sequencer.estimates.traits import INDEX, prior_sd
from tests import open_data
from tests.estimates.hitters_open import (
    LONG,
    SHORT,
    Open,
    Told,
    as_measured,
    gains,
    interval,
    log,
    noted,
)

pytestmark = pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING)


@pytest.fixture(scope="module")
def data() -> Open:
    frame = log()
    found: pd.DataFrame = frame[frame["source"].isin(LONG + SHORT)].reset_index(drop=True)
    return Open(found)


@pytest.fixture(scope="module")
def spread(data: Open) -> Floats:
    return data.spreads(*data.long).sd


def _saved(data: Open, spread: Floats, n: int, told: Told) -> list[Floats]:
    league = data.league(*data.long)
    return [gains(data, name, n, spread, league, told) for name in data.long]


def test_sixty_pitches_of_a_hitter_lower_the_loss_of_his_next_five_hundred(
    data: Open, spread: Floats
) -> None:
    each = _saved(data, spread, 60, as_measured)
    assert len(each) == 6 and sum(len(one) for one in each) > 200
    low, _ = interval(each, draws=500)
    assert low > 0.0


def test_six_hundred_lower_it_more_and_cells_keep_most_of_it(data: Open, spread: Floats) -> None:
    many, cells = (_saved(data, spread, 600, told) for told in (as_measured, noted))
    assert interval(many, draws=500)[0] > 0.01
    assert all(one.mean() > 0.0 for one in many)
    mean, coarse = (np.mean([one.mean() for one in each]) for each in (many, cells))
    assert 0.6 * mean < coarse < mean


def test_many_hitters_of_a_day_differ_as_the_committed_spreads_say(spread: Floats) -> None:
    # The committed ones have met the long hitters too; theirs is most of what is known of chases.
    for name, within in (("contact", 1.25), ("first_pitch", 1.4)):
        ratio = spread[INDEX[name]] / prior_sd()[INDEX[name]]
        assert 1 / within < ratio < within
