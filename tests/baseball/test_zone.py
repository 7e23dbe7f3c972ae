import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.zone import (
    BALL_RADIUS_IN,
    BENCH_WORDS,
    CELL_WORDS,
    CELLS,
    HALF_WIDTH_IN,
    LADDER,
    TARGETS,
    WORDS,
    Zone,
    aim_uv,
    away_sign,
    cell_of,
    centre_of,
    denormalise,
    normalise,
    target_uv,
    targets,
    to_catcher,
    to_hitter,
    zone_of,
)
from sequencer.errors import BadInput

ZONE = Zone(42.0, 18.0)
SIDES = st.sampled_from(["R", "L"])


@given(st.sampled_from(WORDS), SIDES)
def test_every_word_comes_back_from_the_catchers_frame(word: str, bats: str) -> None:
    there = to_catcher(word, bats)
    assert to_hitter(there, bats) == word
    assert to_catcher(there, bats) == there
    assert to_hitter(word, bats) == word


@given(st.sampled_from(WORDS))
def test_the_other_side_of_the_plate_is_the_mirror(word: str) -> None:
    mirrored = {"left": "right", "right": "left"}
    there = to_catcher(word, "R")
    assert to_catcher(word, "L") == "-".join(mirrored.get(part, part) for part in there.split("-"))


def test_a_right_handed_hitters_in_is_left_to_the_catcher() -> None:
    assert to_catcher("in", "R") == "left"
    assert to_catcher("down-away", "R") == "down-right"
    assert to_catcher("belt-off-in", "L") == "belt-off-right"
    assert to_catcher("high-in", "L") == "high-right"
    assert to_catcher("above", "L") == "above"
    assert to_hitter("off-left", "R") == "off-in"
    assert to_catcher("", "R") == ""


@given(st.sampled_from(CELLS), SIDES)
def test_the_centre_of_a_cell_lies_in_it(cell: str, bats: str) -> None:
    there = to_catcher(cell, bats)
    assert cell_of(*centre_of(there, ZONE), ZONE) == there


@given(st.floats(-60, 60), st.floats(-24, 120), st.floats(30, 60), st.floats(8, 25), SIDES)
def test_inches_survive_being_normalised(
    side: float, height: float, top: float, bottom: float, bats: str
) -> None:
    zone = zone_of(top, bottom)
    back = denormalise(*normalise(side, height, zone, bats), zone, bats)
    assert back == pytest.approx((side, height), abs=1e-9)


@given(st.floats(-60, 60), st.floats(-24, 120))
def test_a_place_on_the_map_has_one_cell_and_its_mirror_the_mirrored_one(
    side: float, height: float
) -> None:
    cell = cell_of(side, height, ZONE)
    swap = {"left": "right", "right": "left"}
    mirrored = "-".join(swap.get(part, part) for part in cell.split("-"))
    assert cell_of(-side, height, ZONE) == mirrored
    assert to_hitter(cell, "R") == to_hitter(mirrored, "L")


def test_edges_belong_to_the_cell_nearer_the_middle() -> None:
    third = HALF_WIDTH_IN / 3
    assert cell_of(HALF_WIDTH_IN, 30, ZONE) == "belt-right"
    assert cell_of(HALF_WIDTH_IN + 0.01, 30, ZONE) == "belt-off-right"
    assert cell_of(-third, 30, ZONE) == "belt-middle"
    assert cell_of(-third - 0.01, 30, ZONE) == "belt-left"
    assert cell_of(0, 42, ZONE) == "up-middle"
    assert cell_of(0, 42.01, ZONE) == "above-middle"
    assert cell_of(0, 17.99, ZONE) == "below-middle"
    assert cell_of(0, 34, ZONE) == "belt-middle"
    assert cell_of(0, 34.01, ZONE) == "up-middle"


def test_the_ladder_goes_from_the_middle_to_the_ring() -> None:
    assert LADDER == ("middle", "half", "quarter", "spot", "ring")
    sizes = [len(targets(step)) for step in LADDER]
    assert sizes == [1, 5, 5, 9, 21]
    assert all(set(targets(step)) <= set(TARGETS) for step in LADDER)
    assert set(targets("spot")) < set(targets("ring"))
    assert {"up-off-in", "belt-off-away", "above-middle", "below-away"} <= set(targets("ring"))


@pytest.mark.parametrize("step", LADDER)
def test_targets_of_a_step_are_apart_and_off_the_plate_only_in_the_ring(step: str) -> None:
    places = [target_uv(word) for word in targets(step)]
    assert len(set(places)) == len(places)
    assert (max(max(abs(u), abs(v)) for u, v in places) > 1) == (step == "ring")


def test_centres_of_halves_and_quarters_lie_in_their_half() -> None:
    side, height = centre_of("high-left", ZONE)
    assert side == pytest.approx(-HALF_WIDTH_IN / 2)
    assert height == pytest.approx(36)
    assert centre_of("middle", ZONE) == (0.0, 30.0)
    assert centre_of(to_catcher("away", "L"), ZONE)[0] < 0
    assert target_uv("away")[0] > 0


def test_away_is_positive_for_both_sides() -> None:
    assert normalise(HALF_WIDTH_IN, 42, ZONE, "R") == pytest.approx((1, 1))
    assert normalise(HALF_WIDTH_IN, 18, ZONE, "L") == pytest.approx((-1, -1))
    assert away_sign("R") == -away_sign("L")


def test_arrays_are_normalised_like_single_places() -> None:
    u, v = normalise(np.array([0.0, 5.0]), np.array([30.0, 40.0]), ZONE, "L")
    assert (u[1], v[1]) == pytest.approx(normalise(5.0, 40.0, ZONE, "L"))
    side, height = denormalise(u, v, ZONE, "L")
    assert side == pytest.approx([0, 5])
    assert height == pytest.approx([30, 40])


@pytest.mark.parametrize(("side", "height"), [(61, 30), (-61, 30), (0, -25), (0, 121)])
def test_a_place_off_the_map_is_refused(side: float, height: float) -> None:
    with pytest.raises(BadInput, match="off the map"):
        cell_of(side, height, ZONE)


def test_a_place_that_is_not_a_number_is_refused() -> None:
    with pytest.raises(BadInput):
        cell_of(float("nan"), 30, ZONE)


def test_unknown_words_and_sides_are_refused() -> None:
    for call in (
        lambda: to_catcher("downtown", "R"),
        lambda: to_hitter("down-east", "R"),
        lambda: to_catcher("in", "S"),
        lambda: centre_of("unknown", ZONE),
        lambda: centre_of("in", ZONE),
        lambda: target_uv("left"),
        lambda: targets("inch"),
        lambda: zone_of(18, 42),
        lambda: away_sign(""),
    ):
        with pytest.raises(BadInput):
            call()


def test_what_a_bench_sees_is_a_cell_but_not_a_target() -> None:
    assert set(BENCH_WORDS) <= set(CELL_WORDS)
    assert not set(BENCH_WORDS) & set(TARGETS)


def test_models_hold_a_height_against_the_zone_that_the_ball_touches() -> None:
    assert aim_uv("up-away", ZONE)[0] == target_uv("up-away")[0]
    height = aim_uv("up-away", ZONE)[1] * ZONE.centre_half_height_in + ZONE.middle_in
    assert height == pytest.approx(centre_of("up-right", ZONE)[1])
    assert ZONE.centre_half_height_in == ZONE.half_height_in + BALL_RADIUS_IN
