"""Whether a habit found before is going away, by exact tests, and when there are too few."""

from typing import Any

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.review.coded import encode
from sequencer.review.findings import look_for
from sequencer.review.follow_up import FollowUp, follow_up, is_what, settled
from sequencer.review.patterns import by_count
from tests.review import simulate

BEHIND = simulate.plant(
    lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS, "pitch", "fastball", 0.4
)


def _by_count(some: Any, name: str) -> Any:
    return look_for(some, seed=0, name=name, patterns=(by_count.PATTERN,))


def followed(before: pd.DataFrame, since: pd.DataFrame) -> tuple[FollowUp, ...]:
    later = since.assign(game="since " + since["game"], date="2026-06" + since["date"].str[7:])
    log = encode(pd.concat([before, later]))
    return follow_up(log, log.row >= len(before), _by_count, name="Ames", split="2026-06-01")


@pytest.mark.parametrize(
    ("before", "since", "usual", "verdict"),
    [
        ((31, 40), (9, 21), 0.5, "going away"),
        ((38, 40), (60, 100), 0.4, "going away, not yet gone"),
        ((38, 40), (20, 21), 0.5, "still there"),
        ((38, 40), (3, 4), 0.5, "too few pitches to say"),
        ((38, 40), (0, 0), 0.5, "too few pitches to say"),
        ((31, 40), (14, 21), 0.5, "too few pitches to say"),
    ],
)
def test_the_verdict(
    before: tuple[int, int], since: tuple[int, int], usual: float, verdict: str
) -> None:
    assert settled(before, since, usual)[0] == verdict


def test_the_p_values_are_those_of_scipy() -> None:
    from scipy.stats import binomtest, fisher_exact

    _, lower, above = settled((31, 40), (9, 21), 0.3)
    assert lower == pytest.approx(fisher_exact([[31, 9], [9, 12]], "greater").pvalue)
    assert above == pytest.approx(binomtest(9, 21, 0.3, "greater").pvalue)


def test_a_habit_that_was_dropped_is_going_away_and_said_so() -> None:
    told = followed(simulate.log(480, seed=1, habit=BEHIND), simulate.log(180, seed=2))
    habit = next(each for each in told if each.finding.contrast.what.get("pitch") == "fastball")
    assert habit.verdict == "going away"
    assert habit.says.startswith("In hitter's counts he throws the fastball: ")
    assert f" before, {habit.count} of {habit.pitches} since (usual " in habit.says
    assert habit.says.endswith("): going away.")
    assert habit.as_json()["verdict"] == "going away"


def test_a_habit_that_was_kept_is_still_there() -> None:
    told = followed(
        simulate.log(480, seed=1, habit=BEHIND), simulate.log(180, seed=2, habit=BEHIND)
    )
    assert {each.verdict for each in told} == {"still there"}


def test_a_handful_of_pitches_is_too_few_to_say() -> None:
    told = followed(simulate.log(480, seed=1, habit=BEHIND), simulate.log(10, seed=2))
    assert told
    assert {each.verdict for each in told} == {"too few pitches to say"}


def test_a_habit_that_never_changed_is_seldom_told_as_going_away() -> None:
    gone = told = 0
    for seed in range(12):
        log = encode(simulate.log(300, seed=seed, habit=BEHIND))
        found = follow_up(log, log.game >= 4, _by_count, name="Ames", split="the last game")
        told += len(found)
        gone += sum(each.verdict.startswith("going away") for each in found)
    assert told >= 10
    assert gone <= 2


def test_with_one_game_before_there_is_nothing_to_follow() -> None:
    log = encode(simulate.log(120, seed=1, habit=BEHIND))
    assert follow_up(log, log.game >= 1, _by_count, name="Ames", split="") == ()
    assert follow_up(log, log.game >= 9, _by_count, name="Ames", split="") == ()


@pytest.mark.parametrize(
    ("what", "column", "word"),
    [
        ({"pitch": "curveball", "family": "breaking"}, "pitch", "curveball"),
        ({"family": "fast"}, "pitch", "fastball"),
    ],
)
def test_what_a_finding_speaks_of_is_met_by_these_pitches(
    what: dict[str, str], column: str, word: str
) -> None:
    frame = simulate.log(100, seed=1)
    assert np.array_equal(is_what(what, encode(frame)), (frame[column] == word).to_numpy())


def test_sides_heights_and_repeats_are_met_too() -> None:
    frame = simulate.log(100, seed=1)
    log = encode(frame)
    cell = frame["cell"].str
    assert np.array_equal(is_what({"side": "in"}, log), cell.endswith("-in").to_numpy())
    assert np.array_equal(is_what({"height": "up"}, log), cell.startswith("up-").to_numpy())
    again = (frame["pitch"] == frame["pitch"].shift()) & (frame["pitch_no"] > 1)
    assert np.array_equal(is_what({"repeat": True}, log), again.to_numpy())
