import datetime as dt
import json
from pathlib import Path

from tui.settings import remember_game, remembered_game


def test_the_game_in_the_dugout_is_remembered_for_its_own_book(tmp_path: Path) -> None:
    remember_game(tmp_path / "book.db", "g1")
    assert remembered_game(tmp_path / "book.db") == "g1"
    assert remembered_game(tmp_path / "other.db") == ""


def test_it_is_forgotten_after_a_day(tmp_path: Path, own_settings: Path) -> None:
    remember_game(tmp_path / "book.db", "g1")
    file = own_settings.with_name("last_game.json")
    said = json.loads(file.read_text(encoding="utf-8"))
    said["at"] = (dt.datetime.now() - dt.timedelta(days=2)).isoformat()
    file.write_text(json.dumps(said), encoding="utf-8")
    assert remembered_game(tmp_path / "book.db") == ""


def test_junk_where_it_is_kept_is_as_good_as_nothing(tmp_path: Path, own_settings: Path) -> None:
    for junk in ("", "[]", "{}", '{"book": 1, "game": 2, "at": "soon"}'):
        own_settings.with_name("last_game.json").write_text(junk, encoding="utf-8")
        assert remembered_game(tmp_path / "book.db") == ""
