"""The reading opponent of a review sees what a dugout sees, and is scored on what he says."""

import numpy as np
import pytest
from numpy.typing import NDArray

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.estimates.next_pitch import Seen, forward, watched_in
from sequencer.review.coded import encode
from sequencer.review.reader import WATCHED_FIRST, read, seen_of
from tests.review import simulate


def test_a_review_and_the_dugout_see_the_same() -> None:
    frame = simulate.log(150, seed=3)
    mine, rows = seen_of(encode(frame))
    theirs, _ = watched_in(frame).seen()
    assert rows.tolist() == list(range(150))
    for name in ("count", "card row", "came of it", "nth pitch", "time through", "outs", "bases"):
        assert mine.columns[name].tolist() == theirs.columns[name].tolist(), name
    assert forward(mine).nats(forward(mine).reader) == pytest.approx(
        forward(theirs).nats(forward(theirs).reader)
    )


def test_pitches_of_unknown_type_are_passed_over() -> None:
    frame = simulate.log(120, seed=3)
    frame.loc[frame.index[10:20], "pitch"] = "unknown"
    seen, rows = seen_of(encode(frame))
    assert len(seen) == 110
    assert 15 not in rows
    assert read(encode(frame), np.random.default_rng(0)).scored == 110 - WATCHED_FIRST


def test_two_pitchers_of_one_game_are_counted_through_the_order_apart() -> None:
    frame = simulate.log(120, seed=3, per_game=120)
    frame.loc[frame["at_bat"] > 12, "pitcher"] = "Boyd"
    times = seen_of(encode(frame))[0].columns["time through"]
    assert times[(frame["at_bat"] == 12).to_numpy()].tolist()[0] == 1
    assert times[(frame["at_bat"] == 13).to_numpy()].tolist()[0] == 0


def test_a_mind_from_outside_is_weighed_where_it_is_asked_for() -> None:
    log = encode(simulate.log(200, seed=5))

    def knows(own: Seen) -> NDArray[np.float64]:
        sure = np.where(own.label[:, None] == np.arange(own.labels), 0.98, 0.02 / 2)
        return np.asarray(sure / sure.sum(axis=1, keepdims=True))

    told = read(log, np.random.default_rng(0), {"knows": knows})
    plain = read(log, np.random.default_rng(0))
    assert told.guess_rate is not None
    assert plain.guess_rate is not None
    assert told.guess_rate > 0.95 > plain.guess_rate


def test_where_he_is_read_best_is_told_and_only_where_it_is_no_chance() -> None:
    def habit(now: simulate.Situation, _rng: object, pitch: dict[str, str]) -> dict[str, str]:
        in_hitters = (now["balls"], now["strikes"]) in HITTERS_COUNTS
        return {**pitch, "pitch": "curveball"} if in_hitters else pitch

    told = read(encode(simulate.log(900, seed=5, habit=habit)), np.random.default_rng(0))
    assert "He is read best in hitter's counts" in told.says
    best = {each.counts: each for each in told.where}["hitter's"]
    assert best.guess_rate > 0.95
    even = {each.counts: each for each in told.where}["even"]
    assert even.interval[0] < even.guess_rate < even.interval[1]
    plain = read(encode(simulate.log(900, seed=6)), np.random.default_rng(0))
    assert "read best" not in plain.says
    assert sum(each.scored for each in plain.where) <= plain.scored
