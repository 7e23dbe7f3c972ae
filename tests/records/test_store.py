import contextlib
import datetime as dt
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from sequencer.errors import BookError, NotInBook
from sequencer.places import default_book
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.migrations import opening
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Pitch
from sequencer.records.store import Book, RowsMoved, open_book
from tests.records.games import BENCH, HITTERS, VELA, event, game, pitch


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(tmp_path / "club.db") as opened:
        opened.add_game(game())
        for person in (VELA, BENCH, *HITTERS):
            opened.add_person(person)
        yield opened


def test_a_new_book_is_made_at_this_version_and_sound(book: Book) -> None:
    assert book.version == opening.VERSIONS[-1]
    assert book.check() == []


def test_a_game_brings_its_teams_ours_first(book: Book) -> None:
    assert [(team.name, team.ours) for team in book.teams()] == [("Herons", True), ("Owls", False)]
    book.add_team(Team(name="Owls", ours=True, level="15-16"))
    assert {team.name: team.level for team in book.teams()} == {"Herons": "", "Owls": "15-16"}


def test_what_is_kept_comes_back_the_same_after_reopening(book: Book) -> None:
    throws = (Throw(set_no=1, throw_no=1, pitch="slider", strike=True, tells=("long look",)),)
    pen = Bullpen(
        id="b", bullpen="Monday", date=dt.date(2026, 4, 13), pitcher="vela", throws=throws
    )
    mark = Mark(person="h1", mark="dives", how_often="once", date=dt.date(2026, 4, 1))
    book.add_bullpen(pen)
    book.add_mark(mark)
    rows = [
        book.append("g", "add", entry=pitch("single", tells=("flare",), speed_mph=71.5)),
        book.append("g", "insert", entry=event("steal", base_from="1"), target=1),
        book.append("g", "correct", target=1, changes={"play": "double"}),
        book.append("g", "undo"),
    ]
    with open_book(book.path, create=False) as again:
        assert again.rows("g") == rows
        assert again.games() == [game()]
        assert again.bullpens("vela") == [pen]
        assert again.marks("h1") == [mark]
        assert again.people("Owls") == [*HITTERS, BENCH]


def test_rows_are_numbered_and_a_stale_writer_is_turned_away(book: Book) -> None:
    assert book.append("g", "add", entry=pitch("ball"), after_seq=0).seq == 1
    with pytest.raises(RowsMoved):
        book.append("g", "add", entry=pitch("ball"), after_seq=0)
    assert book.last_seq("g") == 1
    assert book.extend("g", [pitch("ball")] * 3) == 3
    assert book.stamps() == {"g": 4}


def test_a_transaction_keeps_all_or_nothing(book: Book) -> None:
    with pytest.raises(RuntimeError), book.transaction():
        book.append("g", "add", entry=pitch("ball"))
        book.add_person(Person(id="new", team="Owls"))
        raise RuntimeError
    assert book.rows("g") == []
    with pytest.raises(NotInBook):
        book.person("new")


def test_a_row_of_no_game_and_a_person_of_no_team_are_refused(book: Book) -> None:
    with pytest.raises(BookError):
        book.append("nowhere", "add", entry=pitch("ball"))
    with pytest.raises(BookError):
        book.add_person(Person(id="x", team="Nobodies"))


def test_people_are_found_by_name_number_or_both(book: Book) -> None:
    book.add_person(Person(id="a1", team="Owls", name="Ames", number="31"))
    assert book.find_person("Owls", "birch").id == "h2"
    assert book.find_person("Owls", "#3").id == "h3"
    assert book.find_person("Owls", "Ames #31").id == "a1"
    with pytest.raises(NotInBook, match=r"More than one .*#1.*#31"):
        book.find_person("Owls", "Ames")
    with pytest.raises(NotInBook, match="there are: Ames"):
        book.find_person("Owls", "Zed")


def test_a_person_is_changed_in_place(book: Book) -> None:
    assert book.change_person("h1", bats="L").bats == "L"
    assert book.person("h1").bats == "L"
    with pytest.raises(NotInBook):
        book.change_person("nobody", bats="L")


def test_two_ids_are_made_one_person_and_two_again(book: Book) -> None:
    book.add_person(Person(id="seven", team="Owls", number="77", bats="L"))
    book.add_person(Person(id="named", team="Owls", name="Quill"))
    book.add_mark(Mark(person="seven", mark="dives"))
    n = book.merge_people("named", "seven")
    one = book.person("seven")
    assert (one.id, one.name, one.number, one.bats) == ("named", "Quill", "77", "L")
    assert [mark.mark for mark in book.marks("named")] == ["dives"]
    assert "seven" not in {person.id for person in book.people("Owls")}
    assert book.merges() == [(n, "named", "seven")]
    book.undo_merge(n)
    assert book.person("seven").number == "77" and book.person("named").number == ""
    assert book.marks("named") == [] and book.merges() == []
    book.merge_people("seven", "named")
    assert book.person("named").id == "seven"
    with pytest.raises(BookError, match="already one person"):
        book.merge_people("named", "seven")


def test_the_same_mark_seen_the_same_way_is_replaced_and_can_be_dropped(book: Book) -> None:
    book.add_mark(Mark(person="h1", mark="dives", how_often="once"))
    book.add_mark(Mark(person="h1", mark="dives", how_often="always"))
    book.add_mark(Mark(person="h1", mark="dives", how_often="some", against="hard"))
    assert [mark.how_often for mark in book.marks("h1")] == ["always", "some"]
    book.drop_mark("h1", "dives")
    assert book.marks() == []


def test_a_games_header_can_be_changed_and_a_game_found_by_name_or_id(book: Book) -> None:
    assert book.change_game("g", level="15-16").level == "15-16"
    found = book.find_game("opener")
    assert found is not None and found == book.find_game("g") and found.level == "15-16"
    assert book.find_game("none") is None
    with pytest.raises(NotInBook):
        book.change_game("none", level="")


def test_a_backup_is_the_same_book_and_never_covers_a_file(book: Book, tmp_path: Path) -> None:
    book.append("g", "add", entry=pitch("ball"))
    copy = book.backup(tmp_path / "copy.db")
    with open_book(copy, create=False) as again:
        assert again.rows("g") == book.rows("g")
    with pytest.raises(BookError, match="exists already"):
        book.backup(copy)
    with pytest.raises(BookError, match="does not exist"):
        book.backup(tmp_path / "no" / "copy.db")


def test_the_steps_give_the_tables_this_version_uses(book: Book) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from sequencer.records.migrations.schema import METADATA

    with book._engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []


NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.add_column("games", sa.Column("weather", sa.String))
    {then}
"""


def _one_more_step(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, then: str = "pass") -> None:
    steps = tmp_path / "steps"
    shutil.copytree(opening.STEPS, steps)
    (steps / "versions" / "v0004_weather.py").write_text(NEXT.format(then=then))
    monkeypatch.setattr(opening, "STEPS", steps)
    monkeypatch.setattr(opening, "VERSIONS", (*opening.VERSIONS, "0004"))


def test_an_older_book_is_brought_up_and_a_copy_kept_beside_it(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.append("g", "add", entry=pitch("ball"))
    book.close()
    _one_more_step(tmp_path, monkeypatch)
    with open_book(book.path) as newer:
        assert newer.version == "0004"
        assert [row.entry for row in newer.rows("g")] == [Pitch(result="ball")]
    monkeypatch.undo()
    with open_book(tmp_path / "club.db.version-0003", create=False) as kept:
        assert kept.version == "0003" and len(kept.rows("g")) == 1


def test_a_book_of_before_the_radar_opens_and_takes_what_it_measures(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = tmp_path / "steps"
    shutil.copytree(opening.STEPS, steps)
    for later in ("v0002_off_the_bat.py", "v0003_both_hands.py"):
        (steps / "versions" / later).unlink()
    old, hit = tmp_path / "old.db", Pitch(result="foul", exit_mph=91.5, launch_deg=-12.0)
    with monkeypatch.context() as before:
        before.setattr(opening, "STEPS", steps)
        before.setattr(opening, "VERSIONS", ("0001",))
        with open_book(old) as first:
            first.add_team(Team(name="Heron Creek"))
            first.add_team(Team(name="Gull Harbor"))
            first.add_game(game())
            first.append("g", "add", entry=pitch("ball"))
            assert first.version == "0001"
    with open_book(old) as now:
        now.append("g", "add", entry=hit)
        assert now.version == opening.VERSIONS[-1]
        assert [row.entry for row in now.rows("g")] == [Pitch(result="ball"), hit]
    assert (tmp_path / "old.db.version-0001").exists()
    with monkeypatch.context() as before:
        before.setattr(opening, "VERSIONS", ("0001",))
        with pytest.raises(BookError, match="newer version"):
            open_book(old)


def test_a_step_that_fails_leaves_the_book_as_it_was(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.close()
    _one_more_step(tmp_path, monkeypatch, then="op.drop_table('nothing')")
    with pytest.raises(BookError):
        open_book(book.path)
    monkeypatch.undo()
    with open_book(book.path) as same:
        assert same.version == "0003" and same.games() == [game()]
    with contextlib.closing(sqlite3.connect(book.path)) as connection:
        columns = connection.execute("SELECT * FROM games").description
    assert "weather" not in [column[0] for column in columns]


def test_the_default_books_folder_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SEQUENCER_BOOK", str(tmp_path / "new" / "book.db"))
    with open_book(default_book()) as opened:
        assert opened.games() == []


def test_commits_are_durable_and_references_checked(book: Book) -> None:
    with book._engine.connect() as connection:
        said = [
            connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        ]
    assert said == ["wal", 2, 1, opening.BUSY_MS]
