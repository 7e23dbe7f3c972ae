"""The whole review: its JSON, plans that make a habit right, fixes, callers, little data."""

import dataclasses
import datetime as dt
import json
from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.cli.options import print_json
from sequencer.reports.lines import WIDTH
from sequencer.reports.review_text import review_text
from sequencer.review.coded import encode
from sequencer.review.findings import look_for
from sequencer.review.patterns import PATTERNS
from sequencer.review.plans import Shown
from sequencer.review.reader import read
from sequencer.review.review import review
from sequencer.review.reviewed import Review
from sequencer.review.worth import Worth
from tests.review import simulate

PATTERN_FIELDS = {
    *("pattern", "where", "what", "says", "pitches", "share", "expected_share"),
    *("guess_gain_per_100", "interval", "p", "q", "flagged", "right"),
}
BEHIND = simulate.plant(
    lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS, "pitch", "fastball", 0.45
)
EVEN = {("fastball", ""): 0.5, ("changeup", ""): 0.5}


@cache
def a_log() -> pd.DataFrame:
    return simulate.log(600, seed=3, habit=BEHIND)


@pytest.fixture
def frame() -> pd.DataFrame:
    return a_log()


@cache
def usual() -> Review:
    """Return the review of the log without any option, made once."""
    return review(a_log())


def plain(frame: pd.DataFrame, **options: Any) -> Any:
    made = review(frame, **options) if options or frame is not a_log() else usual()
    return json.loads(json.dumps(made.as_json()))


def test_the_json_has_every_promised_field(frame: pd.DataFrame) -> None:
    found = plain(frame)
    assert found["pitches"] == 600
    (ames,) = found["pitchers"]
    assert {"pitcher", "pitches", "patterns", "could_find", "reader", "worth", "fixes"} <= set(ames)
    assert {"needed", "follow_up", "asked"} <= set(ames)
    assert {"best_constant", "guess_rate", "interval", "bits"} <= set(ames["reader"])
    assert {"runs_per_100", "interval"} <= set(ames["worth"])
    for pattern in ames["patterns"]:
        assert set(pattern) >= PATTERN_FIELDS
        assert 0 < pattern["p"] <= 1
        assert pattern["flagged"] == (pattern["q"] <= 0.05)
        assert pattern["interval"][0] <= pattern["interval"][1]
        assert pattern["right"] is None
    assert {each["pattern"] for each in ames["patterns"]} <= {pattern.id for pattern in PATTERNS}
    assert {each["caller"] for each in found["callers"]} == {"coach", "Boyd"}
    assert {each["catcher"] for each in found["catchers"]} == {"Boyd", "Cole"}
    assert found["ledger"]


def test_a_habit_is_said_as_a_coach_would_and_comes_with_a_cure(frame: pd.DataFrame) -> None:
    (ames,) = plain(frame)["pitchers"]
    told = [each for each in ames["patterns"] if each["flagged"] and not each["same_as"]]
    assert told[0]["where"] == {"count": "hitter's"}
    assert told[0]["what"]["pitch"] == "fastball"
    share = round(100 * told[0]["share"])
    assert told[0]["says"].startswith(
        f"In hitter's counts he throws the fastball {share} of 100 times ("
    )
    cure = ames["fixes"][0]
    assert cure["pattern"] == "count"
    assert len(cure["throws"]) == 6
    assert {pitch for pitch, _target in cure["throws"]} > {"fastball"}
    assert cure["mix"]["to"] == pytest.approx(told[0]["expected_share"])
    assert "Bullpen: two sets of six" in cure["says"]
    assert "calling the count 2-0" in cure["says"]


def asks_for_it(
    _who: str, _hitter: str, balls: int, strikes: int, _shown: Shown
) -> Mapping[tuple[str, str], float]:
    behind = (balls, strikes) in HITTERS_COUNTS
    fast = 0.97 if behind else 0.5
    return {("fastball", "in"): fast, ("changeup", "low-away"): 1 - fast}


def test_what_the_plan_asks_for_is_right_and_gets_no_cure(frame: pd.DataFrame) -> None:
    (ames,) = plain(frame, plans=asks_for_it)["pitchers"]
    habit = next(each for each in ames["patterns"] if each["where"] == {"count": "hitter's"})
    assert habit["flagged"]
    assert habit["right"] is True
    assert habit["says"].endswith("The plan asks for it.")
    assert not [each for each in ames["fixes"] if each["mix"]["where"] == habit["where"]]


def test_what_the_plan_does_not_ask_for_is_not_right(frame: pd.DataFrame) -> None:
    (ames,) = plain(frame, plans=lambda *_: EVEN)["pitchers"]
    habit = next(each for each in ames["patterns"] if each["where"] == {"count": "hitter's"})
    assert habit["right"] is False
    assert ames["fixes"][0]["mix"]["to"] == pytest.approx(0.5)


def test_hitters_without_a_plan_leave_right_open(frame: pd.DataFrame) -> None:
    (ames,) = plain(frame, plans=lambda *_: None)["pitchers"]
    assert {each["right"] for each in ames["patterns"]} == {None}


def test_a_habit_of_one_caller_is_found_in_his_calls() -> None:
    def coach_only(
        now: simulate.Situation, rng: np.random.Generator, pitch: dict[str, str]
    ) -> dict[str, str]:
        return BEHIND(now, rng, pitch) if now["caller"] == "coach" else pitch

    staff = pd.concat(
        [
            simulate.log(500, seed=1, habit=coach_only, pitcher="Ames"),
            simulate.log(500, seed=2, habit=coach_only, pitcher="Dorn"),
        ]
    )
    found = {each["caller"]: each for each in plain(staff)["callers"]}
    assert any(each["flagged"] for each in found["coach"]["patterns"])
    assert "the staff throws" in found["coach"]["patterns"][0]["says"]
    assert not any(each["flagged"] for each in found["Boyd"]["patterns"])


def test_a_habit_of_one_catcher_is_found_in_what_he_caught() -> None:
    def boyd_only(
        now: simulate.Situation, rng: np.random.Generator, pitch: dict[str, str]
    ) -> dict[str, str]:
        return BEHIND(now, rng, pitch) if now["catcher"] == "Boyd" else pitch

    found = {
        each["catcher"]: each
        for each in plain(simulate.log(900, seed=1, habit=boyd_only))["catchers"]
    }
    assert any(each["flagged"] for each in found["Boyd"]["patterns"])
    assert not any(each["pattern"] == "catcher" for each in found["Boyd"]["patterns"])
    assert not any(each["flagged"] for each in found["Cole"]["patterns"])


def test_catchers_are_told_only_where_two_caught_enough(frame: pd.DataFrame) -> None:
    assert plain(frame.assign(catcher="Boyd"))["catchers"] == []
    few = frame.assign(catcher=["Cole" if i < 60 else "Boyd" for i in range(len(frame))])
    assert plain(few)["catchers"] == []
    assert "Caught by" not in review_text(review(few))


def test_habits_of_before_are_followed_up_in_the_last_game_or_since_a_day(
    frame: pd.DataFrame,
) -> None:
    assert plain(frame)["pitchers"][0]["follow_up"] == []
    (habit, *_) = plain(frame, since_fix="last game")["pitchers"][0]["follow_up"]
    assert habit["split"] == "the last game"
    assert habit["before"]["pitches"] > habit["since"]["pitches"] > 0
    (again, *_) = plain(frame, since_fix=dt.date(2026, 4, 8))["pitchers"][0]["follow_up"]
    assert again["split"] == "2026-04-08"
    assert again["since"]["pitches"] > habit["since"]["pitches"]
    assert again["verdict"] == "still there"


def test_a_day_that_leaves_nothing_to_follow_up_is_said(frame: pd.DataFrame) -> None:
    for day, words in (
        (dt.date(2026, 12, 1), "He has not pitched since the fix."),
        (dt.date(2026, 1, 1), "Fewer than two games before the fix"),
    ):
        (ames,) = plain(frame, since_fix=day)["pitchers"]
        assert ames["follow_up"] == []
        assert any(note.startswith(words) for note in ames["notes"])


def test_the_same_review_is_made_with_a_follow_up_and_without(frame: pd.DataFrame) -> None:
    with_it, without = plain(frame, since_fix="last game"), plain(frame)
    for each in (*with_it["pitchers"], *with_it["callers"], *with_it["catchers"]):
        each["follow_up"] = []
    assert with_it == without


def test_a_pitcher_gets_the_same_answer_whoever_else_is_there(frame: pd.DataFrame) -> None:
    other = simulate.log(300, seed=9, pitcher="Dorn").assign(game=lambda log: "o " + log["game"])
    both = pd.concat([other, frame])
    alone = plain(frame)["pitchers"][0]
    beside = next(each for each in plain(both)["pitchers"] if each["pitcher"] == "Ames")
    assert [each["p"] for each in alone["patterns"]] == [each["p"] for each in beside["patterns"]]


def test_their_pitches_and_pitch_outs_are_left_out(frame: pd.DataFrame) -> None:
    theirs = frame.assign(pitching="them")
    outs = frame.assign(intent="pitch-out")
    assert plain(pd.concat([frame, theirs, outs]))["pitches"] == 600


def test_calls_are_read_where_they_are_charted(frame: pd.DataFrame) -> None:
    wild = frame.assign(called=frame["pitch"], target="low-away", pitch="fastball")
    (ames,) = plain(wild)["pitchers"]
    assert any("calls that were charted" in note for note in ames["notes"])
    assert any(each["flagged"] and each["pattern"] == "count" for each in ames["patterns"])
    few = wild.assign(called=[c if i % 2 else "" for i, c in enumerate(wild["called"])])
    assert not any(each["pattern"] == "count" for each in plain(few)["pitchers"][0]["patterns"])


def test_one_game_gives_counts_and_says_so() -> None:
    (ames,) = plain(simulate.log(80, seed=1, per_game=80))["pitchers"]
    assert "One game: counts only, no verdict." in ames["notes"]
    assert not any(each["flagged"] for each in ames["patterns"])
    assert ames["fixes"] == []


def test_an_empty_log_is_a_sentence() -> None:
    found = review(simulate.log(10, seed=1).head(0))
    assert (found.pitches, found.pitchers) == (0, ())
    assert "no pitches of our own" in review_text(found)
    bare = pd.DataFrame(columns=["game", "pitcher"])
    assert review(bare).pitches == 0


def test_a_handful_of_pitches_is_too_few_and_said_so() -> None:
    (ames,) = plain(simulate.log(8, seed=1))["pitchers"]
    assert ames["patterns"] == []
    assert ames["reader"]["guess_rate"] is None
    assert any("too few" in note for note in ames["notes"])


def test_on_shuffled_logs_the_reader_has_no_skill() -> None:
    rng = np.random.default_rng(0)
    read_ = [read(encode(simulate.log(240, seed=seed)), rng) for seed in range(25)]
    skill = [each.skill for each in read_ if each.skill is not None]
    assert len(skill) == 25
    assert np.mean(skill) <= 3 * np.std(skill) / 5
    assert all(
        each.interval[0] <= each.guess_rate <= each.interval[1]
        for each in read_
        if each.interval and each.guess_rate is not None
    )


@pytest.mark.parametrize("pitches", [600, 60, 8])
def test_the_page_fits_eighty_columns_and_says_no_statistics(pitches: int) -> None:
    text = review_text(
        usual() if pitches == 600 else review(simulate.log(pitches, seed=3, habit=BEHIND))
    )
    assert max(len(line) for line in text.splitlines()) <= WIDTH
    for word in ("p =", "q =", "permut", "null", "nan", " bits", "-0.0 "):
        assert word not in text
    assert text.endswith("\n")


def test_the_page_tells_every_habit_and_its_cure() -> None:
    text = " ".join(review_text(usual()).split())
    assert "In hitter's counts he throws the fastball" in text
    assert "Bullpen: two sets of six" in text
    assert "Looked for and not found." in text
    assert "Where the runs came from" in text


def test_the_page_leads_with_the_habit_that_costs_most() -> None:
    lines = review_text(usual()).splitlines()
    assert lines[0] == "First of all"
    assert lines[2].startswith("1. Ames: in hitter's counts he throws the fastball")
    calm = review_text(review(simulate.log(400, seed=12)))
    assert calm.splitlines()[2] == "No habit found that costs anything."


def test_habits_stand_under_what_they_come_to(frame: pd.DataFrame) -> None:
    unknown = review_text(usual())
    assert "Readable; what it costs is not known" in unknown
    assert "The plan asks for less of it." not in unknown
    right = review_text(review(frame, plans=asks_for_it))
    assert "Readable, but the plan asks for it: leave these" in right
    less = " ".join(review_text(review(frame, plans=lambda *_: EVEN)).split())
    assert "The plan asks for less of it." in less


def test_what_costs_runs_comes_first_and_is_never_what_the_plan_asks_for() -> None:
    (ames,) = usual().pitchers
    (first, *_) = ames.habits
    sure = Worth(0.2, (0.1, 0.3), "A hitter who knows just this gains 0.20 runs.")
    costly = dataclasses.replace(first, cost=sure)
    assert (costly.kind, costly.runs) == ("costs runs", 0.2)
    asked_for = dataclasses.replace(costly, finding=dataclasses.replace(first.finding, right=True))
    assert (asked_for.kind, asked_for.runs) == ("asked for", 0.0)
    doubtful = dataclasses.replace(first, cost=Worth(0.2, (-0.1, 0.5), ""))
    assert (doubtful.kind, doubtful.runs) == ("cost not known", 0.0)
    page = review_text(
        dataclasses.replace(usual(), pitchers=(dataclasses.replace(ames, habits=(costly,)),))
    )
    assert "Readable, and it costs runs: change these" in page
    assert sure.says in " ".join(page.split())


def test_a_day_unlike_the_others_is_a_fact_and_no_habit_to_change() -> None:
    log = simulate.log(500, seed=5)
    odd = (log["game"] == "game 3") & (np.arange(len(log)) % 3 > 0)
    (ames,) = review(log.assign(pitch=log["pitch"].mask(odd, "curveball"))).pitchers
    of_the_day = [each for each in ames.findings if each.flagged and each.pattern.of_days]
    assert of_the_day
    assert not any(each.finding.pattern.of_days for each in ames.habits)
    told = json.loads(json.dumps(ames.as_json()))
    assert [each["pattern"] for each in told["days"] if each["flagged"]] == ["day to day"]
    assert "day to day" not in {each["pattern"] for each in told["patterns"]}


def test_days_that_drift_make_no_habit_easier_to_flag() -> None:
    log = encode(simulate.log(300, seed=8, drift=1.5))
    habits = [pattern for pattern in PATTERNS if not pattern.of_days]
    all_asked, _ = look_for(log, seed=0, name="Ames")
    without_days, _ = look_for(log, seed=0, name="Ames", patterns=habits)
    assert any(each.flagged for each in all_asked if each.pattern.of_days)
    assert [each.q for each in all_asked if not each.pattern.of_days] == [
        each.q for each in without_days
    ]


def test_json_is_plain_json() -> None:
    import click

    @click.command()
    def show() -> None:
        print_json(usual().as_json())

    printed = CliRunner().invoke(show).output
    assert json.loads(printed)["pitches"] == 600
    assert "NaN" not in printed
