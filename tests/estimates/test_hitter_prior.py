"""How much hitters differ: spreads that were put in are found; where nothing is said they stay."""

import numpy as np
import pytest
from scipy.optimize import approx_fprime

from sequencer.estimates import hitter_prior
from sequencer.estimates.arrays import Floats, Ints, expit
from sequencer.estimates.hitter import habit_of, posterior
from sequencer.estimates.hitter_data import Choice, Seen, Struck, Swings, seen
from sequencer.estimates.hitter_prior import HELD, SCALE, Total
from sequencer.estimates.league import load
from sequencer.estimates.traits import FOUND, INDEX, TRAIT_TABLE, TRAITS, prior_sd
from tests.estimates.simulated import pitches

PRO = load("pro")
K = len(TRAITS)


def one_step(outcome: Floats, base: Floats, load_of: Floats) -> Seen:
    """What was seen, when only misses were."""
    nothing = np.zeros((0, K))
    none, whole = np.zeros(0), np.zeros(0, dtype=np.intp)
    return Seen(
        Swings(none, none, nothing, whole, whole),
        (Choice("miss", outcome, base, load_of), Choice("foul", none, none, nothing)),
        Struck(none, none, nothing, none),
        len(outcome),
    )


def _hitters(n: int, rows: int, sd: Floats, seed: int) -> list[Seen]:
    """Hitters drawn with these spreads, each on swings and misses of a simulated log."""
    rng, found = np.random.default_rng(seed), []
    log = pitches(n * rows, seed=seed).assign(seen_from="measured")
    for h in range(n):
        data = seen(log.iloc[h * rows : (h + 1) * rows], "R", PRO)
        his = rng.normal(size=K) * sd
        swing, miss = data.swings, data.choices[0]
        swung = rng.random(len(swing.outcome)) < swing.chance(his, PRO.take_share)
        missed = rng.random(len(miss.outcome)) < miss.chance(his)
        found.append(
            Seen(
                Swings(swung.astype(float), *_same(swing)),
                (Choice("miss", missed.astype(float), miss.base, miss.load), *data.choices[1:]),
                data.struck,
                data.n,
            )
        )
    return found


def _same(swing: Swings) -> tuple[Floats, Floats, Ints, Ints]:
    return swing.base, swing.load, swing.balls, swing.strikes


def test_spreads_that_were_put_in_are_found() -> None:
    sd = np.full(K, 0.02)
    truth = {"contact": 0.6, "chase_up": 1.0, "zone_swing": 0.5}
    for name, value in truth.items():
        sd[INDEX[name]] = value
    found = hitter_prior.fit_spreads(_hitters(80, 250, sd, 1), PRO.take_share, SCALE, held=HELD)
    for name, value in truth.items():
        i = INDEX[name]
        assert abs(np.log(found.sd[i] / value)) < 3 * found.log_error[i] + 0.1
    for name in ("up", "breaking", "swing_breaking"):
        assert found.sd[INDEX[name]] < 0.8 * SCALE[INDEX[name]]
    assert found.gain > 0.0
    assert (found.hitters, found.pitches) == (80, 80 * 250)


def test_where_hitters_say_nothing_a_spread_stays_what_was_assumed() -> None:
    nothing = one_step(np.ones(1), np.zeros(1), np.zeros((1, K)))
    found = hitter_prior.fit_spreads([nothing] * 5, PRO.take_share, SCALE, held=HELD)
    np.testing.assert_allclose(found.sd, SCALE, rtol=0.02)
    # Of a half-normal spread's logarithm, exact: pi / sqrt(8).
    np.testing.assert_allclose(found.log_error[~HELD], np.pi / np.sqrt(8), rtol=0.03)
    np.testing.assert_array_equal(found.log_error[HELD], 0.0)


def test_a_counted_total_pulls_the_sum_of_what_makes_it() -> None:
    weight = np.zeros(K)
    weight[[INDEX["contact"], INDEX["up"]]] = 1.0, 0.25
    nothing = [one_step(np.ones(1), np.zeros(1), np.zeros((1, K)))]
    total = Total("miss", weight, 0.15, 0.02)
    found = hitter_prior.fit_spreads(nothing, PRO.take_share, SCALE, totals=(total,))
    assert np.sqrt(weight @ found.sd**2) == pytest.approx(0.15, rel=0.12)


def test_the_slope_of_the_evidence_is_that_of_its_height() -> None:
    data = _hitters(6, 80, prior_sd(), 3)
    sd = prior_sd()
    modes = np.zeros((6, K))
    pulls, known = hitter_prior._about_modes(data, PRO.take_share, sd, modes)
    weight = np.abs(np.random.default_rng(0).normal(size=K))
    total = Total("miss", weight, 0.3, 0.1)
    evidence = hitter_prior._Evidence(SCALE, np.ones(K, dtype=np.bool_), (total,))

    def height(log_sd: Floats) -> float:
        x = np.exp(log_sd)
        away = 0.5 * np.log(weight @ x**2) - np.log(0.3)
        prior = np.log(x) - x**2 / (np.pi * SCALE**2)
        found = hitter_prior._log_marginal(pulls, known, x)
        return float(found + prior.sum() - 0.5 * (away / 0.1) ** 2)

    slope, _ = evidence.slope(pulls, known, sd)
    np.testing.assert_allclose(slope, approx_fprime(np.log(sd), height, 1e-6), atol=1e-3)


def test_a_source_that_swings_less_is_no_source_of_different_hitters() -> None:
    data = [one.moved({"swing": 0.8}) for one in _hitters(30, 60, prior_sd() * 0.01, 5)]
    level = hitter_prior._level(hitter_prior.centred(data, PRO.take_share), "swing", PRO.take_share)
    assert level == pytest.approx(0.0, abs=1e-4)
    few = data[:5]
    assert all(a is b for a, b in zip(hitter_prior.centred(few, PRO.take_share), few, strict=True))


def test_weights_fall_as_hitters_differ_more() -> None:
    data = seen(pitches(400, seed=2).assign(seen_from="measured"), "R", PRO)
    share, weight = hitter_prior.implied_weight(data, "miss", PRO.take_share, prior_sd())
    _, lighter = hitter_prior.implied_weight(data, "miss", PRO.take_share, 2 * prior_sd())
    assert weight / 6 < lighter < weight / 2.5
    assert 0.1 < share < 0.4


def test_every_trait_says_where_its_spread_comes_from() -> None:
    for trait in TRAIT_TABLE:
        assert trait.sd > 0.0 and trait.assumed > 0.0
        assert (trait.factor > 1.0) == (trait.source == FOUND), trait.name
        assert trait.source == FOUND or trait.sd == trait.assumed


def test_losses_are_those_of_the_chances() -> None:
    data = seen(pitches(60, seed=1).assign(seen_from="measured"), "R", PRO)
    zero = np.zeros(K)
    p = (1 - habit_of(zero, PRO.take_share))[data.swings.balls, data.swings.strikes] * expit(
        data.swings.base
    )
    total = -np.log(np.where(data.swings.outcome == 1, p, 1 - p)).sum()
    for part in data.choices[:2]:
        q = expit(part.base)
        total -= np.log(np.where(part.outcome == 1, q, 1 - q)).sum()
    assert hitter_prior.loss(data, zero, PRO.take_share) == pytest.approx(total / 60)


def test_a_mode_near_the_answer_is_the_same_answer() -> None:
    data = seen(pitches(150, seed=4).assign(seen_from="measured"), "R", PRO)
    sd, zero = prior_sd(), np.zeros(K)
    mean, cov = posterior(data, zero, sd, PRO.take_share)
    again, same = posterior(data, zero, np.diag(sd**2), PRO.take_share, first=mean + 0.05)
    np.testing.assert_allclose(again / sd, mean / sd, atol=2e-4)
    np.testing.assert_allclose(same, cov, atol=1e-4)
