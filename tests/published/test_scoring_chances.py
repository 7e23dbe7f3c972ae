"""Chances to score at least once against published tables, fed the events of an era near them."""

import numpy as np
import pytest

from sequencer.baseball.half_innings import half_inning

# Plate appearances by how they ended, Retrosheet 1999-2002: Tango, Lichtman, Dolphin (2006), The
# Book, table 4; outs in play are its generic outs and fielder's choices.
EVENTS = (
    ("home run", 21_027.0),
    ("triple", 3_644.0),
    ("double", 34_128.0),
    ("error", 7_407.0),
    ("single", 112_727.0),
    ("catcher's interference", 60.0),
    ("hit by pitch", 6_558.0),
    ("walk", 60_572.0 + 4_634.0),
    ("strikeout", 120_614.0),
    ("out in play", 352_007.0 + 1_765.0),
)
# Hay (2014), repository bobhay/baseball-runs, batter.md (Retrosheet 1950-2010): rows by bases
# (bit 1 first, 2 second, 4 third), columns by outs.
SINCE_1950 = (
    (0.2734, 0.1589, 0.06787),
    (0.4254, 0.2719, 0.12702),
    (0.6246, 0.4128, 0.22670),
    (0.6324, 0.4246, 0.23269),
    (0.8370, 0.6626, 0.27407),
    (0.8570, 0.6488, 0.28454),
    (0.8533, 0.6795, 0.27959),
    (0.8671, 0.6663, 0.32289),
)
# nssl.noaa.gov, users/brooks, feda/datasets/expectedruns.html: play-by-play of 1984-1994.
SINCE_1984 = (
    (0.275, 0.159, 0.067),
    (0.435, 0.276, 0.128),
    (0.633, 0.414, 0.224),
    (0.636, 0.425, 0.231),
    (0.837, 0.667, 0.275),
    (0.870, 0.653, 0.286),
    (0.860, 0.686, 0.277),
    (0.882, 0.678, 0.321),
)


# Runs a game: 4.45 stands for 1950-2010 (assumption; .03 either way for 4.3 to 4.5), and nine
# halves of .495 for 1984-1994 (186,702 runs over 377,390 halves, the same table).
@pytest.mark.parametrize(
    ("published", "runs"), [(SINCE_1950, 4.45), (SINCE_1984, 9 * 186_702 / 377_390)]
)
def test_every_state_scores_as_often_as_published(
    published: tuple[tuple[float, float, float], ...], runs: float
) -> None:
    chain = half_inning(runs, counts=EVENTS)
    scores = (1.0 - chain.runs[:, 0]).reshape(3, 8).T
    gaps = np.abs(scores - np.array(published))
    assert gaps.max() < 0.03
    assert gaps.mean() < 0.015
