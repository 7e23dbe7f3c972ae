"""Hitters who are thrown different mixes: told from the log, held, and no habit."""

import numpy as np
import pandas as pd
import pytest

from sequencer.review.by_hitter import alike, differing
from sequencer.review.coded import encode
from sequencer.review.findings import Finding, look_for
from sequencer.review.patterns import hitter_side, previous
from sequencer.review.review import review
from tests.review import simulate

REPEATS = simulate.plant(lambda now, _p: now["previous"] == "fastball", "pitch", "fastball", 0.35)


def by_hitter(seed: int, hitters: int = 18, pitches: int = 300, close: float = 8.0) -> pd.DataFrame:
    """Return a log in which every hitter is thrown a mix of his own, and nothing else is told."""
    rng = np.random.default_rng([seed, 1])
    log = simulate.log(pitches, seed=seed)
    nth = log.groupby(["game", "at_bat"], sort=False).ngroup().to_numpy() % hitters
    mixes = rng.dirichlet(close * np.array([0.5, 0.25, 0.25]), size=hitters)
    drawn = (rng.random(len(log))[:, None] > np.cumsum(mixes, axis=1)[nth]).sum(axis=1)
    types = np.array(["fastball", "curveball", "changeup"])
    names = np.char.add("Hitter ", nth.astype(str))
    bats = np.where(nth % 3 == 0, "L", "R")
    return log.assign(hitter=names, hitter_no="", bats=bats, pitch=types[drawn], called="")


def told(log: pd.DataFrame, seed: int = 0) -> list[Finding]:
    return look_for(encode(log), seed=seed, name="Ames")[0]


def test_hitters_who_are_thrown_mixes_of_their_own_are_told_from_those_who_are_not() -> None:
    differ = [bool("pitch" in differing(encode(by_hitter(seed)))) for seed in range(20)]
    alike_ones = [
        bool("pitch" in differing(encode(by_hitter(seed, close=1e6)))) for seed in range(60)
    ]
    assert sum(differ) >= 18
    # three of sixty expected; more than nine once in a thousand such tests
    assert sum(alike_ones) <= 9


def test_a_pitcher_who_repeats_himself_is_not_taken_for_one_who_goes_by_the_hitter() -> None:
    repeats = [
        bool("pitch" in differing(encode(simulate.log(300, seed=seed, habit=REPEATS))))
        for seed in range(40)
    ]
    assert sum(repeats) <= 7


def test_mixes_by_hitter_do_not_look_like_a_habit_after_the_last_pitch() -> None:
    rings = 0
    for seed in range(30):
        log = encode(by_hitter(seed))
        findings, _ = look_for(log, seed=seed, name="Ames", patterns=(previous.PATTERN,))
        rings += any(each.flagged for each in findings)
    # one question alone at .05: more than five once in three hundred such tests
    assert rings <= 5


def test_where_hitters_differ_their_side_is_told_by_shuffling_hitters_or_not_at_all() -> None:
    few, _ = look_for(
        encode(by_hitter(2, hitters=6)), seed=0, name="Ames", patterns=(hitter_side.PATTERN,)
    )
    assert few[0].why_not == "differs by hitter: hitter's side and hitter cannot be told apart"
    many = encode(by_hitter(2, close=4.0))
    assert "pitch" in differing(many)
    found, could = look_for(many, seed=0, name="Ames", patterns=(hitter_side.PATTERN,))
    assert not found[0].why_not
    assert could["hitter side"] > 20.0


def test_the_side_of_hitters_who_differ_can_still_be_a_habit() -> None:
    log = by_hitter(3, hitters=24, pitches=900)
    rng = np.random.default_rng(5)
    lefts = (log["bats"] == "L") & (rng.random(len(log)) < 0.7)
    habit = encode(log.assign(pitch=log["pitch"].mask(lefts, "changeup")))
    assert "pitch" in differing(habit)
    findings, _ = look_for(habit, seed=0, name="Ames", patterns=(hitter_side.PATTERN,))
    assert findings[0].flagged


def test_a_review_says_that_the_mix_goes_by_the_hitter() -> None:
    said = "What he throws goes by the hitter"
    (ames,) = review(by_hitter(1)).pitchers
    assert any(said in note for note in ames.notes)
    (other,) = review(simulate.log(300, seed=1)).pitchers
    assert not any(said in note for note in other.notes)


def test_at_bats_alike_in_themselves_say_nothing_of_hitters() -> None:
    off = np.repeat([[1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, 1.0]], 3, axis=0)
    at_bat = np.repeat(np.arange(4), 3)
    assert alike(off, at_bat, np.repeat([1, 1, 2, 2], 3)) < 0.0
    # by hand: two hitters, their at-bats 3 and 3 off, products 18 each way; 72 / sqrt(2 * 4 * 18^2)
    assert alike(off, at_bat, np.repeat([1, 2, 1, 2], 3)) == pytest.approx(72 / np.sqrt(2592))
    assert alike(off, at_bat, np.zeros(12, dtype=int)) == 0.0
