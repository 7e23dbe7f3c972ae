"""One player under two entries, and the rules of one game, changed by keys at 80x24."""

import pytest
from textual.widgets import Input

from sequencer.records.people import Mark, Person
from sequencer.records.state import State
from sequencer.records.store import open_book
from tests.tui.driving import Driven, opened
from tui.screens.choose import ChooseScreen, FormScreen
from tui.thinking import Thinker


@pytest.fixture
def two_entries(two_clubs: str) -> str:
    """The two clubs, and a hitter known by his number alone."""
    with open_book(two_clubs) as book:
        book.add_person(Person(id="owl40", team="Owls", number="40", bats="R"))
        book.add_mark(Mark(person="owl40", mark="runs"))
    return two_clubs


def people(book: str) -> dict[str, str]:
    with open_book(book) as opened_book:
        return {one.id: one.label for one in opened_book.people("Owls")}


async def show_forty(driven: Driven) -> None:
    await driven.until_text("hits right")
    await driven.press("end")
    await driven.until_text("Owls: #40, hits right")


async def test_a_number_is_merged_into_a_name_and_taken_out_again(two_entries: str) -> None:
    async with opened(two_entries, place="scouting") as driven:
        await show_forty(driven)
        await driven.press("m")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        for line in ("#40 is one player with:", "u undoes", "21 Sato (R)", "7 Marin (R)"):
            await driven.until_text(line)
        assert "40 #40" not in driven.text()
        await driven.press("down", "down", "enter")
        await driven.until_text("Owls: #7 Marin, hits right")
        await driven.until_text("#40 and Marin #7 are one player from now on: Marin #7")
        await driven.until_text("u takes it back")
        assert "owl40" not in people(two_entries)
        assert driven.screen._hitter.marks == {"late on the fastball": "some", "runs": "some"}
        await driven.press("u")
        await driven.until_text("are two players again")
        assert people(two_entries)["owl40"] == "#40"
        await driven.until(lambda: "runs" not in driven.screen._hitter.marks)
        await driven.press("u")
        await driven.until_text("there is nothing to undo")


async def test_nobody_is_merged_when_the_list_is_left(two_entries: str) -> None:
    async with opened(two_entries, place="scouting") as driven:
        await show_forty(driven)
        await driven.press("m")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("escape")
        await driven.until(lambda: not isinstance(driven.screen, ChooseScreen))
        assert "owl40" in people(two_entries)


async def test_the_palette_lists_merging_where_one_scouts(two_entries: str) -> None:
    async with opened(two_entries, place="scouting") as driven:
        await show_forty(driven)
        named = {command.title for command in driven.app.get_system_commands(driven.screen)}
    assert "he is another player of the team: merge" in named
    assert "take his last merge back" in named


def test_pitches_of_a_merged_player_are_read_again(a_season: str) -> None:
    thinker = Thinker(a_season)
    before = set(thinker._pitches.all()["hitter_id"])
    with open_book(a_season) as book:
        number = book.merge_people("owl7", "owl12")
    assert before - set(thinker._pitches.all()["hitter_id"]) == {"owl12"}
    with open_book(a_season) as book:
        book.undo_merge(number)
    assert set(thinker._pitches.all()["hitter_id"]) == before
    thinker.close()


def edits(book: str) -> list[dict[str, object]]:
    with open_book(book) as opened_book:
        return [game.rule_edits for game in opened_book.games()]


def logged(driven: Driven) -> State:
    assert driven.app.desk and driven.app.desk.session
    return driven.app.desk.session.state


async def write(driven: Driven, words: str) -> None:
    await driven.until(lambda: isinstance(driven.screen, FormScreen))
    driven.screen.query_one("#rule_edits", Input).value = words
    await driven.press("ctrl+s")


async def test_rules_of_a_game_are_changed_from_the_list(two_clubs: str) -> None:
    async with opened(two_clubs) as driven:
        await driven.until_text("r its rules")
        await driven.press("r")
        await driven.until_text("Rules of tonight: high-school, but for")
        await driven.until_text("half_run_limit")
        await write(driven, "half_run_limit=no idea")
        await driven.until_text("is a number from 1 to 30, or none")
        assert driven.screen.query_one("#rule_edits", Input).value == "half_run_limit=no idea"
        await write(driven, "half_run_limit=5; run_rule=12 after 4; 15 after 3")
        await driven.until_text("half_run_limit is 5 (was none)")
    assert edits(two_clubs) == [{"half_run_limit": "5", "run_rule": "12 after 4; 15 after 3"}]


async def test_an_open_game_goes_on_by_its_new_rules(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await driven.until_text("Ines Vela pitching")
        await driven.press("f6")
        await driven.until_text("open in the dugout")
        await driven.press("r")
        await write(driven, "half_run_limit=1")
        await driven.until_text("half_run_limit is 1 (was none)")
        await driven.press("f4")
        await driven.until_place("dugout")
        answer = await driven.app.say_line("fastball, belt-middle, in play, play=home run")
        assert answer.startswith("ok")
        state = logged(driven)
        assert (state.inning, state.outs, state.score_them) == (2, 0, 1)


async def test_a_new_game_is_made_with_rule_changes(empty_book: str) -> None:
    async with opened(empty_book) as driven:
        await driven.press("n")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        for name, value in (("us", "Herons"), ("them", "Owls"), ("pitcher", "Ines Vela")):
            driven.screen.query_one(f"#{name}", Input).value = value
        await write(driven, "innings")
        await driven.until_text("'innings' does not change a rule")
        await write(driven, "innings=5")
        await driven.until_place("dugout")
        assert logged(driven).rules.innings == 5
    assert edits(empty_book) == [{"innings": "5"}]
