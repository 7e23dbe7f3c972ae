"""`sequencer review`: a file or the book, one pitcher, from a day on; JSON; bad input."""

import json
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


def run(*args: object) -> Result:
    return CliRunner().invoke(command, [str(each) for each in args], catch_exceptions=False)


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
    assert found(season, "--seed", 5) == found(season, "--seed", 5)


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
