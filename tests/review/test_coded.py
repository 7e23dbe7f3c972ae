"""The log as coded columns: order, people, places, what was asked for and what was thrown."""

from dataclasses import fields
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball import zone
from sequencer.baseball.levels import level
from sequencer.review import before
from sequencer.review.coded import HEIGHTS, SIDES, Coded, encode, height_of, side_of
from tests.review import simulate


def one(**pitch: Any) -> pd.DataFrame:
    plain = {"game": "g", "pitcher": "Ames", "hitter": "h", "at_bat": 1, "pitch_no": 1}
    return pd.DataFrame([{**plain, "pitch": "fastball", "result": "ball", **pitch}])


@pytest.mark.parametrize(
    ("word", "side", "height"),
    [
        ("down-away", "away", "down"),
        ("belt-off-in", "in", "belt"),
        ("above-middle", "middle", "up"),
        ("high-in", "in", "up"),
        ("in", "in", ""),
        ("low", "", "down"),
        ("off-away", "away", ""),
        ("below", "", "down"),
        ("middle", "middle", "belt"),
        ("unknown", "", ""),
    ],
)
def test_a_place_is_a_side_and_a_height(word: str, side: str, height: str) -> None:
    assert side_of(word) == (SIDES.index(side) if side else -1)
    assert height_of(word) == (HEIGHTS.index(height) if height else -1)


@given(st.sampled_from(zone.CELLS), st.sampled_from("RL"))
@settings(max_examples=50, deadline=None)
def test_inches_give_the_cell_they_are_in(cell: str, bats: str) -> None:
    side, height = zone.centre_of(zone.to_catcher(cell, bats), level("").zone)
    measured = encode(one(side_in=side, height_in=height, bats=bats))
    charted = encode(one(cell=cell, bats=bats))
    assert (measured.side[0], measured.height[0]) == (charted.side[0], charted.height[0])


def test_inches_without_a_side_or_off_the_map_are_no_place() -> None:
    assert encode(one(side_in=0.0, height_in=30.0)).side[0] == -1
    assert encode(one(side_in=300.0, height_in=30.0, bats="R")).side[0] == -1


def test_the_hitters_own_zone_comes_before_his_levels() -> None:
    short = one(side_in=0.0, height_in=30.0, bats="R", top_in=28.0, bottom_in=14.0)
    assert encode(short).height[0] == HEIGHTS.index("up")


def test_rows_in_any_order_are_read_in_the_order_of_play() -> None:
    frame = simulate.log(150, seed=1)
    mixed = frame.sample(frac=1.0, random_state=3)
    log = encode(mixed)
    names = [log.words.pitches[code] for code in log.pitch]
    assert names == frame["pitch"].tolist()
    assert mixed.iloc[log.row]["pitch"].tolist() == names


@pytest.mark.parametrize("name", [f.name for f in fields(Coded) if f.name not in ("words", "row")])
def test_no_column_depends_on_the_order_of_rows_or_on_who_else_pitched(name: str) -> None:
    frame = simulate.log(240, seed=1).assign(hitter_id="")
    alone = getattr(encode(frame), name)
    mixed = encode(frame.sample(frac=1.0, random_state=3))
    assert (getattr(mixed, name) == alone).all()
    other = encode(pd.concat([frame, simulate.log(240, seed=2, pitcher="Dorn")]))
    mine = getattr(other.only(other.pitcher == 0), name)
    numbered = name in ("order", "at_bat")  # over the whole log
    assert numbered or (mine == alone).all()


def test_the_pitch_before_is_of_the_same_at_bat() -> None:
    frame = simulate.log(150, seed=1)
    log = encode(frame)
    first = (frame["pitch_no"] == 1).to_numpy()
    assert (log.previous[first] == -1).all()
    assert (log.previous[~first] == log.pitch[np.flatnonzero(~first) - 1]).all()


def test_times_through_count_meetings_of_the_day() -> None:
    log = encode(simulate.log(200, seed=1, per_game=100))
    frame = simulate.log(200, seed=1, per_game=100)
    assert log.time_through.tolist() == ((frame["at_bat"] - 1) // 9 + 1).tolist()


def test_two_pitchers_of_one_name_stay_two() -> None:
    frame = pd.concat(
        [
            simulate.log(20, seed=1).assign(pitcher_id="a"),
            simulate.log(20, seed=2).assign(pitcher_id="b"),
        ]
    )
    log = encode(frame)
    assert log.words.pitchers == ("Ames", "Ames")
    assert set(log.pitcher.tolist()) == {0, 1}


def test_a_call_is_read_from_four_pitches_in_five() -> None:
    frame = simulate.log(100, seed=1).assign(called="", target="")
    charted = np.arange(100) % 5 > 0
    frame.loc[charted, ["called", "target"]] = ["changeup", "low-in"]
    log = encode(frame)
    changeup = log.words.pitches.index("changeup")
    assert (log.pitch[charted] == changeup).all()
    assert (log.side[charted] == SIDES.index("in")).all()
    assert (log.side[~charted] == -1).all()
    frame.loc[charted.nonzero()[0][0], ["called", "target"]] = ["", ""]
    thrown = encode(frame)
    assert not thrown.by_call.any()
    assert [thrown.words.pitches[code] for code in thrown.pitch] == frame["pitch"].tolist()


def test_a_target_set_after_the_result_is_not_what_was_asked() -> None:
    frame = simulate.log(50, seed=1).assign(target="low-in", target_when="after")
    charted = encode(simulate.log(50, seed=1))
    assert (encode(frame).side == charted.side).all()


def test_their_pitches_are_read_when_asked_for_and_a_log_that_does_not_say_is_ours() -> None:
    ours = simulate.log(30, seed=1)
    both = pd.concat([ours, simulate.log(20, seed=2, pitcher="Dorn").assign(pitching="them")])
    assert encode(both).words.pitchers == ("Ames",)
    theirs = encode(both, whose="them")
    assert (theirs.words.pitchers, len(theirs)) == (("Dorn",), 20)
    silent = ours.drop(columns="pitching")
    assert (len(encode(silent)), len(encode(silent, whose="them"))) == (30, 0)


def innings(*rows: dict[str, Any], **same: Any) -> Coded:
    """Return pitches of one game, each row changing what it names of the one before."""
    now: dict[str, Any] = {"game": "g", "pitcher": "Ames", "hitter": "h", "pitch": "fastball"}
    now |= {"inning": 1, "half": "top", "at_bat": 1, "pitch_no": 1, "balls": 0, "strikes": 0}
    log = []
    for row in rows:
        now = {**now, **row, **same}
        log.append(now)
    return encode(pd.DataFrame(log))


def words(codes: Any, known: tuple[str, ...]) -> list[str]:
    return [known[code] if code >= 0 else "" for code in codes.tolist()]


def test_what_the_last_pitch_came_to_is_of_the_at_bat_and_pitch_outs_count() -> None:
    log = innings(
        {"result": "ball", "cell": "below-away"},
        {"pitch_no": 2, "balls": 1, "result": "called strike", "cell": "down-in"},
        {"pitch_no": 3, "strikes": 1, "result": "foul", "contact": "square"},
        {"pitch_no": 4, "strikes": 2, "result": "ball", "intent": "pitch-out", "contact": ""},
        {"pitch_no": 5, "balls": 2, "result": "ball", "intent": "", "note": "a Wild pitch, 1 to 2"},
        {"pitch_no": 6, "balls": 3, "result": "unknown", "note": ""},
        {"pitch_no": 7, "result": "in play", "play": "single"},
        {"at_bat": 2, "pitch_no": 1, "balls": 0, "strikes": 0, "result": "ball"},
    )
    assert words(log.last_result, before.LAST_PITCH) == [
        *("", "ball", "called strike", "ball", "ball", "", ""),
    ]
    assert words(log.last_event, before.EVENTS) == [
        *("", "in the dirt", "anything else", "anything else", "in the dirt", "", ""),
    ]
    assert log.game_pitch.tolist() == [1, 2, 3, 5, 6, 7, 8]


@pytest.mark.parametrize(
    ("last", "came_to"),
    [
        ({"result": "in play", "play": "double"}, "hit or walk"),
        ({"result": "ball", "balls": 3}, "hit or walk"),
        ({"result": "in play", "play": "out"}, "out"),
        ({"result": "swinging strike", "strikes": 2}, "out"),
        ({"result": "foul", "strikes": 2, "bunt": True}, "out"),
        ({"result": "swinging strike", "strikes": 2, "third_strike": "dropped"}, ""),
        ({"result": "in play", "play": "error"}, ""),
        ({"result": "hit by pitch"}, ""),
        ({"result": "foul", "strikes": 2}, ""),
    ],
)
def test_what_became_of_the_last_hitter_is_told_of_first_pitches(
    last: dict[str, Any], came_to: str
) -> None:
    new = {"balls": 0, "strikes": 0, "bunt": False, "third_strike": "", "play": ""}
    next_hitter = {**new, "at_bat": 2, "result": "ball"}
    log = innings(last, next_hitter, {"pitch_no": 2, "balls": 1})
    assert words(log.last_hitter, before.LAST_HITTER) == ["", came_to, ""]
    for other in ({"inning": 2}, {"half": "bottom"}, {"pitcher": "Dorn"}, {"at_bat": 3}):
        assert innings(last, {**next_hitter, **other}).last_hitter.tolist() == [-1, -1]
    assert innings(last, next_hitter, inning=None).last_hitter.tolist() == [-1, -1]


def test_the_score_is_the_pitching_sides_and_known_only_where_the_log_has_it() -> None:
    scores = [(0, 0), (1, 0), (1, 2), (1, 4), (7, 4)]
    rows = [{"pitch_no": i, "score_us": us, "score_them": them, "result": "ball"}
            for i, (us, them) in enumerate(scores)]  # fmt: skip
    ours = ["tied", "ahead", "behind", "far behind", "far ahead"]
    assert words(innings(*rows).score, before.SCORES) == ours
    # logged here, one half only: nobody kept our runs
    assert set(innings(*rows, imported=0).score.tolist()) == {-1}
    # never moved in a log of one half
    assert set(innings(*({**row, "score_us": 0} for row in rows)).score.tolist()) == {-1}
    assert set(innings(*({**row, "score_us": None} for row in rows)).score.tolist()) == {-1}
    # both halves: known even of a shut-out
    frame = pd.DataFrame(
        [{"game": "g", "pitcher": who, "hitter": "h", "pitch": "fastball", "pitching": side,
          "at_bat": i, "pitch_no": 1, "result": "ball", "score_us": 0, "score_them": 2}
         for i, (who, side) in enumerate((("Ames", "us"), ("Kerr", "them")))]
    )  # fmt: skip
    assert words(encode(frame).score, before.SCORES) == ["behind"]
    assert words(encode(frame, "them").score, before.SCORES) == ["ahead"]


def test_an_inning_is_late_by_the_rules_of_the_game() -> None:
    rows = [{"inning": i, "at_bat": i, "result": "ball"} for i in range(1, 11)]
    late = {rules: words(innings(*rows, rules=rules).part, before.PARTS).index("late") + 1
            for rules in ("youth-46", "high-school", "pro", "", "our own")}  # fmt: skip
    assert late == {"youth-46": 5, "high-school": 6, "pro": 8, "": 6, "our own": 6}
    assert words(innings(*rows).part, before.PARTS)[:3] == ["early", "early", "middle"]
    assert set(innings(*rows, inning=None).part[:1].tolist()) == {-1}


def test_advice_is_read_by_the_type_it_names() -> None:
    said = ["", "changeup low-away", "breaking ball in", "four-seam", "throw it by him"]
    log = innings(
        *({"pitch_no": i, "advice": word, "result": "ball"} for i, word in enumerate(said))
    )
    types = list(log.words.pitches)
    assert log.advised.tolist() == [
        -1, *(types.index(word) for word in ("changeup", "breaking ball", "four-seam", "unknown"))
    ]  # fmt: skip


def test_games_are_said_by_their_day() -> None:
    def days(*games: tuple[str, str, int]) -> tuple[str, ...]:
        each = [one(game=name, date=date, game_no=number) for name, date, number in games]
        return encode(pd.concat(each)).words.days

    assert days(("a", "2026-04-18", 1), ("b", "2026-05-02", 1)) == (
        "the game of 18 April",
        "the game of 2 May",
    )
    assert days(("a", "2026-04-18", 1), ("a", "2026-04-18", 2))[1] == "the second game of 18 April"
    assert days(("a", "2025-04-18", 1), ("b", "2026-04-18", 1))[0] == "the game of 18 April 2025"
    assert days(("Herons at Kites", "", 1), ("game 2", "", 1)) == (
        "the game Herons at Kites",
        "game 2",
    )
