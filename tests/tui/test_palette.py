"""The palette finds people and games, reads a file in, and stays fast with a large book."""

import time
from pathlib import Path

from textual.command import CommandPalette
from textual.widgets import Input, OptionList

from sequencer.records.people import Person, Team
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.desk_finding import findable
from tui.finding import Findable, folded, matches
from tui.palette import SHOWN
from tui.screens.choose import ChooseScreen, PageScreen
from tui.screens.working import WorkingScreen


def person(says: str, *words: str) -> Findable:
    return Findable("hitter", says, says, "", folded(" ".join((says, *words))))


async def type_in(driven: Driven, words: str) -> OptionList:
    await driven.press("ctrl+p")
    await driven.until(lambda: isinstance(driven.screen, CommandPalette))
    driven.screen.query_one(Input).value = words
    listed: OptionList = driven.screen.query_one(OptionList)
    return listed


async def choose(driven: Driven, words: str, line: str) -> None:
    listed = await type_in(driven, words)
    await driven.until(lambda: line in driven.text() and listed.highlighted is not None, line)
    await driven.press("enter")


def test_every_word_typed_must_begin_a_word_of_what_is_found() -> None:
    people = [person("Okoye", "12", "Owls"), person("Okafor", "21", "Owls"), person("Marin", "7")]
    assert [f.what.says for f in matches(people, "ok")] == ["Okoye", "Okafor"]
    assert [f.what.says for f in matches(people, "owls 21")] == ["Okafor"]
    assert [f.what.says for f in matches(people, "#12")] == ["Okoye"]
    assert matches(people, "koye") == matches(people, "") == matches(people, " # ") == []


def test_a_whole_number_comes_before_numbers_that_begin_with_it() -> None:
    people = [person("A", "70"), person("B", "7"), person("C", "77")]
    assert matches(people, "7")[0].what.says == "B"


def test_accents_and_case_do_not_matter_and_other_scripts_are_found() -> None:
    people = [person("Élodie Ó Briain"), person("דנה לוי"), person("سلمى"), person("陳小明")]
    for typed, says in (("ELODIE o", 0), ("לוי", 1), ("سلمى", 2), ("陳", 3)):
        assert matches(people, typed)[0].what is people[says]


def test_a_book_of_three_thousand_people_is_searched_between_two_keys(tmp_path: Path) -> None:
    path = clubs.book_at(tmp_path / "book.db", games=1)
    with open_book(path) as book:
        with book.transaction():
            for n in range(200):
                book.add_team(Team(name=f"Club {n}"))
            for n in range(3000):
                said = {"name": f"Nova{n} Tal", "number": str(n % 99)}
                book.add_person(Person(id=f"p{n}", team=f"Club {n % 200}", **said))
        listed = findable(book)
    assert len(listed) == 3000 + len(clubs.OWLS) + 1 + 1
    began = time.perf_counter()
    assert len(matches(listed, "nova")) == 3000
    assert [f.what.id for f in matches(listed, "nova2999 tal")] == ["p2999"]
    assert time.perf_counter() - began < 0.5  # two searches; a tenth of that on a usual machine


async def test_a_hitter_is_found_by_name_and_opens_in_scouting(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await choose(driven, "okoy", "#12 Okoye, Owls, hits left")
        await driven.until_place("scouting")
        await driven.until_text("Owls: #12 Okoye, hits left")


async def test_a_hitter_is_found_while_scouting_is_in_front(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until_text("hits right")
        await choose(driven, "33", "#33 Prieto")
        await driven.until_text("Owls: #33 Prieto, hits right")


async def test_a_pitcher_of_ours_opens_his_own_page(a_season: str) -> None:
    async with opened(a_season) as driven:
        await choose(driven, "vela", "Ines Vela, Herons")
        await driven.until(lambda: isinstance(driven.screen, PageScreen))
        await driven.until_text("fastball")


async def test_a_game_is_found_by_its_date_and_opens_in_the_dugout(a_season: str) -> None:
    async with opened(a_season) as driven:
        await choose(driven, "2026-05-09", "Herons and Owls   g1")
        await driven.until_place("dugout")
        assert driven.screen._view.game_id == "g1"


async def test_more_than_a_page_of_hits_is_one_choice_away(tmp_path: Path) -> None:
    path = clubs.book_at(tmp_path / "book.db")
    with open_book(path) as book, book.transaction():
        book.add_team(Team(name="Terns"))
        for n in range(SHOWN + 5):
            book.add_person(Person(id=f"p{n}", team="Terns", name=f"Nova{n:02}", bats="R"))
    async with opened(path) as driven:
        listed = await type_in(driven, "nova")
        words = f"all {SHOWN + 5} of the book that fit"
        await driven.until(lambda: listed.option_count == SHOWN + 1, "a page of hits")
        listed.highlighted = SHOWN
        await driven.until_text(words)
        await driven.press("enter")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("end", "enter")
        await driven.until_text(f"Terns: Nova{SHOWN + 4:02}")


def hitters_file(folder: Path, rows: int = 2) -> Path:
    file = folder / "hitters.csv"
    lines = [f"Terns,Nova{n},{n},R,pull hitter: some" for n in range(rows)]
    file.write_text("\n".join(("team,hitter,hitter_no,bats,marks", *lines)) + "\n")
    return file


async def test_a_file_named_in_the_palette_is_read_in(two_clubs: str, tmp_path: Path) -> None:
    file = hitters_file(tmp_path)
    async with opened(two_clubs) as driven:
        await choose(driven, f"import {file}", "told by the columns")
        await driven.until(lambda: isinstance(driven.screen, WorkingScreen))
        await driven.until_text("2 added.")
        await driven.press("escape")
        await choose(driven, "nova1", "#1 Nova1, Terns")
        await driven.until_text("Terns: #1 Nova1")


async def test_a_file_with_a_bad_row_adds_nothing_and_says_which(
    two_clubs: str, tmp_path: Path
) -> None:
    file = hitters_file(tmp_path)
    file.write_text(file.read_text() + "Terns,Nova9,9,X,\n")
    async with opened(two_clubs) as driven:
        await choose(driven, f"import {file}", "told by the columns")
        await driven.until_text("Nothing was read, 1 row refused")
        assert "line 4" in driven.text()
    with open_book(two_clubs) as book:
        assert not book.people("Terns")


async def test_an_import_that_is_stopped_leaves_nothing(two_clubs: str, tmp_path: Path) -> None:
    file = hitters_file(tmp_path, 20000)
    async with opened(two_clubs) as driven:
        await choose(driven, f"import {file}", "told by the columns")
        await driven.until_text("Reading hitters.csv")
        await driven.press("escape")
        await driven.until_text("nothing was read in")
        await driven.until(lambda: all(w.is_finished for w in driven.app.workers), "the stop")
        await driven.app.at_thought.run(lambda: None)
    with open_book(two_clubs) as book:
        assert not book.people("Terns")
