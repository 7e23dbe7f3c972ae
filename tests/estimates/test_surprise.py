"""What a belief is worth: expected only from the past, learnt as far as a log knows."""

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates import coefficients, fit, surprise
from sequencer.estimates.arrays import Floats, Ints, expit
from sequencer.estimates.league import SURPRISE_MISS, League, LevelShift
from sequencer.estimates.sandwich import Problem
from sequencer.estimates.surprise import PRIOR_PITCHES, Learnt, learn
from tests.estimates.simulated import pitches, season

EVEN = np.full((4, 3), 0.5)
BY_COUNT = np.linspace(0.35, 0.9, 12).reshape(4, 3)
PRIOR = (0.30, 0.13)
BUILT_IN = coefficients.read()


def _log(thrown: list[str], pitcher: Any = "Ames", **columns: Any) -> pd.DataFrame:
    n = len(thrown)
    frame = pd.DataFrame(
        {"pitch": thrown, "balls": 0, "strikes": 0, "pitcher": pitcher, "game": "g1",
         "at_bat": np.arange(n)}
    )  # fmt: skip
    return frame.assign(**columns)


def test_a_pitcher_of_whom_nothing_is_known_throws_what_the_league_throws() -> None:
    log = _log(["fastball"] * 4, pitcher=["", "Ames", "Boyd", "Cole"],
               balls=[3, 3, 1, 0], strikes=[0, 0, 2, 1])  # fmt: skip
    expected = surprise.fast_expected(log, BY_COUNT)
    np.testing.assert_allclose(expected, BY_COUNT[[3, 3, 1, 0], [0, 0, 2, 1]])


def test_who_throws_more_fastballs_than_the_league_is_expected_to_go_on() -> None:
    chance = surprise.fast_expected(_log(["fastball"] * 60), EVEN)
    assert np.all(np.diff(chance) > 0) and chance[0] == 0.5 and chance[-1] > 0.95
    # After one fastball: his mix, then the count, then what follows no pitch, each an eleventh.
    w, mix = PRIOR_PITCHES, (1 + PRIOR_PITCHES / 2) / (1 + PRIOR_PITCHES)
    count = (1 + w * mix) / (1 + w)
    assert chance[1] == pytest.approx((1 + w * count) / (1 + w))


def test_the_pitch_before_tells_when_he_never_repeats() -> None:
    log = _log(["fastball", "curveball"] * 100, at_bat=1)
    chance = surprise.fast_expected(log, EVEN)
    assert np.all(chance[100::2] > 0.75) and np.all(chance[101::2] < 0.25)
    alone = surprise.fast_expected(log.assign(at_bat=np.arange(200)), EVEN)
    np.testing.assert_allclose(alone[100:], 0.5, atol=0.05)


@given(st.lists(st.sampled_from(["fastball", "curveball", "changeup", "unknown"]), max_size=40),
       st.integers(0, 39))  # fmt: skip
def test_nothing_is_expected_from_what_is_still_to_come(thrown: list[str], at: int) -> None:
    rng = np.random.default_rng(len(thrown))
    counts: dict[str, Any] = {
        "balls": rng.integers(0, 4, len(thrown)),
        "strikes": rng.integers(0, 3, len(thrown)),
    }
    log = _log(thrown, at_bat=1, **counts)
    whole = surprise.fast_expected(log, BY_COUNT)
    assert np.all((whole > 0) & (whole < 1))
    so_far = surprise.fast_expected(log.head(at), BY_COUNT)
    np.testing.assert_allclose(whole[:at], so_far[: len(whole)])


def test_two_pitchers_in_turn_are_each_expected_by_their_own_pitches() -> None:
    his, other = ["fastball"] * 30, ["curveball"] * 30
    both = _log([p for pair in zip(his, other, strict=True) for p in pair],
                pitcher=["Ames", "Boyd"] * 30)  # fmt: skip
    together = surprise.fast_expected(both, EVEN)
    np.testing.assert_allclose(together[::2], surprise.fast_expected(_log(his), EVEN))
    np.testing.assert_allclose(together[1::2], surprise.fast_expected(_log(other), EVEN))


def test_surprise_is_minus_the_log_of_the_chance_of_what_came() -> None:
    log = _log(["fastball", "slider", "unknown", "changeup"], pitcher="", balls=3)
    nats = surprise.nats(log, BY_COUNT)
    fast = BY_COUNT[3, 0]
    np.testing.assert_allclose(nats[[0, 1, 3]], -np.log([fast, 1 - fast, 1 - fast]))
    assert np.isnan(nats[2])


def test_pitch_outs_teach_nothing_of_what_he_throws() -> None:
    log = _log(["fastball"] * 20, intent=["pitch-out"] * 19 + [""])
    assert surprise.fast_expected(log, EVEN)[-1] == 0.5


def test_surprise_is_compared_within_what_one_pitcher_throws_of_a_family() -> None:
    rng = np.random.default_rng(0)
    pitcher, family = rng.integers(0, 4, 200), rng.integers(0, 3, 200)
    nats = rng.normal(size=200) + pitcher
    nats[::7] = np.nan
    within = surprise.within(nats, pitcher, family, np.full(200, 0.25))
    np.testing.assert_array_equal(np.isnan(within), np.isnan(nats))
    for p in range(4):
        for f in range(3):
            own = (pitcher == p) & (family == f)
            assert np.nanmean(within[own]) == pytest.approx(0.25)


def _swings(n: int, worth: float, *, seed: int = 0) -> tuple[Problem, Floats, dict[str, Ints]]:
    rng = np.random.default_rng(seed)
    x = np.column_stack([np.ones(n), rng.normal(size=n)])
    nats = rng.normal(0, 0.4, n) + 0.2 * x[:, 1]
    game = rng.integers(0, 50, n).astype(np.intp)
    y = rng.random(n) < expit(x @ [-1.0, 0.7] + worth * nats + 0.3 * rng.normal(size=50)[game])
    return Problem(lambda part: x[part], y.astype(np.float64)), nats, {"game": game}


def _learnt(n: int, worth: float, *, seed: int = 0) -> Learnt:
    problem, nats, by = _swings(n, worth, seed=seed)
    return learn("miss", problem, np.full(2, 0.01), np.zeros(2), nats, PRIOR, by)


def test_a_planted_worth_is_found_and_its_error_holds_it_as_often_as_it_says() -> None:
    found = [_learnt(2500, 0.6, seed=seed) for seed in range(40)]
    off = np.array([((x.says or 0.0) - 0.6) / (x.se or 1.0) for x in found])
    assert abs(off.mean()) < 0.5
    assert 0.75 < off.std() < 1.25


def test_prior_and_log_weigh_by_their_precision() -> None:
    found = _learnt(4000, -0.2)
    assert found.says is not None and found.se is not None
    weights = np.array([PRIOR[1] ** -2, found.se**-2])
    assert found.mean == pytest.approx(weights @ [PRIOR[0], found.says] / weights.sum())
    assert found.sd == pytest.approx(weights.sum() ** -0.5)


def test_what_a_log_says_hardly_depends_on_the_prior_and_what_is_kept_does() -> None:
    problem, nats, by = _swings(4000, 0.3)
    other = learn("miss", problem, np.full(2, 0.01), np.zeros(2), nats, (0.0, 10.0), by)
    found = _learnt(4000, 0.3)
    assert found.says == pytest.approx(other.says, abs=0.01)
    assert other.mean == pytest.approx(other.says, abs=0.01)


def test_a_log_where_nothing_surprises_leaves_the_prior_and_says_so() -> None:
    problem, nats, by = _swings(500, 0.3)
    found = learn("foul", problem, np.ones(2), np.zeros(2), 0 * nats, (0.16, 0.11), by)
    assert (found.mean, found.sd, found.says) == (0.16, 0.11, None)
    assert found.sentence().endswith("prior .16, this log cannot say")


@given(st.integers(0, 80), st.integers(0, 2**32 - 1), st.sampled_from(["parted", "all", "any"]))
@settings(max_examples=30, deadline=None)
def test_no_log_makes_it_less_sure_or_not_a_number(n: int, seed: int, kind: str) -> None:
    rng = np.random.default_rng(seed)
    x, nats = rng.normal(size=(n, 2)), rng.normal(size=n)
    came = {"parted": nats > 0, "all": nats < 99, "any": rng.random(n) < 0.5}[kind]
    problem = Problem(lambda part: x[part], came.astype(np.float64))
    one_game = {"game": np.zeros(n, np.intp)}
    found = learn("miss", problem, np.full(2, 0.1), np.zeros(2), nats, PRIOR, one_game)
    assert np.isfinite([found.mean, found.sd]).all()
    assert 0 < found.sd <= PRIOR[1]
    assert "nan" not in found.sentence() and "inf" not in found.sentence()


def test_it_is_said_in_words() -> None:
    found = Learnt("miss", 0.3, 0.13, 0.3, 0.13, -0.21, 0.13, 3000, 90, "pitcher")
    assert found.sentence() == (
        "surprise: a miss +.30 (sd .13) a nat; prior .30, this log says -.21 (se .13)"
    )


def test_a_clubs_log_moves_what_its_league_holds_and_the_next_log_starts_there() -> None:
    log = season(250, seed=2)
    first = fit.fit_league(log, prior=BUILT_IN)
    mean, sd = first.surprise["miss"]
    assert sd < SURPRISE_MISS[1] and mean != SURPRISE_MISS[0]
    league = League.of(first, LevelShift())
    assert (league.surprise_miss, league.surprise_miss_sd) == (mean, sd)
    told = Learnt(**first.data["surprise"]["miss"])
    assert (told.mean, told.sd, told.prior_mean) == (mean, sd, SURPRISE_MISS[0])
    again = fit.fit_league(season(250, seed=3), prior=first)
    assert again.data["surprise"]["miss"]["prior_mean"] == mean
    assert again.surprise["miss"][1] < sd


def test_data_behind_the_prior_do_not_count_twice() -> None:
    found = fit.fit_league(pitches(1500, seed=1), prior=BUILT_IN, learn_surprise=False)
    assert found.surprise["miss"] == SURPRISE_MISS
    assert "surprise" not in found.data
