"""What their pitcher usually throws, and what our hitters can sit on."""

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.reports.opponent_text import opponent_text
from sequencer.review.coded import encode
from sequencer.review.mixes import FEWEST, MOST, OTHERS, mixes, sit_on
from sequencer.review.review import review
from sequencer.review.statistics import wilson
from tests.review import simulate

BEHIND = simulate.plant(
    lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS, "pitch", "fastball", 0.45
)


@pytest.fixture(scope="module")
def theirs() -> pd.DataFrame:
    return simulate.log(500, seed=3, habit=BEHIND, pitcher="Rook").assign(pitching="them")


def test_shares_are_those_counted_with_their_wilson_interval(theirs: pd.DataFrame) -> None:
    rows = mixes(encode(theirs, "them"))
    first = next(each for each in rows if (each.when, each.bats) == ("first pitch", ""))
    counted = theirs[(theirs["balls"] == 0) & (theirs["strikes"] == 0)]["pitch"]
    assert first.pitches == len(counted)
    assert first.counts == counted.value_counts().to_dict()
    share = float((counted == "fastball").mean())
    told, interval = first.share("fastball")
    assert told == pytest.approx(share)
    assert interval == wilson(int((counted == "fastball").sum()), len(counted))


def test_by_side_the_rows_add_up_to_both(theirs: pd.DataFrame) -> None:
    rows = {(each.when, each.bats): each for each in mixes(encode(theirs, "them"))}
    for pitch, count in rows["all", ""].counts.items():
        assert count == rows["all", "R"].counts[pitch] + rows["all", "L"].counts[pitch]


def test_situations_seen_seldom_are_left_out() -> None:
    log = encode(simulate.log(40, seed=1))
    assert all(each.pitches >= FEWEST for each in mixes(log))
    assert mixes(encode(simulate.log(6, seed=1))) == ()


def test_many_types_are_told_as_the_commonest_and_others(theirs: pd.DataFrame) -> None:
    rng = np.random.default_rng(0)
    words = ["fastball", "cutter", "slider", "changeup", "splitter", "curveball"]
    many = theirs.assign(pitch=rng.choice(words, len(theirs)))
    rows = mixes(encode(many, "them"))
    assert all(len(each.counts) == MOST for each in rows)
    assert all(sum(each.counts.values()) == each.pitches for each in rows)
    assert OTHERS in rows[0].counts
    assert not any(OTHERS in said for said in sit_on(rows, ()))


def test_what_surely_comes_is_what_to_sit_on(theirs: pd.DataFrame) -> None:
    counted = theirs[
        [pair in HITTERS_COUNTS for pair in zip(theirs.balls, theirs.strikes, strict=True)]
    ]
    fast = int((counted["pitch"] == "fastball").sum())
    said = sit_on(mixes(encode(theirs, "them")), ())
    assert f"In hitter's counts he throws the fastball {fast} of {len(counted)}: sit on it." in said
    assert not any("pitcher's counts" in each for each in said)


def test_of_one_who_mixes_there_is_nothing_to_sit_on() -> None:
    log = simulate.log(300, seed=4).assign(pitching="them")
    assert sit_on(mixes(encode(log, "them")), ()) == ()
    text = opponent_text(review(log, whose="them"))
    assert "Nothing to sit on" in text


def test_one_who_throws_one_pitch_is_told_once_in_any_count(theirs: pd.DataFrame) -> None:
    rng = np.random.default_rng(0)
    fast = theirs.assign(pitch=np.where(rng.random(len(theirs)) < 0.9, "fastball", "curveball"))
    said = sit_on(mixes(encode(fast, "them")), ())
    assert said[-1].startswith("In any count he throws the fastball ")
    assert len(said) <= 3


def test_a_side_that_differs_is_told_with_the_side() -> None:
    habit = simulate.plant(lambda now, _p: now["bats"] == "L", "pitch", "changeup", 0.7)
    log = simulate.log(500, seed=3, habit=habit).assign(pitching="them")
    said = sit_on(mixes(encode(log, "them")), ())
    assert any(
        each.startswith("To our left-handed hitters he throws the changeup") for each in said
    )


def test_where_a_pitch_goes_is_told_from_the_habits_found() -> None:
    habit = simulate.plant(lambda _n, pitch: pitch["pitch"] == "changeup", "side", "away", 0.6)
    log = simulate.log(500, seed=3, habit=habit).assign(pitching="them")
    (rook,) = review(log, whose="them").pitchers
    said = sit_on(rook.mixes, rook.findings)
    assert any(
        each.startswith("When he throws the changeup it goes away ")
        and each.endswith(": look for it there.")
        for each in said
    )


def test_the_page_is_for_a_hitter_and_fits(theirs: pd.DataFrame) -> None:
    ours = simulate.log(300, seed=9)
    found = review(pd.concat([ours, theirs]), whose="them")
    assert [each.name for each in found.pitchers] == ["Rook"]
    assert (found.callers, found.catchers, found.ledger) == ((), (), ())
    text = opponent_text(found)
    assert max(len(line) for line in text.splitlines()) <= 80
    for words in ("sit on it", "What he usually throws", "To our right-handed hitters", "trust"):
        assert words in text
    for words in ("Bullpen", "The plan", "Where the runs came from"):
        assert words not in text


def test_one_game_says_so_and_gives_counts(theirs: pd.DataFrame) -> None:
    text = opponent_text(review(theirs[theirs["game"] == "game 1"], whose="them"))
    assert "One game: he may throw quite otherwise the next time." in text
    assert "What he usually throws" in text


def test_the_json_has_the_usual_names_and_the_mixes(theirs: pd.DataFrame) -> None:
    found = review(theirs, whose="them").as_json()
    assert set(found) >= {"pitches", "pitchers", "callers", "catchers", "ledger"}
    pitchers = found["pitchers"]
    assert isinstance(pitchers, list)
    assert {"pitcher", "patterns", "reader", "mixes", "look_for"} <= set(pitchers[0])
    assert pitchers[0]["fixes"] == []


def test_a_log_without_their_pitches_is_a_sentence() -> None:
    text = opponent_text(review(simulate.log(50, seed=1), whose="them"))
    assert text == "There are no pitches to our own hitters in this log (pitching: them).\n"
