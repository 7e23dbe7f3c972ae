"""What the planner's own tables say against published and counted values."""

from dataclasses import replace

import pytest

from sequencer.baseball.levels import level
from sequencer.estimates import league
from sequencer.planning import gate
from sequencer.planning.stakes import Moment, right_now


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
