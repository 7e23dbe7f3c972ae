"""Hitters learnt live, from unsure places, from their other side; and what is said of them."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.marks import MARKS
from sequencer.baseball.zone import CELLS, Zone, cell_of
from sequencer.estimates import hitter
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.blurred import ANYWHERE, GRID, blurred, cell, dot, sharp
from sequencer.estimates.hitter_data import seen
from sequencer.estimates.league import load
from sequencer.estimates.traits import AREAS, INDEX, STEPS, TRAITS, areas_at
from sequencer.records.people import Mark, Person
from tests.estimates.hitters_open import noted, taken_as_sharp
from tests.estimates.simulated import pitches, traits

BOYD = Person(id="b", team="Them", name="Boyd", bats="R")
SWITCH = Person(id="s", team="Them", name="Shaw", bats="S")
PRO = load("pro")
SD = hitter.spread("pro")


def _mark(name: str, often: str = "some") -> Mark:
    return Mark.model_validate({"person": "b", "mark": name, "how_often": often})


def _log(n: int, seed: int = 0, hitter_is: Floats | None = None) -> pd.DataFrame:
    take = None if hitter_is is None else hitter.habit_of(hitter_is, PRO.take_share)
    log = pitches(n, hitter=hitter_is, take_share=take, seed=seed)
    return log.assign(seen_from="measured")


def _left(belief: hitter.HitterBelief) -> Floats:
    return np.asarray(np.sqrt(np.diag(belief.cov)) / SD)


# one pitch after another


def test_pitches_learnt_one_by_one_come_to_what_they_say_together() -> None:
    log = _log(90, seed=2, hitter_is=traits(chase=0.6, contact=-0.5))
    marks = [_mark("good eye")]
    live = hitter.believe(BOYD, marks, log.head(60), PRO)
    for i in range(60, 90):
        live = hitter.learn(live, log.iloc[[i]], PRO)
    whole = hitter.believe(BOYD, marks, log, PRO)
    assert live.pitches == whole.pitches == 90
    np.testing.assert_allclose((live.mean - whole.mean) / SD, 0.0, atol=0.05)
    np.testing.assert_allclose(_left(live), _left(whole), atol=0.02)
    np.testing.assert_allclose(live.take_share, whole.take_share, atol=0.01)
    np.testing.assert_array_equal(live.start, whole.start)


def test_a_pitch_from_his_other_side_teaches_nothing_live() -> None:
    before = hitter.believe(SWITCH, [], _log(20), PRO, bats="R")
    after = hitter.learn(before, _log(1).assign(bats="L"), PRO)
    np.testing.assert_allclose(after.mean, before.mean, atol=1e-6)
    assert after.pitches == before.pitches


def test_live_learning_takes_back_that_marks_and_pitches_disagree() -> None:
    log = _log(1500, seed=8, hitter_is=traits(chase=-1.2))
    always = [_mark("swings at everything", "always")]
    at_odds = hitter.believe(BOYD, always, log, PRO)
    said = [note for note in at_odds.notes if "disagree" in note]
    assert said
    again = hitter.learn(at_odds, log.head(1), PRO)
    assert len([note for note in again.notes if "disagree" in note]) == len(said)
    assert any("1501 pitches" in note for note in again.notes)


# the other side of the plate


def test_a_switch_hitters_other_side_informs_by_half_and_is_said() -> None:
    log = _log(800, seed=4, hitter_is=traits(zone_swing=-1.2, contact=0.8))
    same = hitter.believe(SWITCH, [], log, PRO, bats="R")
    other = hitter.believe(SWITCH, [], log.assign(bats="L", side_in=-log["side_in"], throws="L"),
                           PRO, bats="R")  # fmt: skip
    assert other.pitches == 0
    assert any("800 pitches he saw from the left side" in note for note in other.notes)
    np.testing.assert_allclose(other.mean, 0.5 * same.mean, atol=1e-6)
    learnt, known = 1 - _left(other) ** 2, 1 - _left(same) ** 2
    np.testing.assert_allclose(learnt, 0.25 * known, atol=1e-6)


# unsure places


def test_a_lattice_of_sharp_places_is_the_league_itself() -> None:
    rng = np.random.default_rng(0)
    u, v = rng.normal(size=(2, 500)) * 1.3
    balls, strikes = rng.integers(0, 4, 500), rng.integers(0, 3, 500)
    for family in ("fast", "breaking", "off-speed", "unknown"):
        told = sharp(PRO, family, 1.0, u, v, balls, strikes)
        steps = PRO.steps(family, u, v, balls, strikes, 1.0)
        exact = (steps.swing_ready, steps.miss, steps.foul, steps.in_play)
        for k, values in enumerate((*exact, logit(steps.hit_by_pitch))):
            np.testing.assert_allclose(told[:, k], values, atol=0.05)


@pytest.mark.parametrize("word", CELLS)
@pytest.mark.parametrize("bats", ["R", "L"])
def test_every_cell_is_found_and_its_middle_is_inside_it(word: str, bats: str) -> None:
    column, row = cell(word, bats)
    assert len(GRID) <= column < ANYWHERE and len(GRID) <= row < ANYWHERE
    named, _, side = word.partition("-")
    u = {"off-in": -1.3, "in": -0.6, "middle": 0.0, "away": 0.6, "off-away": 1.3}[side]
    v = {"below": -1.3, "down": -0.6, "belt": 0.0, "up": 0.6, "above": 1.3}[named]
    assert cell_of((8.5 + 1.45) * u, 30 + 12 * v, Zone(42, 18)).startswith(named)
    areas = blurred(PRO, "fast", 1.0, (0.5, 0.5)).areas[column, row, 1, 1, STEPS.index("miss")]
    mine = areas_at(np.array(u), np.array(v))
    for name, got, want in zip(AREAS, areas, mine, strict=True):
        if name in ("in", "away", "up", "down") and abs(want - 0.5) > 0.35:
            assert (got > 0.5) == (want > 0.5), name


def test_what_is_seen_less_surely_is_told_less_sharply() -> None:
    place = dot(np.array([1.2])), dot(np.array([0.0]))
    outside = list(AREAS).index("outside")
    kept, chance = [], []
    for error in ((0.5, 0.5), (3.0, 3.0), (5.0, 3.0)):
        table = blurred(PRO, "fast", 1.0, error)
        kept.append(float(table.areas[(*place, 0, 1, 0, outside)][0]))
        chance.append(float(expit(table.base[(*place, 0, 1, 0)])[0]))
    assert kept[0] > kept[1] > kept[2] > 0.2
    exact = float(expit(PRO.steps("fast", 1.2, 0.0, 0, 1, 1.0).swing_ready))
    assert chance[0] == pytest.approx(exact, abs=0.04)
    # Further from what it is at the edge itself: most of what is seen there was a strike.
    assert chance[2] > chance[0] + 0.05


def test_no_place_at_all_is_the_leagues_average_over_its_places() -> None:
    got = float(expit(blurred(PRO, "fast", 1.0, (3.0, 3.0)).base[ANYWHERE, ANYWHERE, 1, 1, 0]))
    rng, mix = np.random.default_rng(0), PRO.mix
    part = rng.choice(len(mix.weights[0, 1, 1]), 20_000, p=mix.weights[0, 1, 1])
    roots = np.linalg.cholesky(mix.covs[0])[part]
    u, v = (mix.means[0, part] + np.einsum("nij,nj->ni", roots, rng.normal(size=(20_000, 2)))).T
    want = float(expit(PRO.steps("fast", u, v, 1, 1, 1.0).swing_ready).mean())
    assert got == pytest.approx(want, abs=0.01)


def test_a_chart_seen_from_the_dugout_teaches_less_than_a_measured_one() -> None:
    log = _log(400, seed=3)
    measured = hitter.believe(BOYD, [], log, PRO)
    dugout = hitter.believe(BOYD, [], log.assign(seen_from="dugout"), PRO)
    for name in ("chase_in", "chase_away", "up", "zone_swing"):
        assert dugout.trait(name)[1] > measured.trait(name)[1]
    assert dugout.pitches == measured.pitches


def _best_known(told: pd.DataFrame, truth: Floats) -> Floats:
    """Errors, in what the belief gives them, along the six directions that it knows best."""
    mean, cov = hitter.posterior(seen(told, "R", PRO), np.zeros(len(SD)), SD, PRO.take_share)
    known, way = np.linalg.eigh(np.linalg.inv(cov) * np.outer(SD, SD))
    errors = way[:, -6:].T @ ((mean - truth) / SD) * np.sqrt(known[-6:])
    return np.asarray(errors)


def test_cells_from_the_dugout_are_as_sure_as_they_ought_to_be() -> None:
    # One is right. On open pitches (`hitters_open --only drawn`) errors are 1.00 times what they
    # should be after 60 pitches and 1.16 after 600, taken as sharp 1.06 and 1.62.
    rng = np.random.default_rng(2)
    averaged, as_sharp = [], []
    for seed in range(40):
        truth = rng.normal(size=len(SD)) * SD
        log = _log(400, seed=seed, hitter_is=truth)
        averaged.append(_best_known(noted(log, seed), truth))
        as_sharp.append(_best_known(taken_as_sharp(log), truth))
    right, wrong = (float(np.sqrt(np.mean(np.square(x)))) for x in (averaged, as_sharp))
    assert 0.85 < right < 1.35
    assert wrong > 1.15 * right


# what is said of him


def test_a_hitter_never_seen_is_said_to_be_the_usual_one() -> None:
    belief = hitter.believe(BOYD, [], None, PRO)
    assert belief.says() == ("nothing known of him: the level's usual hitter",)


def test_marks_alone_are_said_to_be_marks() -> None:
    belief = hitter.believe(BOYD, [_mark("climbs the ladder"), _mark("good eye")], None, PRO)
    assert belief.says()[0] == "swings above the zone more than most, by the marks"
    assert "swings off the plate less than most, by the marks" in belief.says()
    assert len(belief.says()) <= 3
    assert not any("sure" in line for line in belief.says())


def test_six_pitches_set_nobody_apart_and_say_what_they_cannot_tell() -> None:
    said = hitter.believe(BOYD, [], _log(6, seed=1), PRO).says()
    assert said[0] == "6 pitches: nothing yet sets him apart from the level's usual hitter"
    assert said[1].startswith("6 pitches cannot tell yet whether he makes contact")
    assert hitter.believe(BOYD, [], _log(1), PRO).says()[0].startswith("1 pitch: ")


def test_six_hundred_pitches_name_what_was_put_in_and_surely() -> None:
    log = _log(600, seed=9, hitter_is=traits(chase=1.2, chase_up=1.5, zone_swing=0.2))
    said = hitter.believe(BOYD, [], log, PRO).says()
    assert any(line.startswith("swings off the plate more") for line in said) or any(
        line.startswith("swings above the zone more") for line in said
    )
    assert any(line.endswith(", sure") for line in said)


@pytest.mark.parametrize(("n", "at_odds"), [(6, False), (1500, True)])
def test_marks_and_pitches_disagree_only_when_there_are_pitches_enough(
    n: int, at_odds: bool
) -> None:
    log = _log(1500, seed=12, hitter_is=traits(chase=-1.2))
    belief = hitter.believe(BOYD, [_mark("swings at everything", "always")], log.head(n), PRO)
    assert any("disagree" in note for note in belief.notes) == at_odds


def test_marks_that_pitches_bear_out_are_not_at_odds() -> None:
    marks = [_mark("swings at everything", "always"), _mark("climbs the ladder", "always")]
    truth = hitter.believe(BOYD, marks, None, PRO).mean
    said = []
    for seed in range(12):
        log = _log(300, seed=seed, hitter_is=truth)
        notes = hitter.believe(BOYD, marks, log, PRO).notes
        said += [note for note in notes if "disagree" in note]
    assert len(said) <= 1


def test_marks_that_contradict_each_other_cancel_and_nothing_is_said() -> None:
    both = [_mark("uppercut"), _mark("chops down")]
    belief = hitter.believe(BOYD, both, None, PRO)
    assert abs(belief.trait("up")[0]) < 0.25 * SD[INDEX["up"]]
    assert belief.says() == ("his marks do not set him apart from the level's usual hitter",)


def test_a_hitter_who_misses_soft_pitches_when_ahead_is_thought_to_look_for_fast_ones() -> None:
    log = _log(500, seed=5)
    ahead = (log["balls"] > log["strikes"]) & (log["strikes"] < 2)
    soft = log["pitch"] != "fastball"
    swung = log["result"].isin(["in play", "foul", "swinging strike"])
    found = []
    for fooled in (True, False):
        result = log["result"].mask(swung & ahead & soft, "swinging strike" if fooled else "foul")
        result = result.mask(swung & ahead & ~soft, "foul" if fooled else "swinging strike")
        belief = hitter.believe(BOYD, [], log.assign(result=result), PRO)
        found.append(belief.trait("fast_belief")[0])
        expects = belief.fast_belief[2, 0] - PRO.fast_share[2, 0]
        assert (expects > 0) == fooled
    assert found[0] > 0.05 and found[1] < -0.05


def test_bunts_are_counted_and_no_swings() -> None:
    log = _log(200, seed=7)
    bunts = np.arange(200) % 10 == 0
    belief = hitter.believe(BOYD, [], log.assign(bunt=bunts), PRO)
    assert belief.trait("bunt")[0] > 1.0
    assert belief.pitches == 180
    never = hitter.believe(BOYD, [], log, PRO)
    assert never.trait("bunt")[0] < 0.0


COLUMNS = {
    "result": ["ball", "called strike", "swinging strike", "foul", "in play", "hit by pitch", "?"],
    "pitch": ["fastball", "curveball", "changeup", "unknown", "other", ""],
    "cell": [*CELLS, "above", "off-in", "unknown", "", "nonsense"],
    "seen_from": ["", "dugout", "behind plate", "video", "measured"],
    "throws": ["R", "L", ""],
    "bats": ["R", "L", ""],
}


@settings(max_examples=25, deadline=None)
@given(
    st.integers(1, 40),
    st.fixed_dictionaries({name: st.sampled_from(words) for name, words in COLUMNS.items()}),
    st.lists(st.sampled_from(list(MARKS)), max_size=4),
    st.sampled_from(["pro", "17-18"]),
    st.booleans(),
)
def test_whatever_is_logged_leaves_numbers_no_surer_than_pitches_make_them(
    n: int, constant: dict[str, str], marks: list[str], level: str, placed: bool
) -> None:
    log = pitches(n, seed=n).assign(**constant, spray="pull", timing="late", contact="weak")
    if not placed:
        log = log.assign(side_in=np.nan, height_in=1e6)
    belief = hitter.believe(BOYD, [_mark(name) for name in marks], log, load(level))
    left = np.sqrt(np.diag(belief.cov)) / hitter.spread(level)
    assert np.isfinite(belief.mean).all() and np.isfinite(belief.cov).all()
    assert np.all((left > 0.01) & (left <= 1.0 + 1e-9))
    assert np.linalg.eigvalsh(belief.cov)[0] > 0.0
    for habit in (belief.take_share, belief.fast_belief):
        assert np.all((habit >= 0.0) & (habit <= 1.0))
    assert all(line for line in belief.says())


def test_the_seen_steps_are_in_the_order_of_the_traits() -> None:
    data = seen(_log(50), "R", PRO)
    assert data.swings.load.shape[1] == len(TRAITS)
    assert {part.name for part in data.choices} == {
        *("miss", "foul", "hit_by_pitch", "late", "pulled", "bunt")
    }
