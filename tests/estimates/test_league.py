"""What the committed league says, in the directions every coach knows."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.levels import LEVELS
from sequencer.errors import BadInput
from sequencer.estimates import coefficients
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.chain import chain
from sequencer.estimates.league import COUNT_SHARE, PLAYS, League, Steps, load
from sequencer.estimates.traits import TRAIT_TABLE, TRAITS, loadings, trait_offsets

BALLS, STRIKES = np.arange(4.0)[:, None], np.arange(3.0)
FAMILY = st.sampled_from(["fast", "breaking", "off-speed", "unknown"])
PLACE = st.floats(-2.5, 2.5)


def _at(u: float, v: float, family: str = "fast", level: str = "pro") -> Steps:
    return load(level).steps(family, u, v, BALLS, STRIKES, 0.5)


@given(FAMILY, st.floats(-9, 9), st.floats(-9, 9), st.sampled_from(list(LEVELS)))
def test_every_step_is_a_number_wherever_a_pitch_goes(
    family: str, u: float, v: float, level: str
) -> None:
    steps = _at(u, v, family, level)
    for name in Steps.__slots__:
        value = getattr(steps, name)
        assert value.shape == (4, 3)
        assert np.isfinite(value).all()
    assert np.all(np.abs(steps.in_play) < 0.8)
    assert np.all((steps.hit_by_pitch >= 0) & (steps.hit_by_pitch <= 1))


@pytest.mark.parametrize("place", [(0, 2.4), (0, -2.4), (2.4, 0), (-2.4, 0), (3, 3), (-5, -5)])
@pytest.mark.parametrize("family", ["fast", "breaking", "off-speed"])
def test_far_off_the_plate_nothing_is_called_and_little_is_swung_at(
    place: tuple[float, float], family: str
) -> None:
    steps = _at(*place, family)
    assert np.max(expit(steps.called)) < 0.06
    assert np.max(expit(steps.swing)) < 0.55
    assert np.max(expit(_at(3 * place[0], 3 * place[1], family).swing)) < 0.05


def test_the_middle_is_called_and_swung_at_when_he_is_ready() -> None:
    steps = _at(0.0, 0.0)
    assert np.min(expit(steps.called)) > 0.95
    assert np.min(expit(steps.swing_ready)) > 0.97


def test_the_habit_is_the_share_not_taken_times_being_ready() -> None:
    league = load("pro")
    steps = _at(0.3, -0.2)
    want = (1.0 - league.take_share) * expit(steps.swing_ready)
    np.testing.assert_allclose(expit(steps.swing), want, atol=1e-9)


def test_the_edge_is_called_wider_with_balls_and_narrower_with_strikes() -> None:
    for place in [(1.15, 0.0), (-1.15, 0.0), (0.0, -1.05), (0.0, 1.0)]:
        called = expit(_at(*place).called)
        assert called[3, 0] > called[0, 0] > called[0, 1] > called[0, 2]


def test_a_miss_is_likelier_off_the_plate_and_on_soft_pitches_down() -> None:
    assert expit(_at(1.5, 0.0).miss)[0, 0] > expit(_at(0.0, 0.0).miss)[0, 0]
    assert expit(_at(0.0, -1.3, "breaking").miss)[0, 0] > expit(_at(0.0, -1.3).miss)[0, 0]
    assert expit(_at(0.0, 0.0, "off-speed").miss)[0, 0] > expit(_at(0.0, 0.0).miss)[0, 0]


def test_hard_contact_comes_from_the_middle() -> None:
    middle = _at(0.0, 0.0).in_play[0, 0]
    for place in [(1.3, 0), (-1.3, 0), (0, 1.4), (0, -1.4)]:
        assert middle > _at(*place).in_play[0, 0] + 0.02


def test_protecting_gives_up_value_for_contact_and_reach() -> None:
    league = load("pro")
    drive = league.steps("fast", 0.0, 0.0, 1, 1, 0.5, protect=0.0)
    protect = league.steps("fast", 0.0, 0.0, 1, 1, 0.5, protect=1.0)
    assert protect.in_play < drive.in_play
    assert protect.miss < drive.miss
    off = (league.steps("fast", 1.2, 0.3, 1, 1, 0.5, protect=p).swing_ready for p in (0.0, 1.0))
    assert next(off) < next(off)


def test_a_ready_hitter_swings_alike_in_every_count_and_chases_more_when_he_protects() -> None:
    league = load("pro")
    for place in [(0.0, 0.0), (0.9, 0.2), (1.3, -0.4), (0.2, -1.4)]:
        drive, protect = (
            expit(league.steps("fast", *place, BALLS, STRIKES, 0.5, protect=p).swing_ready)
            for p in (0.0, 1.0)
        )
        assert np.ptp(drive) < 0.03
        assert protect.min() > drive.max() - 0.02


def test_two_strikes_are_protected_unless_he_drives() -> None:
    league = load("pro")
    usual = league.steps("fast", 0.2, 0.1, 0, 2, 0.5)
    np.testing.assert_allclose(
        usual.in_play, league.steps("fast", 0.2, 0.1, 0, 2, 0.5, protect=1).in_play
    )
    assert league.steps("fast", 0.2, 0.1, 0, 2, 0.5, protect=0).in_play > usual.in_play


def test_crowding_pitches_hit_him_and_outside_ones_do_not() -> None:
    assert _at(-3.5, 0.5).hit_by_pitch[0, 0] > 0.05
    assert _at(2.0, 0.0).hit_by_pitch[0, 0] < 1e-3


@given(st.sampled_from(list(LEVELS)), st.floats(-0.25, 0.9))
def test_plays_are_shares_worth_what_the_contact_is_worth(level: str, runs: float) -> None:
    league = load(level)
    low, high = (float(league.plays(x) @ league.play_runs) for x in (-9.0, 9.0))
    shares = league.plays(np.array([runs, runs]))
    assert shares.shape == (2, len(PLAYS))
    np.testing.assert_allclose(shares.sum(-1), 1.0)
    assert shares[0] @ league.play_runs == pytest.approx(np.clip(runs, low, high), abs=2e-3)


def test_better_contact_is_more_home_runs_and_fewer_outs() -> None:
    weak, hard = load("pro").plays(np.array([-0.1, 0.4]))
    assert hard[PLAYS.index("home run")] > 5 * weak[PLAYS.index("home run")]
    assert hard[:2].sum() < weak[:2].sum()


def test_young_hitters_reach_on_more_errors() -> None:
    error = PLAYS.index("error")
    shares = [load(level).play_share[error] for level in ("pro", "17-18", "11-12")]
    assert shares == sorted(shares)
    np.testing.assert_allclose(load("11-12").play_share.sum(), 1.0, atol=1e-5)


def test_levels_are_moved_as_stated() -> None:
    pro, school, youth = load("pro"), load("17-18"), load("11-12")
    edge = [expit(x.steps("fast", 1.2, 0, 0, 0, 0.5).called) for x in (pro, school, youth)]
    assert edge == sorted(edge)
    assert np.all(youth.fast_share > school.fast_share)
    assert np.all(school.fast_share > pro.fast_share)
    np.testing.assert_allclose(youth.pitch_share.sum(0), 1.0)
    assert pro.patience == 1.0 > school.patience > youth.patience
    assert chain(youth).walks > chain(school).walks > chain(pro).walks


def test_surprise_is_centred_on_what_each_family_came_to_where_it_was_fitted() -> None:
    pro = load("pro")
    seen = pro.pitch_share * COUNT_SHARE
    np.testing.assert_allclose((seen * pro.unusual).sum((1, 2)), 0.0, atol=1e-12)
    assert np.all(load("11-12").unusual[1:] > pro.unusual[1:])


def test_a_soft_pitch_is_missed_more_where_fastballs_are_usual() -> None:
    league = load("pro")
    plain = replace(league, surprise_miss=0.0, surprise_foul=0.0)
    soft, fast = (
        league.steps(f, 0.0, 0.0, BALLS, STRIKES, 0.5).miss
        - plain.steps(f, 0.0, 0.0, BALLS, STRIKES, 0.5).miss
        for f in ("off-speed", "fast")
    )
    assert soft[2, 0] > soft[0, 2] and fast[2, 0] < fast[0, 2]
    np.testing.assert_allclose(soft, 0.3 * league.unusual[2], atol=1e-9)
    either = [x.steps("unknown", 0.0, 0.0, 2, 0, 0.5).miss for x in (league, plain)]
    assert either[0] == either[1]


def test_the_location_mix_of_a_count_adds_up_to_one() -> None:
    u, v = np.meshgrid(np.arange(-6, 6, 0.05), np.arange(-6, 6, 0.05))
    mix = load("17-18").location_mix(1, 2, u, v)
    assert mix.shape == (3, *u.shape)
    assert mix.sum() * 0.05**2 == pytest.approx(1.0, abs=0.01)


@given(FAMILY, PLACE, PLACE, st.integers(0, 1))
def test_offsets_are_the_loadings_times_the_traits(
    family: str, u: float, v: float, protecting: int
) -> None:
    traits = np.random.default_rng(0).normal(size=len(TRAITS))
    at = np.array([u]), np.array([v]), np.array([float(protecting)])
    offsets, load_of = trait_offsets(traits, family, *at), loadings(family, *at)
    for step, load_ in load_of.items():
        np.testing.assert_allclose(getattr(offsets, step), load_ @ traits, atol=1e-12)


def test_no_trait_is_the_leagues_hitter() -> None:
    league = load("pro")
    plain = league.steps("fast", 0.4, 0.4, 0, 1, 1)
    zero = league.steps("fast", 0.4, 0.4, 0, 1, 1, np.zeros(len(TRAITS)))
    for name in Steps.__slots__:
        np.testing.assert_allclose(getattr(plain, name), getattr(zero, name), atol=1e-7)


def _one(name: str, size: float = 1.0) -> Floats:
    out = np.zeros(len(TRAITS))
    out[TRAITS.index(name)] = size * TRAIT_TABLE[TRAITS.index(name)].sd
    return out


@pytest.mark.parametrize(
    ("trait", "step", "family", "u", "v", "sign"),
    [
        ("contact", "miss", "fast", 0.0, 0.0, -1),
        ("power", "in_play", "fast", 0.0, 0.0, 1),
        ("chase", "swing", "fast", 1.5, 0.0, 1),
        ("chase_up", "swing", "fast", 0.0, 1.5, 1),
        ("chase_breaking", "swing", "breaking", 1.2, -1.2, 1),
        ("fast", "in_play", "fast", 0.0, 0.0, 1),
        ("inside", "miss", "fast", -0.8, 0.0, -1),
        ("outside", "in_play", "off-speed", 0.8, 0.0, 1),
        ("timing_late", "miss", "fast", 0.0, 0.0, 1),
        ("timing_late", "miss", "off-speed", 0.0, 0.0, -1),
        ("pull", "in_play", "fast", 0.8, 0.0, -1),
        ("hit_by_pitch", "hit_by_pitch", "fast", -2.5, 0.0, 1),
    ],
)
def test_a_trait_moves_its_step_where_it_should(
    trait: str, step: str, family: str, u: float, v: float, sign: int
) -> None:
    league = load("pro")
    plain = getattr(league.steps(family, u, v, 0, 0, 1), step)
    moved = getattr(league.steps(family, u, v, 0, 0, 1, _one(trait)), step)
    assert np.sign(moved - plain) == sign


def test_chasing_does_not_change_swings_in_the_middle() -> None:
    league = load("pro")
    plain, chaser = (league.steps("fast", 0, 0, 0, 0, 1, t) for t in (None, _one("chase", 3)))
    assert abs(float(plain.swing_ready - chaser.swing_ready)) < 0.01


def test_the_committed_file_says_what_it_is_fitted_on() -> None:
    data = coefficients.read().data
    assert "individual, non-commercial use; only coefficients are shipped" in data["notice"]
    assert "copyrighted by Retrosheet" in data["notice"]
    assert data["rows"]["called"] > 300_000


def test_coefficients_come_back_from_a_file(tmp_path: Path) -> None:
    found = coefficients.read()
    coefficients.save(found, tmp_path / "ours.json")
    again = load("pro", tmp_path / "ours.json")
    before, after = (x.steps("fast", 0.3, 0.3, 1, 1, 0) for x in (load("pro"), again))
    assert isinstance(again, League)
    np.testing.assert_allclose(before.called, after.called)


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", "not json", '{"version": 1}', '{"version": 1, "steps": 3, "data": {}}']
)
def test_a_file_that_is_no_coefficient_file_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "bad.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="not a file of league coefficients"):
        coefficients.read(path)


def test_a_newer_file_is_refused_by_its_version(tmp_path: Path) -> None:
    path = tmp_path / "newer.json"
    path.write_text('{"version": 99}', encoding="utf-8")
    with pytest.raises(BadInput, match="version 99"):
        coefficients.read(path)


def test_an_unknown_level_is_refused() -> None:
    with pytest.raises(BadInput):
        load("moon")
