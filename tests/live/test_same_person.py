"""One player under two entries: no pitch is lost or moved by making them one."""

import datetime as dt
from collections import Counter
from pathlib import Path

import pytest

from sequencer.errors import BookError, NotInBook
from sequencer.live.opening import NewGame, open_game
from sequencer.live.plain_log import PlainLog
from sequencer.live.same_person import make_one, make_two
from sequencer.live.session import Session
from sequencer.records.store import Book, open_book

OUT = "fastball, belt-middle, in play, play=out"


def game(book: Book, name: str, *lines: str) -> Session:
    day = dt.date(2026, 5, 2)
    session = open_game(book, name, NewGame("Herons", "Owls", pitcher="Vela", date=day))
    log = PlainLog(session)
    for line in lines:
        assert log.answer(line).startswith("ok"), line
    return session


def seen(book: Book) -> Counter[str]:
    counted: Counter[str] = Counter()
    for one in book.games():
        for logged in Session(book, one).state.log:
            hitter = logged.before.hitter
            counted[book.person(hitter).label if hitter else "nobody"] += 1
    return counted


def test_a_number_in_one_game_and_a_name_in_another_are_one_player(tmp_path: Path) -> None:
    with open_book(tmp_path / "b.db") as book:
        game(book, "first", "at 40 R", OUT, "at 7 R", OUT)
        game(book, "second", "at Ives Carden", OUT, OUT)
        number, name = (book.find_person("Owls", said).id for said in ("#40", "Ives Carden"))
        before = seen(book)
        joined = make_one(book, name, number)
        assert joined.says.startswith("#40 and Ives Carden are one player from now on: Ives")
        assert (joined.person.id, joined.person.number) == (name, "40")
        after = seen(book)
        assert after["Ives Carden"] == before["Ives Carden"] + before["#40"]
        assert after.total() == before.total()
        make_two(book, name)
        assert seen(book) == before


def test_a_number_first_and_a_name_later_in_one_game_are_one_player(tmp_path: Path) -> None:
    with open_book(tmp_path / "b.db") as book:
        nine = [line for n in range(1, 10) for line in (f"at {n} R", OUT)]
        game(book, "opener", *nine, "at Ives Carden", OUT, "at 2 R", OUT)
        number, name = (book.find_person("Owls", said).id for said in ("#1", "Ives Carden"))
        make_one(book, name, number)
        assert seen(book)["Ives Carden"] == 2
        assert seen(book).total() == 11


def test_two_who_hit_in_one_order_stay_two_and_nothing_is_written(tmp_path: Path) -> None:
    line_up = tmp_path / "owls.csv"
    line_up.write_text("hitter,bats\nAmes,R\nBirch,L\nCole,R\n", encoding="utf-8")
    with open_book(tmp_path / "b.db") as book:
        new = NewGame("Herons", "Owls", pitcher="Vela", line_up=line_up)
        log = PlainLog(open_game(book, "opener", new))
        for _ in range(3):
            assert log.answer(OUT).startswith("ok")
        ames, birch = (book.find_person("Owls", said).id for said in ("Ames", "Birch"))
        with pytest.raises(BookError, match="Birch and Ames are two players"):
            make_one(book, ames, birch)
        assert book.merges() == []
        assert seen(book) == {"Ames": 1, "Birch": 1, "Cole": 1}


def test_the_last_of_several_merges_is_taken_back_first(tmp_path: Path) -> None:
    with open_book(tmp_path / "b.db") as book:
        game(book, "first", "at 1 R", OUT)
        game(book, "second", "at 2 R", OUT)
        game(book, "third", "at 3 R", OUT)
        one, two, three = (book.find_person("Owls", said).id for said in ("#1", "#2", "#3"))
        make_one(book, one, two)
        make_one(book, one, three)
        assert make_two(book, one).says == "#1 and #3 are two players again."
        assert make_two(book, one).says == "#1 and #2 are two players again."
        with pytest.raises(NotInBook, match="nothing to undo"):
            make_two(book, one)
