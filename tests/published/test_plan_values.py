"""What the planner's own tables say against published and counted values."""

from dataclasses import replace

import pytest

from sequencer.baseball.levels import level
from sequencer.estimates import league
from sequencer.planning import gate
from sequencer.planning.stakes import Moment, right_now
from tests.planning.strike_shares import (
    ZONE_AT_THREE_AND_NONE,
    middle_in_zone,
    spread_for,
    usual_strikes,
)


def test_the_league_plays_the_counts_as_they_were_counted() -> None:
    # Retrosheet 2016, 2019 and 2020, 1.70 million pitches: the run value of each count, and the
    # shares of strikeouts and walks (.223 and .081 of plate appearances).
    found = gate.check(league.load("17-18"))
    assert found.worst <= 0.01
    assert found.strikeouts == pytest.approx(0.223, abs=0.02)
    assert found.walks == pytest.approx(0.081, abs=0.02)
    assert found.ok
    assert "count values within" in found.says


def test_a_fit_that_plays_another_game_does_not_pass_the_gate() -> None:
    fitted = league.load("17-18")
    eager = replace(fitted.fitted, take_share=0.5 * fitted.fitted.take_share)
    found = gate.check(replace(fitted, fitted=eager))
    assert not found.ok
    assert found.worst > 0.01


def test_a_strikeout_with_the_bases_loaded_and_one_out_is_worth_four_fifths_of_a_run() -> None:
    # Tango (25 Sep 2020), "Run Values by Pitch Count": -.789; with the bases empty and none out
    # -.227, from a table of .481 runs a half inning, 4.3 a game.
    at = level("pro")
    loaded = right_now(Moment(("a", "b", "c"), 1), at, league.load("pro"))
    empty = right_now(Moment(), at, league.load("pro"))
    assert loaded.strikeout == pytest.approx(-0.789, abs=0.03)
    assert empty.strikeout == pytest.approx(-0.227, abs=0.02)
    assert loaded.walk == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["15-16", "17-18"])
def test_a_high_school_plan_throws_strikes_as_often_as_high_school_pitchers_do(name: str) -> None:
    # hsbaseballweb forum scorer: 61.1 % of 65,800 pitches and 56.7 % of first ones, 15 springs;
    # Sports Illustrated (11 Feb 2016), pool of amateur score-books: 56.9 % of first pitches.
    first, every = usual_strikes(name)
    assert first == pytest.approx(0.568, abs=0.02)
    assert every == pytest.approx(0.611, abs=0.02)


def test_the_spread_of_high_school_is_what_its_published_strikes_ask_for() -> None:
    assert level("17-18").spread_in["fast"] == pytest.approx(spread_for("17-18"), abs=0.4)


def test_young_pitchers_throw_as_many_strikes_as_they_are_asked_for() -> None:
    # fallsaces.org (2017): goals of 50 to 60 percent for youth; the youngest just reach them.
    youngest, older = (usual_strikes(name)[1] for name in ("9-10", "11-12"))
    assert 0.48 < youngest < older - 0.02
    assert 0.53 < older < 0.57


def test_professionals_who_want_a_strike_put_as_many_in_the_zone_as_counted() -> None:
    # Greenhouse (21 Oct 2010): about 60 % at 3-0; MLB.com (22 Aug 2020): 60.9 % in 2019.
    assert middle_in_zone("pro") == pytest.approx(ZONE_AT_THREE_AND_NONE, abs=0.02)
    assert middle_in_zone("pro", 9.5) < ZONE_AT_THREE_AND_NONE - 0.05
