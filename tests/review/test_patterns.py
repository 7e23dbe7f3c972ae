"""Every pattern of the list: quiet on shuffled logs, loud on its own habit, and no side effects."""

from functools import cache

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.review import whole_games
from sequencer.review.chains import answer_by_chain
from sequencer.review.coded import Coded, encode
from sequencer.review.findings import look_for
from sequencer.review.patterns import PATTERNS
from sequencer.review.question import Pattern, ask
from sequencer.review.screen import answer
from tests.review import simulate

HABITS = {
    "count": simulate.plant(
        lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS, "pitch", "curveball", 0.5
    ),
    "first pitch": simulate.plant(
        lambda now, _p: (now["balls"], now["strikes"]) == (0, 0), "pitch", "curveball", 0.5
    ),
    "previous pitch": simulate.plant(
        lambda now, _p: now["previous"] == "curveball", "pitch", "changeup", 0.6
    ),
    "side by type": simulate.plant(lambda _n, p: p["pitch"] == "changeup", "side", "away", 0.6),
    "type by side": simulate.plant(lambda _n, p: p["pitch"] == "changeup", "side", "in", 0.6),
    "height by type": simulate.plant(
        lambda _n, p: p["pitch"] == "curveball", "height", "down", 0.6
    ),
    "hitter side": simulate.plant(lambda now, _p: now["bats"] == "L", "pitch", "changeup", 0.5),
    "bases": simulate.plant(lambda now, _p: bool(now["on_third"]), "pitch", "changeup", 0.6),
    "outs": simulate.plant(lambda now, _p: now["outs"] == 2, "pitch", "changeup", 0.5),
    "time through the order": simulate.plant(
        lambda now, _p: now["at_bat"] > 9, "pitch", "changeup", 0.5
    ),
    "catcher": simulate.plant(lambda now, _p: now["catcher"] == "Boyd", "pitch", "changeup", 0.5),
    "caller": simulate.plant(lambda now, _p: now["caller"] == "coach", "pitch", "changeup", 0.5),
}


@cache
def quiet(seed: int) -> Coded:
    """Eight games of a pitcher without habits whose mix drifts from game to game."""
    return encode(simulate.log(320, seed=100 + seed, per_game=40, drift=0.5))


def test_every_pattern_has_an_id_of_its_own_and_a_planted_habit_here() -> None:
    assert len({pattern.id for pattern in PATTERNS}) == len(PATTERNS)
    assert {pattern.id for pattern in PATTERNS} == set(HABITS)


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.id)
def test_a_planted_habit_is_found(pattern: Pattern) -> None:
    frame = simulate.log(1200, seed=5, habit=HABITS[pattern.id])
    findings, could_find = look_for(encode(frame), seed=1, name="Ames", patterns=(pattern,))
    best = findings[0]
    assert best.flagged
    assert best.share > best.expected_share
    assert best.interval[0] < best.gain < best.interval[1]
    assert best.interval[0] > 0
    assert 0 < could_find[pattern.id] < 60


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.id)
def test_logs_without_a_habit_ring_no_more_than_their_rate(pattern: Pattern) -> None:
    p = []
    for seed in range(40):
        log = quiet(seed)
        question = ask(pattern, log)
        assert question is not None
        rng = np.random.default_rng(seed)
        if pattern.repeats:
            tested = answer_by_chain(question, log, rng)
        elif pattern.whole_games and whole_games.is_whole(question, log):
            question = whole_games.majority(question, log)
            tested = whole_games.answer_by_game(question, log, rng)
        else:
            tested = answer(question, rng)
        assert tested is not None
        p.append(tested.p)
    # 40 logs at .1: four expected; more than eleven once in two thousand such tests
    assert (np.array(p) <= 0.1).sum() <= 11
    assert min(p) > 0


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.id)
def test_asking_changes_nothing_and_gives_the_same_answer_again(pattern: Pattern) -> None:
    frame = simulate.log(200, seed=8)
    before = frame.copy(deep=True)
    first, _ = look_for(encode(frame), seed=3, name="Ames", patterns=(pattern,))
    again, _ = look_for(encode(frame), seed=3, name="Ames", patterns=(pattern,))
    pd.testing.assert_frame_equal(frame, before)
    assert [each.p for each in first] == [each.p for each in again]


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.id)
def test_a_log_without_its_column_is_not_asked(pattern: Pattern) -> None:
    bare = simulate.log(200, seed=8)[["game", "pitcher", "hitter", "at_bat", "pitch_no", "result"]]
    assert ask(pattern, encode(bare)) is None
