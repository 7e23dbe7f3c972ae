"""`sequencer people`: listing, naming, marking, and one player under two entries."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from sequencer.cli import main
from sequencer.records.people import Person, Team
from sequencer.records.store import open_book
from tests.tui import clubs

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    path = clubs.book_at(tmp_path / "club.db", games=1)
    with open_book(path) as book:
        book.add_person(Person(id="owl40", team="Owls", number="40", bats="R"))
        book.add_person(Person(id="owl41", team="Owls", name="Marin", number="41"))

    def call(*args: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            main(["people", "--book", path, *args])
        said = capsys.readouterr()
        return int(left.value.code or 0), said.out, said.err

    return call


def one(run: Run, id_: str) -> dict[str, object]:
    found: list[dict[str, object]] = json.loads(run("--json")[1])
    (row,) = [row for row in found if row["id"] == id_]
    return row


def test_the_people_are_listed_by_team_with_marks_and_pitches(run: Run) -> None:
    status, out, _ = run()
    assert status == 0
    lines = out.splitlines()
    assert lines[0] == "Herons" and "Owls" in lines
    at = next(i for i, line in enumerate(lines) if line.startswith("   7  Marin"))
    assert lines[at].split()[2:4] == ["R", "?"]
    assert lines[at + 1].strip() == "late on the fastball (some)"
    assert max(map(len, lines)) <= 80
    assert one(run, "vela")["pitches_thrown"] == 90
    team = json.loads(run("owls", "--json")[1])
    assert sum(row["pitches_seen"] for row in team) == 90
    assert {row["team"] for row in team} == {"Owls"}


def test_two_entries_become_one_player_and_two_again(run: Run) -> None:
    seen = one(run, "owl7")["pitches_seen"]
    status, out, _ = run("Owls", "--same", "#40", "marin #7")
    assert status == 0
    assert out.startswith("Marin #7 and #40 are one player from now on: Marin #40, ")
    assert 'sequencer people "Owls" --apart "#40"' in out
    now = one(run, "owl40")
    assert (now["name"], now["pitches_seen"], now["also"]) == ("Marin", seen, ["Marin"])
    assert now["marks"] == [{"mark": "late on the fastball", "how_often": "some", "against": ""}]
    assert "also Marin" in run("Owls")[1]
    assert run("Owls", "--apart", "Marin #40")[1] == "#40 and Marin #7 are two players again.\n"
    assert one(run, "owl7")["pitches_seen"] == seen
    assert run("Owls", "--apart", "#40")[0] == 1


def test_two_of_one_batting_order_stay_two(run: Run) -> None:
    status, out, err = run("Owls", "--same", "Okoye", "Sato")
    assert (status, out) == (1, "")
    assert "Sato #21 and Okoye #12 are two players: both hit in the order of g0." in err
    assert one(run, "owl21")["pitches_seen"]


def test_a_name_that_two_have_is_refused_naming_both(run: Run) -> None:
    status, out, err = run("Owls", "--mark", "Marin", "runs")
    assert (status, out) == (1, "")
    for word in ("#7", "#41", "id owl7", "id owl41"):
        assert word in err
    assert run("Owls", "--mark", "owl41", "runs")[0] == 0


def test_the_same_player_twice_is_refused(run: Run) -> None:
    assert "already one person" in run("Owls", "--same", "Sato", "#21")[2]


def test_a_number_gets_a_name_a_side_and_another_number(run: Run) -> None:
    out = run("Owls", "--name", "#40", "Ives Carden")[1]
    assert out == "#40 is Ives Carden #40 now, and hits right.\n"
    assert run("--number", "Ives Carden", "#44")[0] == 0
    assert run("--bats", "Ives Carden", "S")[1].endswith("hits both ways.\n")
    now = one(run, "owl40")
    assert (now["name"], now["number"], now["bats"]) == ("Ives Carden", "44", "S")
    assert "has the same name" in run("Owls", "--name", "#44", "Sato")[1]


def test_someone_keeps_a_name_or_a_number(run: Run) -> None:
    assert "needs a name or a number" in run("Owls", "--number", "#40", "")[2]
    assert one(run, "owl40")["number"] == "40"


def test_marks_are_given_and_taken_off(run: Run) -> None:
    status, out, _ = run("--mark", "Sato", "Good eye", "--how-often", "always")
    assert (status, out) == (0, "Sato #21 is marked good eye (always).\n")
    assert one(run, "owl21")["marks"]
    assert "not marked good eye" in run("--unmark", "Sato", "good eye")[1]
    assert one(run, "owl21")["marks"] == []
    status, _, err = run("--mark", "Sato", "good ear")
    assert status == 1 and "did you mean 'good eye'?" in err


def test_a_change_in_json_is_only_json(run: Run) -> None:
    told = json.loads(run("Owls", "--name", "#40", "Ives Carden", "--json")[1])
    assert (told["id"], told["name"]) == ("owl40", "Ives Carden")


@pytest.mark.parametrize(
    ("args", "status", "says"),
    [
        (("Crows",), 1, "No team of the book is called Crows; there are: Herons, Owls."),
        (("Owls", "--apart", "Nobody"), 1, "No player of Owls is called Nobody"),
        (("--apart", "Sato", "--unmark", "Sato", "runs"), 2, "two changes"),
        (("--bats", "Sato", "X"), 2, "'X' is not one of"),
    ],
)
def test_what_cannot_be_meant_is_a_sentence(
    run: Run, args: tuple[str, ...], status: int, says: str
) -> None:
    found, out, err = run(*args)
    assert (found, out) == (status, "")
    assert says in err


def test_twins_are_listed_with_their_ids(run: Run, tmp_path: Path) -> None:
    with open_book(tmp_path / "club.db") as book:
        book.add_team(Team(name="Crows"))
        for id_ in ("crow1", "crow2"):
            book.add_person(Person(id=id_, team="Crows", name="Ash Ibarra"))
    out = run("Crows")[1]
    assert "id crow1" in out and "id crow2" in out


def test_an_empty_book_is_said_to_be_empty(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    open_book(tmp_path / "new.db").close()
    with pytest.raises(SystemExit):
        main(["people", "--book", str(tmp_path / "new.db")])
    assert capsys.readouterr().out == "Nobody is in the book yet.\n"
