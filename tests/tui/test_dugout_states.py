"""The dugout through the states of a game: nothing an evening brings stops the log."""

import random
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from sequencer.live.session import Session
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Person
from sequencer.records.state import State
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tests.tui.monkey import send, taken

MOSS = Person(id="moss", team="Herons", name="Moss", throws="L")
JARR = Person(id="jarr", team="Owls", name="Jarr", number="10", bats="S")
KEMP = Person(id="kemp", team="Owls", name="Kemp", number="11", bats="R")


def book_of(folder: Path, rules: str = "high-school", **header: Any) -> str:
    """Make a book with a game under some rules, both clubs known, and three more on the benches."""
    path = clubs.book_at(folder / "book.db")
    edits: Mapping[str, Any] = {"electronic_advice": "no", **header.pop("edits", {})}
    with open_book(path) as book, book.transaction():
        for person in (MOSS, JARR, KEMP):
            book.add_person(person)
        fields = {"id": "tonight", "game": "tonight", "date": clubs.DAY, "level": "17-18"}
        sides = {"us": "Herons", "them": "Owls", "rules": rules, "rule_edits": edits}
        game = Game.model_validate({**fields, **sides, **header})
        book.add_game(game)
        session = Session(book, game)
        session.add(Event(event="pitcher", who="vela", side="us"))
        for slot, person in enumerate(clubs.OWLS, 1):
            session.add(Event(event="line-up", who=person.id, slot=slot, side="them"))
    return path


def kept(path: str) -> State:
    """Return the game as the book has it."""
    with open_book(path) as book:
        game = book.find_game("tonight")
        assert game is not None
        return Session(book, game).state


async def type_in(driven: Driven, *parts: str) -> Any:
    """Type parts as fast as they come (a part with `:` is a line); returns what is shown then."""
    for part in parts:
        for key in (*part, "enter") if part.startswith(":") else part:
            send(driven.app, key)
    await taken(driven.app)
    return driven.screen._view


def results(path: str) -> list[str]:
    return [logged.pitch.play or logged.pitch.result for logged in kept(path).log]


async def test_undo_goes_back_to_the_first_entry_and_redo_all_the_way_forward(
    tmp_path: Path,
) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        end = await type_in(driven, "bblyRS4cmU12fbuHH", "lllf")
        logged = kept(path)
        first = await type_in(driven, "<" * 60)
        assert "nothing to undo" in driven.screen._told
        assert (first.inning, first.balls, first.strikes, kept(path).log) == (1, 0, 0, ())
        again = await type_in(driven, ">" * 60)
        assert "nothing to redo" in driven.screen._told
        assert (again.entries, again.balls, again.strikes) == (end.entries, end.balls, end.strikes)
        assert kept(path).log == logged.log
        view = await type_in(driven, "<<<b>")
        assert "nothing to redo" in driven.screen._told
        assert view.entries[-1].endswith("Pitch, ball")


async def test_a_missed_pitch_goes_in_anywhere_and_all_after_it_is_derived_anew(
    tmp_path: Path,
) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        await type_in(driven, "lfmbbboo")
        view = await type_in(driven, ":insert 2 fastball, up-in, ball")
        assert results(path)[:3] == ["called strike", "ball", "foul"]
        assert (view.inning, view.outs) == (2, 0)
        view = await type_in(driven, ":insert 1 changeup, down-away, ball")
        assert results(path)[0] == "ball" and len(results(path)) == 10
        view = await type_in(driven, ":insert 10 curveball, down-middle, foul")
        assert results(path)[-2:] == ["foul", "out"]
        view = await type_in(driven, "<<<")
        assert len(results(path)) == 8 and view.inning == 2


async def test_any_earlier_entry_is_corrected_and_what_followed_from_it_with_it(
    tmp_path: Path,
) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "yub")
        assert (view.score_them, [bool(on) for on in view.bases]) == (0, [False, True, True])
        view = await type_in(driven, ":correct 1 play=home run", "b")
        assert (view.score_them, [bool(on) for on in view.bases]) == (1, [False, True, False])
        assert (view.balls, view.strikes) == (2, 0)
        view = await type_in(driven, ":correct 2 play=single, moves=b-1", "f")
        assert view.bases == ("Okoye", "", "") and view.strikes == 1
        view = await type_in(driven, ":correct 1 play=out")
        assert (view.outs, view.score_them, view.bases) == (1, 0, ("Okoye", "", ""))


async def test_a_correction_that_cannot_be_is_refused_and_the_game_stays(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        await type_in(driven, "yRSb", ":correct 1 play=out")
        await driven.until_text("Not done: Then a later entry could not have happened")
        await driven.press("escape")
        view = await type_in(driven, "l")
        assert results(path) == ["single", "ball", "called strike"]
        assert view.bases == ("", "Marin", "")


async def test_runners_go_as_is_usual_and_the_next_pitch_accepts_it(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        assert (await type_in(driven, "y")).bases == ("Marin", "", "")
        assert (await type_in(driven, "y")).bases == ("Okoye", "Marin", "")
        assert (await type_in(driven, "bbbb")).bases == ("Brandt", "Okoye", "Marin")
        view = await type_in(driven, "kb")
        assert (view.score_them, view.outs, view.bases) == (1, 1, ("Brandt", "Okoye", ""))
        assert all(not logged.pitch.moves for logged in kept(path).log)
        view = await type_in(driven, "yM24b")
        assert (view.score_them, view.bases) == (2, ("Lindqvist", "Brandt", ""))
        assert kept(path).log[-2].pitch.moves == "2-home"


async def test_runners_steal_move_up_and_are_put_out_in_two_keys(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        assert (await type_in(driven, "yyRS")).bases == ("Okoye", "", "Marin")
        assert (await type_in(driven, "RRS")).bases == ("", "Okoye", "Marin")
        view = await type_in(driven, "RB")
        assert (view.score_them, view.bases) == (1, ("", "", "Okoye"))
        view = await type_in(driven, "RP", "yRF", "yRK")
        assert (view.score_them, view.outs, view.bases) == (2, 2, ("", "", ""))
        view = await type_in(driven, "RS")
        assert "no runner on base" in driven.screen._told and view.outs == 2


async def test_a_courtesy_runner_runs_and_the_order_stays(tmp_path: Path) -> None:
    path = book_of(tmp_path, "scrimmage")
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "y", ":sub courtesy Kemp for Marin")
        assert view.bases == ("Kemp", "", "")
        view = await type_in(driven, "RS", "u")
        assert view.score_them == 1 and kept(path).orders["them"].slots[0] == "owl7"


async def test_rules_without_courtesy_runners_say_so_and_the_line_stays(tmp_path: Path) -> None:
    path = book_of(tmp_path, "pro")
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "y", ":sub courtesy Kemp for Marin")
        await driven.until_text("The pro rules have no courtesy runner")
        await driven.press("escape")
        view = await type_in(driven, "b")
        assert view.balls == 1 and view.bases[0] == "Marin"


async def test_a_runner_is_placed_on_second_from_the_inning_the_rules_say(tmp_path: Path) -> None:
    path = book_of(tmp_path, "pro", edits={"placed_runner_from_inning": 2})
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "ooo")
        assert (view.inning, view.up_name, view.bases) == (2, "Sato", ("", "Brandt", ""))
        view = await type_in(driven, "y", ":runner 3-home wild pitch")
        assert view.score_them == 1


async def test_a_starter_comes_back_once_and_only_where_the_rules_let_him(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, ":sub Kemp for Marin")
        assert view.up_name == "Kemp"
        view = await type_in(driven, "b", ":sub Marin for Kemp")
        assert (view.up_name, view.balls) == ("Marin", 1)
        await type_in(driven, ":sub Kemp for Marin")
        await driven.until_text("cannot come back")
        await driven.press("escape")
        assert (await type_in(driven, "l")).strikes == 1


async def test_a_reliever_comes_in_by_key_and_a_switch_hitter_turns_round(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, ":sub Jarr for Marin")
        assert (view.up_name, view.bats) == ("Jarr", "L")
        await type_in(driven, "bl")
        await driven.press("P", "down", "enter")
        await driven.until(lambda: driven.screen._view.pitcher == "Moss", "Moss")
        view = driven.screen._view
        assert (view.bats, view.balls, view.strikes) == ("R", 1, 1)
        await type_in(driven, "f")
        state = kept(path)
        assert [logged.before.bats for logged in state.log] == ["L", "L", "R"]
        assert state.pitch_counts == {"vela": 2, "moss": 1}


async def test_our_next_pitcher_chosen_while_we_hit_is_ours_and_not_theirs(tmp_path: Path) -> None:
    path = book_of(tmp_path, both_halves=True)
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "ooo")
        assert not view.we_pitch
        await driven.press("P", "down", "enter")
        await driven.until(lambda: kept(path).pitchers.get("us") == "moss", "Moss")
        assert kept(path).pitchers.get("them", "") != "moss"
        view = await type_in(driven, "ooo", "b")
        assert (view.pitcher, view.inning) == ("Moss", 2)


async def test_halves_end_early_by_key_and_by_the_run_limit(tmp_path: Path) -> None:
    path = book_of(tmp_path, "youth-46-young")
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "lyHH")
        assert (view.inning, view.outs, view.bases) == (2, 0, ("", "", ""))
        assert view.up_name == "Okoye"
        view = await type_in(driven, "rrrrr")
        assert (view.inning, view.score_them) == (3, 5)
        view = await type_in(driven, "<")
        assert (view.inning, view.score_them) == (2, 4)


async def test_everybody_bats_and_the_order_comes_round(tmp_path: Path) -> None:
    path = book_of(tmp_path, "youth-46")
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, "y" * 9)
        assert view.up_name == "Marin" and view.score_them == 6
        view = await type_in(driven, ":absent Okoye", "y")
        assert view.up_name == "Brandt" and view.outs == 0


async def test_an_absent_hitter_is_an_out_where_the_rules_say_so(tmp_path: Path) -> None:
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        view = await type_in(driven, ":absent Okoye", "y")
        assert (view.up_name, view.outs) == ("Brandt", 1)


@pytest.mark.parametrize("seed", range(3))
async def test_any_pitch_of_a_game_can_be_put_right_from_the_screen(
    tmp_path: Path, seed: int
) -> None:
    dice = random.Random(seed)
    path = book_of(tmp_path)
    async with opened(path, game="tonight") as driven:
        await type_in(driven, "".join(dice.choices("bblmfoy", k=30)))
        for n in dice.sample(range(1, 31), 6):
            place = dice.choice(("up-in", "down-away", "belt-middle"))
            await type_in(driven, f":correct {n} pitch=slider, cell={place}")
            logged = kept(path).log[n - 1]
            assert logged.pitch.pitch == "slider" and logged.pitch.cell
        assert len(kept(path).log) == 30


async def test_the_side_drawn_is_that_of_who_is_up_also_before_his_first_pitch(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        assert driven.screen._view.zone.bats == "R"
        for key in "1y":
            send(driven.app, key)
        await driven.until(lambda: driven.screen._view.up_name == "Okoye")
        assert driven.screen._view.zone.bats == "L"


async def test_a_side_nobody_said_is_not_drawn(empty_book: str) -> None:
    with open_book(empty_book) as book:
        book.add_game(Game(id="new", game="new", date=clubs.DAY, us="Herons", them="Kites"))
    async with opened(empty_book, game="new") as driven:
        for key in "#7":
            send(driven.app, key)
        await driven.press("enter")
        await driven.until_text("side not said")
        for key in "1sy":
            send(driven.app, key)
        await driven.until_text("Who is up?")
        assert driven.screen._view.zone.spots and driven.screen._view.zone.bats == ""
