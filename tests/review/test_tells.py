import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from scipy.stats import fisher_exact

from sequencer.errors import BadInput
from sequencer.records.frames import bullpen_frame, pitch_frame
from sequencer.records.store import open_book
from sequencer.review.tells import SeenTell, TellNote, tells_of
from tests.records import rich_book

Row = dict[str, Any]


def log(pitches: Iterable[tuple[str, str, str]], *, game: str = "owls", **more: Any) -> list[Row]:
    """Return rows of a log, each (type, tells, tells watched)."""
    return [
        {
            "game": game,
            "pitcher": "Ash Reed",
            "pitching": "us",
            "at_bat": n,
            "pitch_no": 1,
            "n": n,
            "pitch": pitch,
            "tells": tells,
            "tells_watched": watched,
            **more,
        }
        for n, (pitch, tells, watched) in enumerate(pitches, start=1)
    ]


def shown(pitch: str, seen: int, of: int, tell: str = "arm slows") -> list[tuple[str, str, str]]:
    return [(pitch, tell if n < seen else "", tell) for n in range(of)]


NINE_OF_TWELVE = [*shown("changeup", 9, 12), *shown("fastball", 1, 30)]


def only(frame: list[Row]) -> SeenTell:
    (pitcher,) = tells_of(pd.DataFrame(frame))
    (tell,) = pitcher.seen
    return tell


def test_a_slow_arm_on_the_changeup_is_told_in_a_sentence_with_what_it_is_worth() -> None:
    tell = only(log(NINE_OF_TWELVE))
    assert tell.says == (
        "Arm slows on the changeup: 9 of 12 against 1 of 30 other pitches. Whoever looks for the "
        "changeup when he sees it is right 90 times in 100 (60 to 98); without it 29."
    )
    assert tell.p == pytest.approx(fisher_exact([[9, 3], [1, 29]]).pvalue)
    assert tell.flagged
    assert tell.fix.startswith("Bullpen: 2 sets of 6, changeup and fastball in turn")


def test_not_watched_is_no_news_and_watched_and_not_seen_is() -> None:
    silent = [("fastball", "", "")] * 200
    assert only(log([*NINE_OF_TWELVE, *silent])) == only(log(NINE_OF_TWELVE))
    seen_only = [(pitch, tells, "") for pitch, tells, _ in NINE_OF_TWELVE]
    (pitcher,) = tells_of(pd.DataFrame(log(seen_only)))
    assert pitcher.seen == ()
    assert pitcher.notes[0].startswith("Arm slows: noted only where it was seen (10 pitches)")


def test_a_mix_that_changes_with_the_day_is_no_tell() -> None:
    tired = [*shown("changeup", 18, 20), *shown("fastball", 4, 5)]
    fresh = [*shown("changeup", 1, 5), *shown("fastball", 2, 20)]
    days = pd.DataFrame([*log(tired, game="owls"), *log(fresh, game="gulls")])
    (of_two_days,) = tells_of(days)
    (as_one_day,) = tells_of(days.assign(game="owls"))
    assert as_one_day.seen[0].flagged
    assert not of_two_days.seen[0].flagged


def test_a_doubtful_tell_says_how_many_more_have_to_be_watched() -> None:
    tell = only(log([*shown("changeup", 3, 4), *shown("fastball", 4, 20)]))
    assert tell.needs
    assert f"needs about {tell.needs} more changeups watched" in tell.says
    assert only(log([*shown("changeup", 3, 40), *shown("fastball", 3, 40)])).needs == 0


def test_what_cannot_be_found_is_not_asked() -> None:
    tell = only(log([*shown("changeup", 1, 1), *shown("fastball", 0, 9)]))
    assert (tell.p, tell.q, tell.flagged) == (None, None, False)
    assert "Too few to tell" in tell.says


def test_a_tell_of_one_type_is_not_told_again_as_the_others_lacking_it() -> None:
    pitches = [*NINE_OF_TWELVE, *shown("curveball", 1, 20)]
    (pitcher,) = tells_of(pd.DataFrame(log(pitches)))
    flagged = {tell.pitch: tell.same_as for tell in pitcher.seen if tell.flagged}
    assert flagged == {"changeup": "", "fastball": "changeup"}


def test_false_alarms_over_all_that_is_asked_of_pitchers_keep_to_their_rate() -> None:
    rng = np.random.default_rng(3)
    alarms = 0
    for _ in range(40):
        rows = []
        for pitch in rng.choice(["fastball", "changeup", "curveball"], size=60):
            seen = [t for t in ("arm slows", "glove flares", "long look") if rng.random() < 0.3]
            hold = f"hold={rng.normal(2, 0.3):.2f}"
            watched = "arm slows; glove flares; long look"
            rows.append((str(pitch), "; ".join([*seen, hold]), watched))
        (pitcher,) = tells_of(pd.DataFrame(log(rows)))
        flagged = [tell.flagged for tell in pitcher.seen]
        alarms += any(flagged + [tell.flagged for tell in pitcher.measured])
    assert alarms <= 6  # 40 at .05: 2 expected, 7 or more once in two hundred


def test_own_words_count_as_the_same_tell_and_slips_are_told() -> None:
    pitches = [(pitch, tells and "slow arm", "arm slows") for pitch, tells, _ in NINE_OF_TWELVE]
    assert only(log(pitches)) == only(log(NINE_OF_TWELVE))
    slips = [(pitch, tells and "arm slws", "arm slows") for pitch, tells, _ in NINE_OF_TWELVE]
    (pitcher,) = tells_of(pd.DataFrame(log(slips)))
    assert pitcher.seen[0].flagged
    assert "'arm slws' is counted as 'arm slows'." in pitcher.notes


def test_bullpens_of_the_same_man_are_read_with_the_log() -> None:
    pens = pd.DataFrame(
        [
            {"bullpen": "tuesday", "bullpen_id": "b1", "pitcher": "Ash Reed", "pitcher_id": "p1"}
            | {"pitch": pitch, "tells": tells, "tells_watched": watched}
            for pitch, tells, watched in NINE_OF_TWELVE
        ]
    )
    (pitcher,) = tells_of(pd.DataFrame(log(NINE_OF_TWELVE)), pens)
    assert (pitcher.watched, pitcher.units) == (84, 2)
    assert (pitcher.seen[0].seen, pitcher.seen[0].watched) == (18, 24)
    (alone,) = tells_of(pd.DataFrame(log(())), pens)
    assert alone.seen[0].says == only(log(NINE_OF_TWELVE)).says


def test_only_our_own_pitches_of_a_known_type_are_looked_at() -> None:
    theirs = log(NINE_OF_TWELVE, pitching="them")
    away = log(NINE_OF_TWELVE, intent="pitch-out")
    unnamed = log([("unknown", tells, watched) for _, tells, watched in NINE_OF_TWELVE])
    assert tells_of(pd.DataFrame([*theirs, *away, *unnamed])) == ()
    assert tells_of(pd.DataFrame()) == ()


def measured(lead: float, *, days: int = 1, seed: int = 1) -> list[Row]:
    rng = np.random.default_rng(seed)
    rows: list[Row] = []
    for day in range(days):
        for pitch, many, more in (("changeup", 12, lead), ("fastball", 30, 0.0)):
            times = 1.3 + 0.2 * day + 0.05 * rng.standard_normal(many) + more
            noted = [(pitch, f"time to plate={time:.3f}", "") for time in times]
            rows += log(noted, game=f"day {day}")
    return rows


def test_a_measured_tell_says_its_middle_and_how_well_it_tells_the_types_apart() -> None:
    (pitcher,) = tells_of(pd.DataFrame(measured(0.12)))
    (tell,) = pitcher.measured
    assert tell.flagged
    assert tell.interval[0] < tell.area <= tell.interval[1]
    assert tell.says.startswith("Time to plate on the changeup: 1.4")
    assert "(middle of 12 and of 30 others)" in tell.says
    assert pitcher.seen == ()


def test_measures_are_compared_within_a_day() -> None:
    (pitcher,) = tells_of(pd.DataFrame(measured(0.12, days=3)))
    (tell,) = pitcher.measured
    assert tell.flagged
    assert tell.area > 0.9
    (pitcher,) = tells_of(pd.DataFrame(measured(-0.12, days=3)))
    assert pitcher.measured[0].area < 0.1
    assert "names the right one 9" in pitcher.measured[0].says


def test_measures_without_a_difference_say_what_would_have_been_found() -> None:
    (pitcher,) = tells_of(pd.DataFrame(measured(0.0, seed=4)))
    (tell,) = pitcher.measured
    assert not tell.flagged
    assert tell.could_find == pytest.approx(0.777, abs=0.01)
    (pitcher,) = tells_of(pd.DataFrame(measured(0.12)[:1] + measured(0.12)[12:20]))
    assert "Too few to tell" in pitcher.measured[0].says


def notes_of(observer: str, seen: Iterable[bool], game: str = "owls") -> list[TellNote]:
    return [
        TellNote(
            game=game,
            observer=observer,
            order=n,
            tells=("arm slows",) if saw else (),
            tells_watched=("arm slows",),
        )
        for n, saw in enumerate(seen, start=1)
    ]


UNSEEN = [(pitch, "", "") for pitch, _, _ in NINE_OF_TWELVE]
SAW = [bool(tells) for _, tells, _ in NINE_OF_TWELVE]


def test_notes_of_one_observer_count_as_tells_of_the_log() -> None:
    (pitcher,) = tells_of(pd.DataFrame(log(UNSEEN)), notes=notes_of("Ida Moss", SAW))
    assert pitcher.seen[0].says == only(log(NINE_OF_TWELVE)).says
    assert pitcher.notes[0] == "Counted from the log and the notes of Ida Moss."
    assert pitcher.agreement == ()


def test_two_observers_who_see_the_same_agree() -> None:
    notes = [*notes_of("Ida Moss", SAW), *notes_of("Ole Brand", [True, *SAW[1:]])]
    (pitcher,) = tells_of(pd.DataFrame(log(UNSEEN)), notes=notes)
    (pair,) = pitcher.agreement
    assert pair.observers == ("Ida Moss", "Ole Brand")
    assert pair.kappa == 1.0
    assert pair.interval is not None
    assert pair.interval[0] < 0.9
    assert not pair.differ


def test_two_people_who_do_not_see_the_same_thing_are_warned() -> None:
    # 40 pitches: both saw it 5 times, one alone 6 and 7, neither 22: kappa 0.22.
    one = [True] * 5 + [True] * 6 + [False] * 29
    other = [True] * 5 + [False] * 6 + [True] * 7 + [False] * 22
    notes = [*notes_of("Ida Moss", one), *notes_of("Ole Brand", other)]
    (pitcher,) = tells_of(pd.DataFrame(log(UNSEEN[:40])), notes=notes)
    (pair,) = pitcher.agreement
    assert (pair.both, pair.first, pair.second, pair.neither) == (5, 6, 7, 22)
    assert pair.differ
    assert "Two people do not see the same thing" in pair.says
    assert "agree on 27 of 40 pitches (kappa 0.21" in pair.says


def test_the_log_is_an_observer_too_and_few_pitches_say_nothing() -> None:
    notes = notes_of("Ida Moss", SAW[:6])
    (pitcher,) = tells_of(pd.DataFrame(log(NINE_OF_TWELVE)), notes=notes)
    (pair,) = pitcher.agreement
    assert pair.observers == ("the log", "Ida Moss")
    assert pair.kappa is None
    assert "fewer than 10" in pair.says


def test_notes_of_no_pitch_are_refused_or_told() -> None:
    frame = pd.DataFrame(log(UNSEEN))
    with pytest.raises(BadInput, match=r"no note fits a pitch of this log: .* of game gulls"):
        tells_of(frame, notes=notes_of("Ida Moss", SAW, game="gulls"))
    stray = [*notes_of("Ida Moss", SAW), *notes_of("Ida Moss", [True], game="gulls")]
    (pitcher,) = tells_of(frame, notes=stray)
    assert "1 note fits no pitch of this log and was left out" in pitcher.notes[1]
    twice = pd.DataFrame([*log(UNSEEN, game_no=1), *log(UNSEEN, game_no=2)])
    with pytest.raises(BadInput, match="has 2 of that name"):
        tells_of(twice, notes=notes_of("Ida Moss", SAW))


def test_the_same_rows_and_seed_give_the_same_answer_whoever_else_is_there() -> None:
    rows = [*log(NINE_OF_TWELVE), *measured(0.05, days=2)]
    other = log(NINE_OF_TWELVE, pitcher="Bo Lind")
    alone = tells_of(pd.DataFrame(rows))
    assert tells_of(pd.DataFrame([*other, *rows]))[1] == alone[0]


def test_all_of_it_goes_into_json() -> None:
    notes = [*notes_of("Ida Moss", SAW), *notes_of("Ole Brand", SAW)]
    frame = pd.DataFrame([*log(NINE_OF_TWELVE), *measured(0.1)])
    (pitcher,) = tells_of(frame, notes=notes)
    told = json.loads(json.dumps(pitcher.as_json(), allow_nan=False))
    assert told["seen"][0]["tell"] == "arm slows"
    assert told["measured"][0]["area"] == pitcher.measured[0].area
    assert told["agreement"][0]["observers"] == ["the log", "Ida Moss"]


def test_a_book_gives_tells_of_games_and_bullpens(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        rich_book.fill(book)
        found = tells_of(pitch_frame(book), bullpen_frame(book))
    (pitcher,) = found
    assert (pitcher.pitcher, pitcher.watched, pitcher.units) == ("Ash Reed", 2, 2)
    assert {tell.tell for tell in pitcher.measured} <= {"hold", "time to plate"}
