"""The plate, the ball and the field against the official rules."""

from math import hypot, pi, sqrt

import pytest

from sequencer.baseball.levels import LEVELS
from sequencer.baseball.rules import RULES
from sequencer.baseball.zone import (
    BALL_RADIUS_IN,
    HALF_WIDTH_IN,
    PLATE_HALF_WIDTH_IN,
    Zone,
    cell_of,
)


def test_the_plate_is_seventeen_inches_wide() -> None:
    # Official Baseball Rules 2.02.
    assert 2 * PLATE_HALF_WIDTH_IN == 17


def test_the_plate_of_the_rule_cannot_be_drawn_exactly() -> None:
    # Official Baseball Rules 2.02 has two sides of 12 inches meet in a right angle under a width
    # of 17: 12 squared twice is 288, 17 squared 289.
    assert hypot(12, 12) != 17
    assert hypot(12, 12) == pytest.approx(2 * PLATE_HALF_WIDTH_IN, abs=0.03)


def test_the_ball_is_nine_to_nine_and_a_quarter_inches_around() -> None:
    # Official Baseball Rules 3.01.
    assert 9 < 2 * pi * BALL_RADIUS_IN < 9.25
    assert 1.4324 < BALL_RADIUS_IN < 1.4722


def test_the_zone_for_the_balls_centre_is_between_its_computed_limits() -> None:
    # From the two rules above: 19.865 to 19.944 inches wide.
    assert 19.865 <= 2 * HALF_WIDTH_IN <= 19.944


def test_a_ball_that_touches_the_edge_of_the_plate_is_over_it() -> None:
    # Official Baseball Rules, definitions of terms, strike zone: any part of the ball.
    zone = Zone(42.0, 18.0)
    assert cell_of(PLATE_HALF_WIDTH_IN + 1.43, 30, zone) == "belt-right"
    assert cell_of(PLATE_HALF_WIDTH_IN + 1.48, 30, zone) == "belt-off-right"


# Official Baseball Rules 2.01; published divisions of national youth programmes.
@pytest.mark.parametrize(
    ("rules", "pitching", "bases"),
    [
        ("youth-46-young", 46.0, 60.0),
        ("youth-46", 46.0, 60.0),
        ("youth-50", 50.0, 70.0),
        ("high-school", 60.5, 90.0),
        ("college", 60.5, 90.0),
        ("pro", 60.5, 90.0),
    ],
)
def test_fields_have_their_published_distances(rules: str, pitching: float, bases: float) -> None:
    assert RULES[rules].pitching_distance_ft == pitching
    assert RULES[rules].base_distance_ft == bases


def test_home_to_second_is_the_diagonal_of_the_infield() -> None:
    # Official Baseball Rules 2.01: 127 feet 3 3/8 inches.
    diagonal = RULES["pro"].base_distance_ft * sqrt(2)
    assert diagonal == pytest.approx(127 + 3.375 / 12, abs=0.005)


def test_the_professional_zone_is_near_measured_ones() -> None:
    # Two public samples of measured professional zones: 40.3 to 41.2 and 19.0 to 19.3 inches.
    zone = LEVELS["pro"].zone
    assert zone.top_in == pytest.approx(40.75, abs=0.5)
    assert zone.bottom_in == pytest.approx(19.15, abs=0.3)
