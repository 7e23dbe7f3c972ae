"""`sequencer simulate` on the demo book: a table of 80 columns, JSON."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sequencer.cli import sequencer
from sequencer.cli.planning_options import scouting
from sequencer.live.past_calls import past_calls
from sequencer.live.scouting import Scouting
from sequencer.planning.simulated.simulate import BY_HAND, CARD, PLAN, SHARED
from sequencer.reports.lines import WIDTH
from sequencer.reports.simulate_text import NOT_TOLD

ASKED = ("--hitters", "Osier Bend Wrens", "--pitcher", "Ilo Brandt")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = str(tmp_path_factory.mktemp("book") / "demo.db")
    assert CliRunner().invoke(sequencer, ["demo", "--into", path]).exit_code == 0
    return path


def run(book: str, *more: str) -> Result:
    words = ["simulate", "--book", book, *ASKED, *more]
    return CliRunner().invoke(sequencer, words, catch_exceptions=False)


def rows(text: str) -> dict[str, list[float]]:
    """The ways of the first table of a text with their runs; the first of a name counts."""
    found: dict[str, list[float]] = {}
    for line in text.splitlines():
        match = re.match(r"([a-z][a-z\- ']+?) {2,}([+-]\d.*)$", line)
        if match:
            numbers = [float(cell.rstrip("*")) for cell in match[2].split()]
            found.setdefault(match[1], numbers)
    return found


@pytest.fixture
def two(tmp_path: Path) -> tuple[str, str]:
    """Words for two hitters of a file: of an option given twice the last counts."""
    file = tmp_path / "two.csv"
    file.write_text("hitter,hitter_no,bats\nKit Fen,7,R\nTam Oakes,12,L\n", encoding="utf-8")
    return "--hitters", str(file)


def test_a_table_of_eighty_columns_marks_each_ways_worst_mind(
    book: str, two: tuple[str, str]
) -> None:
    shown = run(book, "--games", "2", "--watched", "40", "--card", *two)
    assert shown.exit_code == 0
    lines = shown.output.splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert "Runs per 100 plate appearances; less is better for us" in lines
    table = rows(shown.output)
    assert list(table) == [PLAN, CARD, *BY_HAND, SHARED]
    for way, numbers in table.items():
        line = next(line for line in lines if line.startswith(f"{way}  "))
        assert line.count("*") == 1
        assert f"{max(numbers):+.1f}*" in line
    assert " ".join(NOT_TOLD.split()) in " ".join(shown.output.split())
    assert "456 calls of the book" in " ".join(shown.output.split())


def test_json_alone_and_the_same_for_the_same_seed(book: str, two: tuple[str, str]) -> None:
    asked = ("--games", "2", "--watched", "40", "--seed", "5", "--json", *two)
    one, again = (run(book, *asked).output for _ in range(2))
    assert one == again
    said = json.loads(one)
    assert (said["games"], said["seed"], len(said["guarantee"])) == (2, 5, 2)
    plan = said["ways"][0]["minds"]
    mean = sum(said["guarantee"].values()) / len(said["guarantee"])
    assert max(mind["as_believed"] for mind in plan) == pytest.approx(mean)


def test_one_game_is_a_bad_call_and_an_unknown_pitcher_one_sentence(book: str) -> None:
    assert run(book, "--games", "1").exit_code == 2
    with pytest.raises(Exception, match="Nobody Here is not a pitcher of the book"):
        CliRunner().invoke(
            sequencer,
            ["simulate", "--book", book, "--hitters", "Osier Bend Wrens", "--pitcher",
             "Nobody Here"],
            catch_exceptions=False,
        )  # fmt: skip


def test_the_books_calls_are_read_as_they_were_asked_for(book: str) -> None:
    with scouting(book) as known:
        past = past_calls(known, "Ilo Brandt")
        ilo = known.find_pitcher("Ilo Brandt")
        assert ilo is not None
        frame = known.pitches_of(ilo.id)
        assert frame is not None
        own = frame[frame["pitcher"] == "Ilo Brandt"]
    assert len(past) == len(own)
    assert past.pitch == tuple(own["called"])
    assert set(past.target) == set(own["target"])
    assert past.count == tuple(3 * own["balls"] + own["strikes"])
    assert len(past_calls(Scouting(), "Ilo Brandt")) == 0
