"""One design for every step: what is fitted is what is played."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates.surface import Rows, Surface, design, shape

PLACES = st.floats(-4.0, 4.0)


def _surface(seed: int, side: int = 5) -> Surface:
    rng = np.random.default_rng(seed)
    return Surface.zero(side).with_vector(rng.normal(size=Surface.zero(side).vector().size))


@given(st.integers(0, 99), PLACES, PLACES, st.integers(0, 3), st.integers(0, 2), st.integers(0, 3))
def test_the_design_times_the_coefficients_is_the_surface(
    seed: int, u: float, v: float, balls: int, strikes: int, family: int
) -> None:
    surface = _surface(seed)
    one = np.ones(1)
    rows = Rows(
        np.array([family]), u * one, v * one, np.array([balls]), np.array([strikes]), 0.8 * one,
        one, np.array([2012]),
    )  # fmt: skip
    by_design = design(rows, surface.side) @ surface.vector()
    name = (*FAMILIES, "unknown")[family]
    guard = np.array([float(strikes == 2)])
    by_place = surface.at(name, rows.u, rows.v, rows.same, guard)
    in_count = surface.in_count(rows.u, rows.v, balls * one, strikes * one)
    np.testing.assert_allclose(by_design, by_place + in_count, atol=1e-9)


@given(st.integers(0, 99), st.sampled_from([3, 5, 8]))
def test_a_surface_comes_back_from_its_vector(seed: int, side: int) -> None:
    surface = _surface(seed, side)
    again = Surface.zero(side).with_vector(surface.vector())
    np.testing.assert_array_equal(again.vector(), surface.vector())
    assert again.side == side
    np.testing.assert_array_equal(surface.vector()[surface.block("same")], surface.same)


def test_the_outside_columns_are_nothing_inside_and_straight_outside() -> None:
    u = np.array([0.0, 0.5, 2.0, 3.0, 4.0])
    away = shape(u, 0.0 * u)[:, 7]
    assert away[0] < 0.01 and away[1] < 0.01
    np.testing.assert_allclose(np.diff(away[2:]), 1.0, atol=0.01)
