"""The commands that read, write, check and copy a book, as a person calls them."""

import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from sequencer.cli import main
from sequencer.records.store import open_book
from tests.records.readers.helpers import ROWS, write_log

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    def call(*args: object, book: str = "book.db") -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            main(["--book", str(tmp_path / book), *map(str, args)])
        said = capsys.readouterr()
        return int(left.value.code or 0), said.out, said.err

    return call


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return write_log(tmp_path / "log.csv", *ROWS)


def test_import_tells_what_it_did(run: Run, log: Path) -> None:
    assert run("import", log, "--date", "2026-04-18")[:2] == (0, "4 added, 0 known already\n")
    assert run("import", log)[:2] == (0, "0 added, 4 known already\n")


def test_import_in_json_is_only_json(run: Run, log: Path) -> None:
    status, out, _ = run("import", log, "--json")
    told = json.loads(out)
    assert status == 0
    assert (told["added"], told["known"], told["bad"]) == (4, 0, [])
    assert isinstance(told["warnings"], list)


def test_a_refused_import_names_rows_and_exits_one(run: Run, tmp_path: Path) -> None:
    log = write_log(tmp_path / "log.csv", *ROWS, ROWS[0])
    status, out, err = run("import", log)
    assert status == 1
    assert "log.csv line 6: at-bat 1 pitch 1 of opener is in line 2 already" in err
    assert "nothing was read" in err
    assert "0 added" in out
    status, out, _ = run("import", log, "--json")
    assert (status, json.loads(out)["bad"][0]["line"]) == (1, 6)
    status, out, _ = run("import", log, "--keep-good")
    assert (status, out) == (0, "4 added, 0 known already, 1 refused\n")


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"a,b\n", b"\x00", b"caf\xe9,b\n1,2\n"])
def test_a_file_that_cannot_be_read_is_one_sentence_and_exit_one(
    run: Run, tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    status, out, err = run("import", path)
    assert (status, out) == (1, "")
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_a_drafted_map_is_written_once_and_used(run: Run, tmp_path: Path, log: Path) -> None:
    text = log.read_text(encoding="utf-8").replace("hitter", "Batter").replace("result", "Outcome")
    theirs = tmp_path / "theirs.csv"
    theirs.write_text(text, encoding="utf-8")
    drafted = tmp_path / "map.toml"
    assert run("import", theirs)[0] == 1
    assert run("import", theirs, "--draft-map", drafted)[0] == 0
    assert run("import", theirs, "--draft-map", drafted)[0] == 1
    assert run("import", theirs, "--map", drafted)[:2] == (0, "4 added, 0 known already\n")


def test_an_export_comes_back_as_the_same_book(run: Run, tmp_path: Path, log: Path) -> None:
    run("import", log, "--date", "2026-04-18")
    status, out, _ = run("export", tmp_path / "out")
    assert status == 0
    assert str(tmp_path / "out" / "pitches.csv") in out
    assert run("import", tmp_path / "out", book="other.db")[0] == 0
    status, out, _ = run("export", tmp_path / "again", "--json", book="other.db")
    assert status == 0
    for file in json.loads(out)["files"]:
        assert Path(file).read_bytes() == (tmp_path / "out" / Path(file).name).read_bytes()


def test_check_counts_a_sound_book_and_a_missing_one_is_no_book(run: Run, log: Path) -> None:
    run("import", log)
    status, out, _ = run("check", "--json")
    told = json.loads(out)
    assert (status, told["sound"], told["counts"]["pitches"]) == (0, True, 4)
    assert "sound; 2 teams, 3 people" in run("check")[1]
    for command in ("check", "export", "backup"):
        args = [] if command == "check" else ["somewhere"]
        status, _, err = run(command, *args, book="none.db")
        assert status == 1
        assert "none.db" in err


def test_a_backup_is_restored_and_the_book_before_is_kept(
    run: Run, tmp_path: Path, log: Path
) -> None:
    run("import", log)
    copy = tmp_path / "copy.db"
    assert run("backup", copy)[0] == 0
    assert run("backup", copy)[0] == 1
    more = write_log(tmp_path / "more.csv", "closer,1,1,0,0,Ash Reed,Lew Toll,fastball,ball")
    run("import", more)
    status, out, _ = run("restore", copy, "--json")
    kept = Path(json.loads(out)["kept"]).name
    assert status == 0
    assert json.loads(run("check", "--json")[1])["counts"]["games"] == 1
    assert json.loads(run("check", "--json", book=kept)[1])["counts"]["games"] == 2


def test_what_fails_in_a_new_book_leaves_no_book(run: Run, tmp_path: Path) -> None:
    log = write_log(tmp_path / "log.csv", *ROWS, ROWS[0])
    for call in (
        ("import", log),
        ("import", tmp_path / "none.csv"),
        ("log", "opener", "--plain", "--line-up", tmp_path / "none.csv"),
        ("log", "opener", "--plain", "--rules", "nonsense"),
        ("log", "opener"),
        ("log", " ", "--plain"),
    ):
        assert run(*call)[0] == 1
        assert not list(tmp_path.glob("book*")), call


def test_what_fails_in_an_older_book_leaves_the_book(run: Run, log: Path, tmp_path: Path) -> None:
    assert run("import", log)[0] == 0
    assert run("import", tmp_path / "none.csv")[0] == 1
    assert run("import", log)[1] == "0 added, 4 known already\n"


def test_a_new_book_another_program_has_open_is_left_to_it(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    with pytest.raises(ValueError, match="on purpose"), open_book(path):
        other = sqlite3.connect(path)
        other.execute("SELECT * FROM teams").fetchall()
        raise ValueError("on purpose")
    assert path.exists()
    other.close()


def test_logging_without_a_terminal_makes_no_game(run: Run, log: Path, tmp_path: Path) -> None:
    assert run("import", log)[0] == 0
    status, _, err = run("log", "new-game")
    assert status == 1 and "no terminal" in err
    with open_book(tmp_path / "book.db") as book:
        assert [game.game for game in book.games()] == ["opener"]
