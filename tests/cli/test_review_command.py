"""`sequencer review`: a file or the book, one pitcher, from a day on; JSON; bad input."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner, Result

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.cli.review import command
from sequencer.errors import CoachError
from sequencer.records.readers import import_file
from sequencer.records.store import open_book
from tests.review import simulate

HABIT = simulate.plant(
    lambda now, _p: (now["balls"], now["strikes"]) in HITTERS_COUNTS, "pitch", "curveball", 0.6
)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two pitchers, one with a habit, each in games of his own."""
    path = tmp_path_factory.mktemp("season") / "season.csv"
    parts = [
        simulate.log(240, seed=1, habit=HABIT, pitcher="Ames", per_game=40),
        simulate.log(120, seed=2, pitcher="Dorn", per_game=40).assign(
            game=lambda log: "second " + log["game"]
        ),
    ]
    pd.concat(parts).assign(us="Herons", them="Larks").to_csv(path, index=False)
    return path


def afresh(*args: object) -> Result:
    return CliRunner().invoke(command, [str(each) for each in args], catch_exceptions=False)


@cache
def run(*args: object) -> Result:
    """Run the command once for all who ask for the same of the same file."""
    return afresh(*args)


def found(*args: object) -> Any:
    return json.loads(run(*args, "--json").output)


def test_a_file_is_reviewed(season: Path) -> None:
    review = found(season)
    assert review["pitches"] == 360
    assert [each["pitcher"] for each in review["pitchers"]] == ["Ames", "Dorn"]
    habit = review["pitchers"][0]["patterns"][0]
    assert (habit["where"], habit["flagged"]) == ({"count": "hitter's"}, True)


def test_one_pitcher_from_a_day_on(season: Path) -> None:
    review = found(season, "--pitcher", "ames", "--since", "2026-04-04")
    assert [each["pitcher"] for each in review["pitchers"]] == ["Ames"]
    assert review["pitchers"][0]["games"] == 4


def test_the_seed_settles_everything(season: Path) -> None:
    one, again = (afresh(season, "--pitcher", "Ames", "--seed", 5, "--json") for _ in range(2))
    assert one.output == again.output


def test_the_book_gives_what_the_file_gives(season: Path, tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        import_file(book, season)
    of_book = found("--book", tmp_path / "book.db")
    of_file = found(season)
    for one, other in zip(of_book["pitchers"], of_file["pitchers"], strict=True):
        assert [each["says"] for each in one["patterns"]] == [
            each["says"] for each in other["patterns"]
        ]


def test_the_page_is_plain_words(season: Path) -> None:
    page = run(season).output
    assert "In hitter's counts he throws the curveball" in page
    assert max(len(line) for line in page.splitlines()) <= 80


def test_an_unknown_pitcher_is_named_with_those_there_are(season: Path) -> None:
    with pytest.raises(CoachError, match=r"'Nobody'.*Ames, Dorn"):
        run(season, "--pitcher", "Nobody")


def test_a_file_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(CoachError):
        run(tmp_path / "none.csv")


def test_a_bad_date_is_a_bad_call(season: Path) -> None:
    assert run(season, "--since", "April").exit_code == 2


def test_a_book_without_pitches_is_a_sentence(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db"):
        pass
    assert "no pitches of our own" in run("--book", tmp_path / "book.db").output
    assert found("--book", tmp_path / "book.db")["pitches"] == 0


def quick(*args: object) -> Any:
    return found(*args, "--no-plan")


def test_games_are_chosen_by_name_opponent_day_and_the_last_so_many(season: Path) -> None:
    assert quick(season, "--game", "Game 2")["pitches"] == 40
    assert quick(season, "--against", "larks")["pitches"] == 360
    last = quick(season, "--pitcher", "Ames", "--last", 2)
    assert (last["pitches"], last["pitchers"][0]["games"]) == (80, 2)
    both = quick(season, "--pitcher", "Ames", "--since", "2026-04-04", "--last", 99)
    assert both["pitchers"][0]["games"] == 4


def test_one_catcher_is_chosen(season: Path) -> None:
    caught = quick(season, "--catcher", "cole")
    assert {each["name"] for each in caught["ledger"] if each["by"] == "catcher"} == {"Cole"}


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--against", "Wrens"), r"No games against 'Wrens' among these pitches; there is Larks"),
        (("--game", "final"), r"No game called 'final' .* there is game 1, game 2"),
        (("--catcher", "Nobody"), r"No pitches caught by 'Nobody' .* Boyd, Cole"),
        (("--since", "2027-01-01"), r"No game is left from 2027-01-01 on; the last was on 2026-"),
        (("--game", "game 1", "--pitcher", "Dorn"), r"No pitches of 'Dorn' .* there is Ames"),
    ],
)
def test_nothing_left_is_a_sentence_with_what_there_is(
    season: Path, options: tuple[str, ...], says: str
) -> None:
    with pytest.raises(CoachError, match=says):
        run(season, *options)


def test_no_games_at_all_is_a_bad_call(season: Path) -> None:
    assert run(season, "--last", 0).exit_code == 2


def test_a_fix_is_followed_up_since_its_day_else_in_the_last_game(season: Path) -> None:
    since = quick(season, "--since-fix", "2026-04-06", "--pitcher", "Ames")
    assert {each["split"] for each in since["pitchers"][0]["follow_up"]} == {"2026-04-06"}
    page = run(season, "--pitcher", "Ames", "--no-plan").output
    assert "Habits found before the last game, and what it shows" in page


def test_their_pitcher_is_reviewed_for_our_hitters(season: Path, tmp_path: Path) -> None:
    theirs = pd.read_csv(season).assign(pitching="them", half="bottom")
    theirs.to_csv(tmp_path / "theirs.csv", index=False)
    page = run(tmp_path / "theirs.csv", "--theirs", "--pitcher", "ames").output
    assert page.startswith("Their pitcher Ames: 240 pitches in 6 games")
    assert "sit on it" in page
    assert "Bullpen" not in page
    assert found(tmp_path / "theirs.csv", "--theirs")["pitchers"][0]["look_for"]
    assert "no pitches of our own" in run(tmp_path / "theirs.csv").output
    assert "no pitches to our own hitters" in run(season, "--theirs").output


def test_our_fix_is_not_followed_up_in_their_pitches(season: Path) -> None:
    assert run(season, "--theirs", "--since-fix", "2026-04-06").exit_code == 2


def test_tells_of_the_log_of_bullpens_and_of_an_observer_are_told(
    season: Path, tmp_path: Path
) -> None:
    log = pd.read_csv(season)
    curve = log["pitch"] == "curveball"
    log["tells"] = ""
    log.loc[curve, "tells"] = "slower arm"
    log["tells_watched"] = "slower arm"
    log.to_csv(tmp_path / "watched.csv", index=False)
    page = run(tmp_path / "watched.csv", "--no-plan", "--pitcher", "Ames").output
    assert "Tells" in page
    assert "1. Ames: " in page
    (ames,) = quick(tmp_path / "watched.csv", "--pitcher", "Ames")["tells"]
    assert any(each["flagged"] for each in ames["seen"])
    notes = log[["game", "at_bat", "pitch_no"]].assign(observer="Wren", tells="glove flare")
    notes["tells_watched"] = "glove flare"
    notes.loc[~curve, "tells"] = ""
    notes[log["pitcher"] == "Ames"].to_csv(tmp_path / "notes.csv", index=False)
    (noted,) = quick(season, "--pitcher", "Ames", "--notes", tmp_path / "notes.csv")["tells"]
    assert any(each["flagged"] for each in noted["seen"])


def test_the_reader_grows_trees_where_they_are_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    simulate.log(400, seed=3, habit=HABIT, pitcher="Ames").to_csv(path, index=False)
    without, with_trees = quick(path)["pitchers"][0], quick(path, "--boosted")["pitchers"][0]
    assert with_trees["reader"]["bits"] != without["reader"]["bits"]
    assert with_trees["patterns"] == without["patterns"]
    said = "The reader also weighed: boosted trees."
    assert said in run(path, "--boosted", "--no-plan").output
    assert said not in run(path, "--no-plan").output


def test_a_long_log_is_shared_among_processes_and_reads_the_same(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sequencer.cli.review.SHARED_FROM", 100)
    monkeypatch.setattr("sequencer.cli.review.os.cpu_count", lambda: 2)
    assert json.loads(afresh(season, "--json").output) == found(season)


def test_the_ledger_goes_by_the_plans_and_tells_the_call_or_the_miss(season: Path) -> None:
    review = found(season, "--pitcher", "Ames")
    assert review["turning_points"]
    assert {"event", "parts", "cost_most"} <= set(review["turning_points"][0])
    assert review["ledger"] != quick(season, "--pitcher", "Ames")["ledger"]
    page = run(season, "--pitcher", "Ames", "--no-plan").output
    assert page.index("The call or the miss?") < page.index("Where the runs came from")
