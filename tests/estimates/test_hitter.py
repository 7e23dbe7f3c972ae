"""Hitters: what a mark says, what pitches say, and how surely."""

from itertools import pairwise

import numpy as np
import pytest

from sequencer.baseball import marks as mark_table
from sequencer.errors import BadInput
from sequencer.estimates import hitter
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.league import load
from sequencer.records.people import Mark, Person
from tests.estimates.simulated import pitches, traits

BOYD = Person(id="b", team="Them", name="Boyd", bats="R")
PRO = load("pro")


def _mark(name: str, **more: str) -> Mark:
    return Mark.model_validate({"person": "b", "mark": name, **more})


def _spread_left(belief: hitter.HitterBelief) -> Floats:
    return np.asarray(np.sqrt(np.diag(belief.cov)) / hitter.spread(belief.level))


def test_every_trait_that_a_mark_moves_is_a_trait() -> None:
    assert set(mark_table.TRAITS) <= set(hitter.TRAITS)
    every = [_mark(name) for name in mark_table.MARKS]
    assert np.isfinite(hitter.mark_shifts(every)).all()


def test_a_hitter_never_seen_is_the_leagues_with_the_whole_spread() -> None:
    belief = hitter.believe(BOYD, [], None, load("17-18"))
    np.testing.assert_array_equal(belief.mean, 0.0)
    np.testing.assert_allclose(_spread_left(belief), 1.0)
    np.testing.assert_allclose(belief.take_share, load("17-18").take_share, atol=1e-9)
    np.testing.assert_allclose(belief.fast_belief, load("17-18").fast_share, atol=1e-9)
    average = hitter.average("17-18")
    np.testing.assert_array_equal(average.mean, belief.mean)
    assert average.pitches == belief.pitches == 0


def test_amateurs_differ_more_than_professionals() -> None:
    levels = [hitter.spread(level) for level in ("pro", "17-18", "11-12")]
    for narrow, wide in pairwise(levels):
        assert np.all(wide >= narrow)
        assert np.mean(wide / narrow) > 1.05
    # Holes that professionals have been sorted out for are there below them.
    assert (
        levels[1][hitter.TRAITS.index("breaking")] > 2 * levels[0][hitter.TRAITS.index("breaking")]
    )


def test_a_mark_moves_the_mean_by_how_often_and_not_the_spread() -> None:
    seen = [
        hitter.believe(BOYD, [_mark("swings at everything", how_often=often)], None, PRO)
        for often in ("once", "some", "always")
    ]
    sd = hitter.spread("pro")[hitter.TRAITS.index("chase")]
    chase = [belief.trait("chase")[0] / sd for belief in seen]
    assert chase == pytest.approx([0.6, 1.2, 1.8], abs=1e-6)
    for belief in seen:
        np.testing.assert_allclose(_spread_left(belief), 1.0)


def test_a_stance_counts_a_third_of_a_swing() -> None:
    swing, stance = (
        hitter.believe(BOYD, [_mark("dives", seen_in=way)], None, PRO).trait("outside")[0]
        for way in ("swing", "stance")
    )
    assert stance == pytest.approx(swing / 3)


def test_marks_together_are_held_to_a_limit() -> None:
    belief = hitter.believe(BOYD, [_mark("pull hitter", how_often="always")] * 9, None, PRO)
    assert belief.trait("pull")[0] == pytest.approx(hitter.MOST_SHIFT * 0.30)


def test_an_unknown_mark_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="'wears gloves' is not a mark"):
        hitter.believe(BOYD, [_mark("wears gloves")], None, PRO)


def test_first_pitch_marks_move_the_first_pitch_habit_only() -> None:
    swings = hitter.believe(BOYD, [_mark("first-pitch swinger")], None, PRO).take_share
    takes = hitter.believe(BOYD, [_mark("takes until a strike")], None, PRO).take_share
    assert swings[0, 0] < PRO.take_share[0, 0] - 0.1
    assert takes[0, 0] > PRO.take_share[0, 0] + 0.1
    np.testing.assert_allclose(swings[1:], PRO.take_share[1:])


def test_sitting_fastball_shows_most_in_hitters_counts() -> None:
    more = hitter.believe(BOYD, [_mark("sits fastball")], None, PRO).fast_belief - PRO.fast_share
    assert more[2, 0] > 0.03
    assert more[0, 2] == pytest.approx(0.0)
    assert np.all((PRO.fast_share + more < 1.0) & (more >= -1e-12))


def test_late_on_the_fastball_misses_it_and_hits_it_weakly_but_not_the_changeup() -> None:
    league = load("17-18")
    late = hitter.believe(BOYD, [_mark("late on the fastball", how_often="always")], None, league)
    for family, sign in (("fast", 1), ("off-speed", -1)):
        usual = league.steps(family, 0.3, 0.3, 1, 1, 1)
        his = league.steps(family, 0.3, 0.3, 1, 1, 1, late.mean)
        assert sign * (his.miss - usual.miss) > 0.2
        assert sign * (usual.in_play - his.in_play) > 0.02


def test_mirrored_hitters_are_the_same_hitter() -> None:
    right = hitter.believe(BOYD, [_mark("dives")], pitches(80, bats="R", seed=3), PRO)
    lefty = BOYD.model_copy(update={"bats": "L"})
    mirrored = pitches(80, bats="L", seed=3)
    mirrored["throws"] = "L"
    left = hitter.believe(lefty, [_mark("dives")], mirrored, PRO)
    np.testing.assert_allclose(left.mean, right.mean, atol=1e-9)
    np.testing.assert_allclose(left.cov, right.cov, atol=1e-9)


def test_six_pitches_never_look_like_sixty() -> None:
    log = pitches(600, hitter=traits(chase=0.6, contact=-0.4), seed=5)
    left = [_spread_left(hitter.believe(BOYD, [], log.head(n), PRO)) for n in (6, 60, 600)]
    for before, after in pairwise(left):
        assert np.all(after <= before + 1e-9)
        assert after.mean() < before.mean() - 0.02
    assert left[0].min() > 0.9


def test_what_was_put_in_is_found_by_a_season_of_pitches() -> None:
    truth = traits(chase=0.7, contact=-0.5, zone_swing=0.9, first_pitch=0.8)
    take = hitter.habit_of(truth, PRO.take_share)
    log = pitches(2500, hitter=truth, take_share=take, seed=11).assign(seen_from="measured")
    belief = hitter.believe(BOYD, [], log, PRO)
    for name in ("chase", "contact", "zone_swing", "first_pitch"):
        mean, sd = belief.trait(name)
        want = float(truth[hitter.TRAITS.index(name)])
        assert abs(mean - want) < 3 * sd + 0.15
        assert mean * want > 0 and abs(mean) > abs(want) / 4
    assert belief.take_share[0, 0] < PRO.take_share[0, 0]


def test_the_posterior_is_the_top_of_the_likelihood_and_the_prior() -> None:
    from scipy.optimize import approx_fprime

    from sequencer.estimates.hitter_data import seen

    data = seen(pitches(200, seed=2), "R", PRO)
    sd = hitter.spread("pro")
    mean, _ = hitter.posterior(data, np.zeros(len(sd)), sd, PRO.take_share)

    def log_density(x: Floats) -> float:
        swing, total = data.swings, -0.5 * float(np.sum((x / sd) ** 2))
        habit = hitter.habit_of(x, PRO.take_share)[swing.balls, swing.strikes]
        p = (1 - habit) * expit(swing.base + swing.load @ x)
        total += float(np.sum(np.where(swing.outcome == 1, np.log(p), np.log1p(-p))))
        for part in data.choices:
            q = expit(part.base + part.load @ x)
            nats = part.outcome * np.log(q) + (1 - part.outcome) * np.log1p(-q)
            total += float(np.sum(nats if part.times is None else part.times * nats))
        ball = data.struck
        away = (ball.runs - ball.base - ball.load @ x) / ball.noise
        return total - 0.5 * float(away @ away)

    slope = approx_fprime(mean, log_density, 1e-6) * sd
    np.testing.assert_allclose(slope, 0.0, atol=0.02)


def test_weak_contact_makes_him_weaker_and_square_contact_stronger() -> None:
    log = pitches(120, seed=4)
    put = log["result"] == "in play"
    found = []
    for contact in ("weak", "square"):
        log["contact"] = np.where(put, contact, "")
        found.append(hitter.believe(BOYD, [], log, PRO).trait("power")[0])
    assert found[0] < -0.005 < 0.005 < found[1]


def test_late_swings_make_him_late_and_pulled_balls_make_him_pull() -> None:
    log = pitches(120, seed=4)
    swung = log["result"].isin(["in play", "foul", "swinging strike"])
    log["timing"] = np.where(swung, "late", "")
    log["spray"] = np.where(log["result"] == "in play", "pull", "")
    belief = hitter.believe(BOYD, [], log, PRO)
    assert belief.trait("timing_late")[0] > 0.2
    assert belief.trait("pull")[0] > 0.1


def test_marks_and_pitches_that_disagree_are_said() -> None:
    truth = traits(chase=-0.9)
    log = pitches(1200, hitter=truth, seed=8)
    belief = hitter.believe(BOYD, [_mark("swings at everything", how_often="always")], log, PRO)
    assert any("disagree" in note and "off the plate" in note for note in belief.notes)
    plain = hitter.believe(BOYD, [], log, PRO)
    assert not any("disagree" in note for note in plain.notes)


def test_pitch_outs_bunts_and_his_other_side_do_not_count() -> None:
    log = pitches(40, seed=1)
    log["intent"] = ["pitch-out"] * 10 + [""] * 30
    log["bunt"] = [False] * 10 + [True] * 10 + [False] * 20
    log["bats"] = ["R"] * 20 + ["L"] * 10 + ["R"] * 10
    switch = BOYD.model_copy(update={"bats": "S"})
    assert hitter.believe(switch, [], log, PRO, throws="L").pitches == 10
    left = hitter.believe(switch, [], log, PRO, throws="R")
    assert (left.bats, left.pitches) == ("L", 10)
    assert hitter.believe(switch, [], log, PRO, bats="R").bats == "R"


def test_a_cell_is_place_enough_and_no_place_is_said() -> None:
    log = pitches(30, seed=1).drop(columns=["side_in", "height_in"])
    log["cell"] = ["down-away"] * 20 + ["unknown"] * 6 + [""] * 4
    belief = hitter.believe(BOYD, [], log, PRO)
    assert belief.pitches == 30
    assert belief.notes == (
        "10 of 30 pitches have no place: they tell how he swings and misses, not where.",
    )


@pytest.mark.parametrize("column", ["result", "pitch", "throws"])
def test_columns_of_one_value_or_none_leave_numbers(column: str) -> None:
    log = pitches(50, seed=1)
    log[column] = {"result": "swinging strike", "pitch": "unknown", "throws": ""}[column]
    belief = hitter.believe(BOYD, [], log, PRO)
    assert np.isfinite(belief.mean).all() and np.isfinite(belief.cov).all()
    assert np.all(np.abs(belief.mean) < 6 * hitter.spread("pro"))


def test_an_empty_log_is_no_log() -> None:
    empty = pitches(1).head(0)
    assert hitter.believe(BOYD, [], empty, PRO).pitches == 0
    nobody = pitches(5).assign(bats="R")
    left = BOYD.model_copy(update={"bats": "L"})
    assert hitter.believe(left, [], nobody, PRO).pitches == 0


def test_pitches_without_a_place_still_tell_that_he_misses_and_not_where() -> None:
    log = pitches(200, seed=6).assign(side_in=np.nan, height_in=np.nan)
    log["result"] = np.where(log["result"] == "foul", "swinging strike", log["result"])
    belief = hitter.believe(BOYD, [], log, PRO)
    assert belief.notes[0].startswith("No pitch has a place")
    mean, sd = belief.trait("contact")
    assert mean < -sd
    left = dict(zip(hitter.TRAITS, _spread_left(belief), strict=True))
    assert left["contact"] < 0.8
    assert left["chase_up"] > left["chase"] > 0.7
