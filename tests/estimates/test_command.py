"""Pitchers: command from charted targets, strikes, and what he has today."""

from typing import Any

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball import zone
from sequencer.baseball.levels import level
from sequencer.errors import BadInput
from sequencer.estimates import arsenal, command
from sequencer.records.people import Person

AMES = Person(id="a", team="Us", name="Ames", throws="R")
AT = level("17-18")


def _charted(
    n: int,
    *,
    sd: tuple[float, float] = (6.0, 9.0),
    bias: tuple[float, float] = (0.0, 0.0),
    target: str = "down-away",
    bats: str = "R",
    seed: int = 0,
    **columns: Any,
) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    centre = np.array(zone.centre_of(zone.to_catcher(target, bats), AT.zone))
    place = centre + bias + rng.normal(size=(n, 2)) * sd
    frame = pd.DataFrame({"side_in": place[:, 0], "height_in": place[:, 1]})
    base = {
        "pitch": "fastball",
        "target": target,
        "target_when": "before",
        "bats": bats,
        "seen_from": "measured",
        "result": "ball",
        "intent": "",
        "called": "",
    }
    return frame.assign(**{**base, **columns})


def _fast(frame: pd.DataFrame | None, pens: pd.DataFrame | None = None) -> command.PitchBelief:
    return command.believe(AMES, pens, frame, "17-18").pitch("fastball")


def test_many_charted_throws_give_his_bias_and_spread() -> None:
    found = _fast(_charted(800, bias=(2.5, -3.0)))
    np.testing.assert_allclose(found.bias, [2.5, -3.0], atol=0.8)
    np.testing.assert_allclose(np.sqrt(np.diag(found.cov)), [6.0, 9.0], atol=0.7)
    assert found.charted == 800
    assert found.spread_sd < 0.3


def test_a_few_throws_stay_near_the_level_and_say_so() -> None:
    few, none = _fast(_charted(5, bias=(9.0, 0.0))), _fast(None)
    assert 0.0 < few.bias[0] < 5.0
    assert abs(few.spread - none.spread) < 2.0
    assert none.spread == pytest.approx(AT.spread_in["fast"])
    assert few.spread_sd < none.spread_sd
    assert np.trace(few.bias_cov) < np.trace(none.bias_cov)


def test_bias_is_the_catchers_view_for_hitters_of_either_side() -> None:
    both = pd.concat(
        [
            _charted(300, bias=(4.0, 0.0), target="down-away", bats="R", seed=1),
            _charted(300, bias=(4.0, 0.0), target="down-in", bats="L", seed=2),
        ]
    )
    assert _fast(both).bias[0] == pytest.approx(4.0, abs=0.8)


def test_a_bullpen_counts_its_throws_with_targets() -> None:
    pen = _charted(200, bias=(0.0, 4.0)).drop(columns=["bats", "result", "intent"])
    pen["target"], pen["hitter_side"] = "down-right", ""
    found = _fast(None, pen)
    assert found.charted == 200
    assert found.bias[1] == pytest.approx(4.0, abs=1.2)
    assert found.thrown == 0


def test_targets_after_the_result_cross_ups_and_pitch_outs_are_left_out() -> None:
    frame = _charted(40)
    frame["target_when"] = ["after"] * 10 + ["before"] * 30
    frame["called"] = ["curveball"] * 20 + ["fastball"] * 20
    frame["intent"] = [""] * 30 + ["pitch-out"] * 10
    assert _fast(frame).charted == 10


def test_a_coarse_word_is_not_a_cross_up() -> None:
    assert _fast(_charted(30, pitch="four-seam", called="fastball").assign(pitch="fastball"))
    belief = command.believe(AMES, None, _charted(30, pitch="four-seam", called="fastball"), "pro")
    assert belief.pitch("four-seam").charted == 30
    crossed = command.believe(AMES, None, _charted(30, pitch="cutter", called="two-seam"), "pro")
    assert crossed.pitch("cutter").charted == 0


def test_a_view_from_the_dugout_does_not_make_him_wilder() -> None:
    rng = np.random.default_rng(3)
    frame = _charted(600, sd=(8.0, 8.0))
    blurred = frame.assign(
        side_in=frame["side_in"] + rng.normal(size=600) * 5.0,
        height_in=frame["height_in"] + rng.normal(size=600) * 3.0,
    )
    allowed, naive = _fast(blurred.assign(seen_from="dugout")), _fast(blurred)
    assert allowed.spread == pytest.approx(8.0, abs=0.8)
    assert naive.spread > allowed.spread + 0.5


def test_lost_pitches_are_kept_from_the_spread() -> None:
    frame = _charted(300, sd=(7.0, 7.0))
    frame.loc[:11, "height_in"] += 60.0
    found = _fast(frame)
    assert found.lost > 0.03
    assert np.sqrt(found.cov[1, 1]) < 9.0


def test_the_mixture_is_the_throw_and_the_lost_throw() -> None:
    found = _fast(_charted(50))
    (held, mean, cov), (lost, _, wide) = found.mixture()
    assert held + lost == pytest.approx(1.0)
    np.testing.assert_allclose(mean, found.bias)
    np.testing.assert_allclose(wide, cov * command.LOST_WIDER**2)


def test_without_targets_only_strikes_are_his() -> None:
    frame = _charted(60).assign(target="", result=["ball"] * 15 + ["foul"] * 45)
    belief = command.believe(AMES, None, frame, "17-18")
    found = belief.pitch("fastball")
    assert found.charted == 0 and found.spread == pytest.approx(AT.spread_in["fast"])
    assert found.thrown == 60
    assert 0.61 < found.strike_share < 0.75
    low, high = found.strike_interval
    assert low < found.strike_share < high
    assert "No targets" in belief.notes[0]


def test_strike_shares_narrow_as_pitches_are_thrown() -> None:
    widths = []
    for n in (6, 60, 600):
        frame = _charted(n).assign(result=["ball", "foul"] * (n // 2))
        low, high = _fast(frame).strike_interval
        widths.append(high - low)
    assert widths == sorted(widths, reverse=True)
    assert widths[0] > 3 * widths[2]


def test_his_types_are_what_he_throws_practises_and_signs() -> None:
    games = pd.concat([_charted(80), _charted(30, pitch="curveball"), _charted(1, pitch="cutter")])
    pen = _charted(4, pitch="changeup").assign(hitter_side="R")
    signs = AMES.model_copy(update={"signs": {"1": "fastball", "4": "slider"}})
    found = command.believe(signs, pen, games, "pro")
    assert [p.pitch for p in found.arsenal] == ["fastball", "curveball", "changeup", "slider"]
    unseen = command.believe(AMES, None, None, "pro")
    assert [p.pitch for p in unseen.arsenal] == ["fastball", "changeup"]
    with pytest.raises(KeyError):
        found.pitch("cutter")


def test_soft_pitches_spread_more_by_default() -> None:
    average = command.average("17-18", arsenal=("fastball", "curveball", "changeup"))
    fast, curve, change = average.arsenal
    assert curve.spread > change.spread > fast.spread
    assert curve.strike_share < fast.strike_share


def test_an_unknown_level_is_refused() -> None:
    with pytest.raises(BadInput):
        command.average("moon")


def _today(strikes: int, balls: int, pitch: str = "curveball") -> pd.DataFrame:
    return pd.DataFrame(
        {"pitch": pitch, "result": ["called strike"] * strikes + ["ball"] * balls, "intent": ""}
    )


def _now(strikes: int, balls: int, pitch: str = "curveball") -> command.PitchBelief:
    usual = command.average("17-18", arsenal=("fastball", "curveball"))
    return arsenal.today_of(usual, _today(strikes, balls, pitch)).pitch(pitch)


def test_a_dead_curveball_is_shelved_with_its_evidence() -> None:
    dead = _now(2, 9)
    assert dead.shelved
    assert dead.evidence == "2 strikes in 11 today"


@pytest.mark.parametrize(("strikes", "balls"), [(0, 4), (2, 6), (5, 6), (9, 0)])
def test_a_curveball_that_may_be_there_is_not_shelved(strikes: int, balls: int) -> None:
    assert not _now(strikes, balls).shelved


def test_a_shelved_pitch_comes_back_when_it_finds_the_plate() -> None:
    assert _now(2, 9).shelved
    assert not _now(9, 10).shelved


def test_the_fastball_is_never_shelved() -> None:
    wild = _now(1, 20, "fastball")
    assert not wild.shelved
    assert wild.strike_share < 0.35
    assert wild.evidence == "1 strike in 21 today"


def test_today_counts_in_the_belief_and_shelved_pitches_are_not_available() -> None:
    season = pd.concat([_charted(100), _charted(60, pitch="curveball").assign(result="foul")])
    today = pd.concat([_today(0, 8), _today(1, 1, "fastball")])
    found = command.believe(AMES, None, season, "17-18", today)
    assert found.pitch("curveball").shelved
    assert [p.pitch for p in found.available] == ["fastball"]
    untouched = command.believe(AMES, None, season, "17-18")
    assert len(untouched.available) == 2


def test_todays_strikes_are_not_counted_twice() -> None:
    season = _charted(200).assign(result=["foul", "ball"] * 100, target="")
    today = _today(10, 0, "fastball")
    usual = command.believe(AMES, None, season, "17-18").pitch("fastball")
    found = command.believe(AMES, None, season, "17-18", today).pitch("fastball")
    assert found.thrown == usual.thrown == 200
    assert found.strike_share == pytest.approx(
        (10 + arsenal.USUAL_PITCHES * usual.strike_share) / (10 + arsenal.USUAL_PITCHES)
    )


def test_a_bullpen_moves_the_strike_share_and_is_not_counted_as_a_game() -> None:
    pen = _charted(60).drop(columns=["bats", "result"]).assign(strike=0.0, target="left")
    wild = command.believe(AMES, pen, None, "17-18").pitch("fastball")
    assert wild.thrown == 0
    assert wild.strike_share < _fast(None).strike_share - 0.05


def test_a_pitch_not_thrown_today_is_as_before() -> None:
    usual = command.average("17-18", arsenal=("fastball", "curveball"))
    after = arsenal.today_of(usual, _today(3, 1))
    assert after.pitch("fastball") is usual.pitch("fastball")
