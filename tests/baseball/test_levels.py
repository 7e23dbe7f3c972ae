from dataclasses import fields
from itertools import pairwise

import pytest

from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS, Level, level, zone_for_height
from sequencer.baseball.rules import RULES
from sequencer.errors import BadInput

AGES = ("9-10", "11-12", "13-14", "15-16", "17-18", "college", "pro")


def test_levels_run_from_the_youngest_to_the_professionals() -> None:
    assert tuple(LEVELS) == AGES
    assert level("") is LEVELS[DEFAULT_LEVEL]


@pytest.mark.parametrize("name", AGES)
def test_every_number_of_a_level_has_its_source(name: str) -> None:
    known = LEVELS[name]
    numbers = {field.name for field in fields(Level)} - {"name", "sources"}
    assert numbers == set(known.sources)
    assert all(source.strip() for source in known.sources.values())


@pytest.mark.parametrize("name", AGES)
def test_a_level_is_possible(name: str) -> None:
    known = LEVELS[name]
    assert known.name == name
    assert 10 < known.zone.bottom_in < known.zone.top_in < 45
    assert known.rules in RULES
    assert set(known.spread_in) == {"fast", "breaking", "off-speed", "unknown"}
    assert known.spread_in["fast"] < known.spread_in["off-speed"] < known.spread_in["breaking"]
    for share in (known.strike_share, known.first_strike_share):
        assert share is None or 0.4 < share < 0.8
    assert 0 < known.patience <= 1


def test_older_levels_throw_harder_and_closer_to_where_they_aim() -> None:
    for younger, older in pairwise(AGES):
        assert LEVELS[younger].fastball_mph < LEVELS[older].fastball_mph
        assert LEVELS[younger].spread_in["fast"] > LEVELS[older].spread_in["fast"]
        assert LEVELS[younger].runs_per_game > LEVELS[older].runs_per_game
        assert LEVELS[younger].error_share > LEVELS[older].error_share
        assert LEVELS[younger].patience <= LEVELS[older].patience


def test_twelve_and_under_plan_no_breaking_balls_and_say_why_at_thirteen() -> None:
    assert [name for name in AGES if not LEVELS[name].breaking_balls] == ["9-10", "11-12"]
    assert "licensed professional" in LEVELS["13-14"].caution


def test_a_taller_hitter_has_a_taller_zone() -> None:
    short, tall = zone_for_height(60), zone_for_height(76)
    assert short.top_in < tall.top_in
    assert short.bottom_in < tall.bottom_in
    assert zone_for_height(60, youth=True).top_in > short.top_in
    with pytest.raises(BadInput):
        zone_for_height(6)


def test_an_unknown_level_is_refused_with_the_list() -> None:
    with pytest.raises(BadInput, match="17-18"):
        level("varsity")
