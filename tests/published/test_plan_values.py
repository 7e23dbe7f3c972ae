"""What the planner's own tables say against published and counted values."""

from dataclasses import replace

import numpy as np
import pytest

from sequencer.baseball.levels import level
from sequencer.estimates import command, hitter, league
from sequencer.planning import gate
from sequencer.planning.plan import Plan, plan
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


def test_a_high_school_plan_throws_strikes_as_often_as_high_school_pitchers_do() -> None:
    # hsbaseballweb forum scorer: 61.1 % of 65,800 pitches, 15 springs; Sports Illustrated (11 Feb
    # 2016), pool of amateur score-books: 56.9 % of first pitches.
    pitcher = command.average("17-18", arsenal=("fastball", "changeup", "curveball"))
    made = plan([hitter.average("17-18")], pitcher, league.load("17-18"))
    first, every = _strikes(made)
    assert first == pytest.approx(0.569, abs=0.02)
    assert every == pytest.approx(0.611, abs=0.02)


def _strikes(made: Plan) -> tuple[float, float]:
    """Shares of strikes against his habit: of first pitches, of all."""
    game = made.solved.tables
    chances = np.einsum(
        "bsc,bsl,bsclk->bsk",
        made.solved.mix[0, :, :, 0], game.habit[0, :, :, 0], game.outcomes[0, :, :, 0],
    )  # fmt: skip
    thrown, come = np.zeros((4, 3)), np.zeros((5, 4))
    come[0, 0] = 1.0
    for balls, strikes in sorted(np.ndindex(4, 3), key=sum):
        ball, strike, foul = chances[balls, strikes, :3]
        thrown[balls, strikes] = come[balls, strikes] / (1.0 - foul if strikes == 2 else 1.0)
        come[balls + 1, strikes] += thrown[balls, strikes] * ball
        come[balls, strikes + 1] += thrown[balls, strikes] * (strike + foul * (strikes < 2))
    found = chances[..., 1:4].sum(axis=-1)
    return float(found[0, 0]), float((thrown * found).sum() / thrown.sum())
