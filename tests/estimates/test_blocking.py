"""How well a catcher blocks, by what got away from him."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.estimates.blocking import PRIOR, Blocking, expected_lost


def test_a_catcher_of_whom_nothing_is_known_is_the_usual_one() -> None:
    nobody = Blocking(0, 0.0, 0)
    assert nobody.factor == 1.0
    assert nobody.sd == pytest.approx(PRIOR**-0.5)
    assert "taken for an average catcher" in nobody.says("Bo Marsh")


@given(st.integers(0, 40), st.floats(0.5, 40.0))
def test_a_factor_lies_between_what_was_seen_and_the_usual(lost: int, expected: float) -> None:
    seen, found = lost / expected, Blocking(lost, expected, 100).factor
    assert min(seen, 1.0) - 1e-9 <= found <= max(seen, 1.0) + 1e-9
    assert Blocking(lost + 1, expected, 100).factor > found


def test_more_pitches_say_it_more_surely() -> None:
    few, many = Blocking(6, 3.0, 100), Blocking(60, 30.0, 1000)
    assert 1.0 < few.factor < many.factor < 2.0
    assert many.sd < few.sd
    assert few.says("Bo Marsh") == (
        "Bo Marsh has lost 6 of 100 pitches with a runner on (usual 3.0): balls get away 1.4 times "
        "as often as usual (sd 0.4)"
    )


def test_drawn_catchers_are_found_within_their_spread() -> None:
    rng = np.random.default_rng(4)
    true = rng.gamma(PRIOR, 1.0 / PRIOR, 4000)
    lost = rng.poisson(8.0 * true)
    found = [Blocking(int(n), 8.0, 200) for n in lost]
    off = np.array([one.factor for one in found]) - true
    assert abs(off.mean()) < 0.02
    inside = np.abs(off) < 1.645 * np.array([one.sd for one in found])
    assert inside.mean() == pytest.approx(0.9, abs=0.03)


def test_pitches_in_the_dirt_are_what_a_catcher_is_held_to() -> None:
    assert expected_lost(0.4, 100, 0, 0) > 10 * expected_lost(0.4, 0, 100, 0)
    # One pitch in five charted below the zone is as many in the dirt as are of all.
    assert expected_lost(0.4, 20, 80, 0) == pytest.approx(expected_lost(0.4, 0, 0, 100), rel=0.05)
