"""At-bats of balls and strikes alone, whose chances are exact binomial sums.

With strike probability p: P(walk) = sum over k = 0..2 of C(3 + k, k) (1 - p)^4 p^k, and
P(full count) = C(5, 2) p^2 (1 - p)^3. The table holds both and what follows from them.
"""

from math import comb

import numpy as np
import pytest

from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import evaluate_at_bat

# p, walk, pitches, full count, walk after 0-1, two of the first three strikes after a strike, ball
CHAINS = [
    (0.50, 0.343750, 4.812500, 0.312500, 0.187500, 0.7500, 0.2500),
    (0.55, 0.255264, 4.677291, 0.275653, 0.131220, 0.7975, 0.3025),
    (0.60, 0.179200, 4.513600, 0.230400, 0.087040, 0.8400, 0.3600),
    (0.62, 0.152715, 4.441727, 0.210928, 0.072563, 0.8556, 0.3844),
    (0.65, 0.117424, 4.328534, 0.181147, 0.054022, 0.8775, 0.4225),
    (0.70, 0.070470, 4.129500, 0.132300, 0.030780, 0.9100, 0.4900),
]
PRINTED = 5e-7  # the table has six decimals


def chain(
    p: float,
    *,
    walk: float = 0.0,
    a_pitch: float = 0.0,
    stops: dict[tuple[int, int], float] | None = None,
) -> Floats:
    """Value of every count: of a walk, of each pitch, or of reaching a count that stops it all."""
    stops = stops or {}
    outcomes, ends = np.zeros((4, 3, 1, 1, 1, 5)), np.zeros((4, 3, 1, 1, 1))
    for balls, strikes in np.ndindex(4, 3):
        for result, share, after in (
            (0, 1.0 - p, (balls + 1, strikes)),
            (1, p, (balls, strikes + 1)),
        ):
            here = outcomes[balls, strikes, 0, 0, 0]
            here[3 if after in stops else result] += share
            ends[balls, strikes] += share * stops.get(after, 0.0)
        stopped = outcomes[balls, strikes, 0, 0, 0, 3]
        ends[balls, strikes] /= stopped or 1.0
    mix = np.ones((4, 3, 1, 1))
    each = np.full(ends.shape, a_pitch)
    played = evaluate_at_bat(outcomes, ends, [0], walk, 0.0, 0.0, mix, call_runs=each)
    value: Floats = played.value[:, :, 0]
    return value


@pytest.mark.parametrize("row", CHAINS, ids=lambda row: f"p={row[0]:.2f}")
def test_balls_and_strikes_alone(row: tuple[float, ...]) -> None:
    p, walk, pitches, full, walk_after_strike, after_strike, after_ball = row
    walks = chain(p, walk=1.0)
    assert walks[0, 0] == pytest.approx(walk, abs=PRINTED)
    assert walks[0, 1] == pytest.approx(walk_after_strike, abs=PRINTED)
    assert chain(p, a_pitch=1.0)[0, 0] == pytest.approx(pitches, abs=PRINTED)
    assert chain(p, stops={(3, 2): 1.0})[0, 0] == pytest.approx(full, abs=PRINTED)
    race = chain(p, stops={(0, 2): 1.0, (1, 2): 1.0, (2, 0): 0.0, (2, 1): 0.0})
    assert race[0, 1] == pytest.approx(after_strike, abs=PRINTED)
    assert race[1, 0] == pytest.approx(after_ball, abs=PRINTED)


@pytest.mark.parametrize("p", [0.1, 0.57, 0.9])
def test_chains_are_the_binomial_sums(p: float) -> None:
    walk = sum(comb(3 + k, k) * (1 - p) ** 4 * p**k for k in range(3))
    assert chain(p, walk=1.0)[0, 0] == pytest.approx(walk, abs=1e-14)
    full = comb(5, 2) * p**2 * (1 - p) ** 3
    assert chain(p, stops={(3, 2): 1.0})[0, 0] == pytest.approx(full, abs=1e-14)
