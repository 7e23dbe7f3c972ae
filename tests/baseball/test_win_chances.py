"""Runs to come from every state, and chances to win: properties, and open games beside them."""

from functools import cache

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.half_innings import HalfInning, half_inning, state_of
from sequencer.baseball.rules import RULES, RuleSet, rule_set
from sequencer.baseball.run_tables import STANDARD, scaled
from sequencer.baseball.situation import EMPTY, Bases
from sequencer.baseball.win_chances import Score, WinChances, win_chances
from sequencer.errors import BadInput
from tests.baseball import win_chances as counted

LEADS = st.integers(-6, 6)
HALVES = st.sampled_from(["top", "bottom"])
INNINGS = st.integers(1, 12)
STATES = st.integers(0, 23)
GAMES = st.sampled_from([RULES[name] for name in ("pro", "high-school", "youth-46-young")])


def chances(rules: RuleSet) -> WinChances:
    return win_chances(rules, 6.0)


@given(st.floats(2.0, 12.0))
def test_a_half_brings_the_runs_it_was_made_for(runs: float) -> None:
    half = half_inning(round(runs, 1))
    assert half.runs.sum(axis=1) == pytest.approx(np.ones(24))
    assert (half.runs >= -1e-12).all()
    assert 9.0 * half.expected[0] == pytest.approx(round(runs, 1), abs=0.01)


def test_scoring_that_no_chain_brings_is_refused() -> None:
    with pytest.raises(BadInput, match="runs a game"):
        half_inning(200.0)


def test_errors_and_loose_balls_of_a_level_change_how_runs_come_but_not_how_many() -> None:
    plain, loose = half_inning(8.0), half_inning(8.0, error_share=0.15, loose=0.12)
    assert loose.expected[0] == pytest.approx(plain.expected[0], abs=0.01)
    on_third = state_of(("", "", "3"), 2)
    assert 1.0 - loose.runs[on_third, 0] > 1.0 - plain.runs[on_third, 0] + 0.02


def test_expected_runs_of_the_chain_come_near_the_published_table() -> None:
    chain = half_inning(STANDARD.runs_per_game).expected.reshape(3, 8).T
    gaps = np.abs(chain - np.array(scaled(STANDARD, STANDARD.runs_per_game).values))
    assert gaps.mean() < 0.035 and gaps.max() < 0.15


def test_a_run_limit_ends_a_half() -> None:
    half = half_inning(9.0)
    cut = half.limited(2)
    assert cut.sum(axis=1) == pytest.approx(np.ones(24))
    assert cut[:, 3:].sum() == 0.0
    assert cut[:, 2] == pytest.approx(half.runs[:, 2:].sum(axis=1))
    assert half.limited(0)[:, 0] == pytest.approx(np.ones(24))


@given(GAMES)
def test_an_even_game_is_even(rules: RuleSet) -> None:
    game = chances(rules)
    assert game.home(Score(1, "top")) == pytest.approx(0.5, abs=1e-3)
    assert game.home(Score(rules.innings + 1, "top")) == pytest.approx(0.5, abs=0.2)
    assert 0.06 < game.run < 0.14


@given(GAMES, INNINGS, HALVES, LEADS, STATES)
def test_a_longer_lead_never_lowers_the_chance(
    rules: RuleSet, inning: int, half: str, lead: int, state: int
) -> None:
    game = chances(rules)
    less, more = (game.table(Score(inning, half, home))[0, state] for home in (lead, lead + 1))
    assert -1e-12 <= less <= more + 1e-12 <= 1.0 + 2e-12


@given(st.sampled_from([RULES["pro"], RULES["high-school"]]), INNINGS, HALVES, LEADS, STATES)
def test_the_chance_now_is_the_mean_of_the_chances_after_the_next_hitter(
    rules: RuleSet, inning: int, half: str, lead: int, state: int
) -> None:
    game, score = chances(rules), Score(inning, half, lead)
    table, next_hitter = game.table(score), game.half
    mean = sum(float(next_hitter.moves[k, state] @ table[k, :24]) for k in range(5))
    mean += float(next_hitter.ends[state]) * table[0, 24]
    assert table[0, state] == pytest.approx(mean, abs=1e-9)


@given(LEADS)
def test_both_sides_have_the_same_chances_before_the_first_pitch(lead: int) -> None:
    game = chances(rule_set("pro"))
    home, away = game.home(Score(1, "top", lead)), game.home(Score(1, "top", -lead))
    assert home + away == pytest.approx(1.0, abs=1e-9)


def test_one_run_is_all_that_counts_in_the_last_half_of_a_tie() -> None:
    game = chances(rule_set("pro"))
    for bases in (EMPTY, ("", "", "3"), ("1", "2", "3")):
        scores = 1.0 - game.half.runs[state_of(bases, 1), 0]
        assert game.home(Score(9, "bottom"), bases, 1) == pytest.approx(scores + (1 - scores) / 2)
    assert game.home(Score(9, "bottom", 1), EMPTY, 0) == 1.0
    assert game.home(Score(9, "top", 1), EMPTY, 3) == 1.0


def test_a_run_rule_ends_a_game() -> None:
    game = chances(rule_set("high-school"))
    assert game.home(Score(5, "bottom", 10)) == 1.0
    assert game.home(Score(5, "bottom", -10), EMPTY, 3) == 0.0
    assert 0.0 < game.home(Score(4, "bottom", -10)) < 0.05


def test_a_runner_placed_in_extra_innings_counts() -> None:
    game = chances(rule_set("pro"))
    placed: Bases = ("", "2", "")
    assert game.home(Score(10, "top"), placed) == pytest.approx(0.5, abs=1e-9)
    assert game.home(Score(10, "top"), EMPTY) > 0.55


def test_a_half_that_is_no_half_is_refused() -> None:
    with pytest.raises(BadInput, match="no middle of inning"):
        Score(3, "middle")


# open games

OPEN = pytest.mark.skipif(bool(counted.MISSING), reason=counted.MISSING or "open data")


@cache
def games() -> pd.DataFrame:
    return counted.plate_appearances()


@cache
def chain() -> HalfInning:
    return half_inning(counted.runs_per_game(games()))


@OPEN
def test_half_innings_score_as_often_as_counted_ones() -> None:
    # Retrosheet 2016, 2019, 2020 (see `count_table.NOTICE`), halves that were played out.
    begun = games()[games()["inning"] <= 8].drop_duplicates("half_id")["come"].dropna()
    shares = [float((begun == runs).mean()) for runs in range(7)]
    assert chain().runs[0, :7] == pytest.approx(shares, abs=0.004)


@OPEN
def test_every_state_scores_about_as_often_as_counted() -> None:
    played = games()[games()["come"].notna() & (games()["inning"] <= 8)]
    scored = (played["come"] > 0).groupby(played["state"]).mean().to_numpy()
    gaps = np.abs(1.0 - chain().runs[:, 0] - scored)
    assert gaps.max() < 0.045 and gaps.mean() < 0.012


@OPEN
def test_chances_to_win_are_as_often_won() -> None:
    kept = counted.nine_innings(games())
    found = win_chances(rule_set("pro"), counted.runs_per_game(games()))
    said = counted.both_ways(kept, counted.expected(kept, found))
    tenths = said.groupby((said["chance"] * 10).astype(int).clip(0, 9))[["chance", "won"]].mean()
    # Sides differ in strength and the model's do not, so leaders win a little more.
    assert (tenths["chance"] - tenths["won"]).abs().max() < 0.035
    close = said[said["lead"].abs() <= 3].groupby(["inning", "lead"])[["chance", "won"]].mean()
    assert (close["chance"] - close["won"]).abs().mean() < 0.02
