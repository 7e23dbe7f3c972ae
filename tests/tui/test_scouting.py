"""Scouting in a hurry and at leisure: quick marks, at-bats, pictures that say how thin."""

import datetime as dt

import pytest

from sequencer.baseball.levels import level
from sequencer.baseball.marks import MARKS
from sequencer.errors import BadInput
from sequencer.records.people import Person
from sequencer.records.store import open_book
from tests.tui.driving import Driven, opened, same_as_golden
from tui import desk_marking, pages
from tui.history import at_bat_line, history, hit_lines
from tui.picture_views import Seen, ZoneView
from tui.picturing import share_zone
from tui.quick_marks import MARK_KEYS, mark_lines
from tui.screens.choose import PageScreen
from tui.screens.quick_marks import QuickMarksScreen
from tui.shares import SHARES
from tui.thinking import Thinker
from tui.widgets.zone_picture import ZonePicture, grid_of


def marks(book: str, number: str) -> dict[str, str]:
    with open_book(book) as one:
        (person,) = [p for p in one.people("Owls") if p.number == number]
        return {mark.mark: mark.how_often for mark in one.marks(person.id)}


async def quick(driven: Driven) -> None:
    await driven.until_text("hits right")
    await driven.press("q")
    await driven.until(lambda: isinstance(driven.screen, QuickMarksScreen))


def test_every_mark_has_one_letter_of_its_own() -> None:
    assert set(MARK_KEYS) == set(MARKS)
    assert len(set(MARK_KEYS.values())) == len(MARKS)
    assert not set(MARK_KEYS.values()) & set("RL0123456789")
    assert all(
        any(f"{letter} {mark}" in line for line in mark_lines())
        for mark, letter in MARK_KEYS.items()
    )


async def test_two_or_three_keys_mark_a_hitter_and_the_next_number_begins_another(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await quick(driven)
        await driven.press("1", "2", "p", "3", "l", "l", "9", "g")
        await driven.until_text("#9 Lindqvist: good eye once")
        assert marks(two_clubs, "12") == {"pull hitter": "once"}
        assert marks(two_clubs, "3") == {"late on the fastball": "some"}
        assert marks(two_clubs, "9") == {"good eye": "once"}
        same_as_golden("quick_marks_80x24", await driven.settled())
        await driven.press("escape")
        await driven.until_place("scouting")


async def test_a_mark_is_taken_back_and_a_letter_without_a_number_asks_whose(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await quick(driven)
        await driven.press("p")
        await driven.until_text("Whose? Type his number first.")
        await driven.press("1", "5", "backspace", "2", "p", "backspace")
        await driven.until_text("#12 Okoye: pull hitter taken off")
    assert marks(two_clubs, "12") == {}


async def test_a_new_number_is_added_with_his_side(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await quick(driven)
        await driven.press("4", "5", "L", "x")
        await driven.until_text("#45: expands with two strikes once")
        await driven.press("escape")
        await driven.until_text("#45 (L)")
    assert marks(two_clubs, "45") == {"expands with two strikes": "once"}


def test_two_who_wear_one_number_are_not_guessed_between(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        book.add_person(Person(id="other", team="Owls", name="Tamsin Orr", number="12"))
        with pytest.raises(BadInput, match="both wear 12"):
            desk_marking.mark(book, "Owls", "12", "pull hitter")
        with pytest.raises(BadInput, match="No team is chosen"):
            desk_marking.mark(book, "", "12", "pull hitter")
        assert not book.marks("other")


def test_a_hitter_seen_from_the_other_side_hits_both_ways(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        assert desk_marking.side(book, "Owls", "12", "L").endswith("hits left")
        assert desk_marking.side(book, "Owls", "12", "R").endswith("hits both ways")


# at-bats


def pitch(**said: object) -> dict[str, object]:
    usual = {
        "game_id": "g",
        "at_bat": 1,
        "date": dt.date(2026, 5, 2),
        "inning": 3,
        "pitcher": "Vela",
        "pitch": "fastball",
        "cell": "down-away",
        "result": "ball",
        "balls": 0,
        "strikes": 0,
        "play": "",
        "spray": "",
        "contact": "",
        "bats": "R",
    }
    return usual | said


def test_an_at_bat_is_one_line_with_every_pitch_and_how_it_ended() -> None:
    at_bat = [
        pitch(),
        pitch(pitch="curveball", cell="belt-middle", result="called strike"),
        pitch(result="in play", play="single", spray="pull", contact="square"),
    ]
    assert at_bat_line(at_bat) == (
        "05-02 3: fastball down-away ball, curveball middle called, fastball down-away"
        " = single pull, square (Vela)"
    )
    assert " = walk " in at_bat_line([pitch(balls=3)])
    assert " = strikeout " in at_bat_line([pitch(strikes=2, result="swinging strike")])
    assert " = not ended by a pitch " in at_bat_line([pitch()])


def test_the_newest_at_bat_comes_first_and_spray_says_what_it_rests_on() -> None:
    rows = [pitch(result="in play", play="out", spray="pull"), pitch(at_bat=9, inning=7)]
    lines = history(rows, "Okoye").splitlines()
    assert lines[0].startswith("Okoye: 2 at-bats, 2 pitches")
    assert " 7: " in lines[1] and " 3: " in lines[2]
    assert hit_lines(rows) == ("went: 1 pull (of 1 in play, 1 told)",)
    assert history([], "Okoye").endswith("no pitch of his is in the book yet.")


async def test_his_at_bats_are_one_key_away(a_season: str) -> None:
    with open_book(a_season) as book:
        thrown = sum(row.pitch is not None for game in book.games() for row in book.rows(game.id))
    thinker = Thinker(a_season)
    pages = [thinker.history(f"owl{n}") for n in (7, 12, 3, 21, 9, 15, 28, 4, 33)]
    thinker.close()
    assert sum(int(page.split(", ")[1].split()[0]) for page in pages) == thrown
    async with opened(a_season, place="scouting") as driven:
        await driven.until_text("hits right")
        await driven.press("h")
        await driven.until(lambda: isinstance(driven.screen, PageScreen))
        await driven.until_text("the newest first")


# pictures


def test_pictures_count_misses_of_swings_and_square_of_contact_told() -> None:
    zone = level("17-18").zone
    seen = [
        Seen("down-right", result="swinging strike"),
        Seen("down-right", result="foul"),
        Seen("down-right", result="ball"),
        Seen("down-right", result="in play", contact="square"),
        Seen("down-right", result="in play"),
    ]
    views = [share_zone(seen, share, zone, "R") for share in SHARES]
    assert [(hits, of) for _, hits, of in views] == [(4, 5), (1, 4), (1, 1)]
    swings, misses, hard = (view.cells["down-right"] for view, _, _ in views)
    assert (swings, misses) == ((3, "4/5"), (1, "1/4"))
    assert hard == (0, "1/1"), "too few for a shade"
    assert pages._small(seen, SHARES[1], zone, "R")[1] == "Misses: 1 of 4 swings, 5 to 70 in 100."


def test_nought_of_four_is_written_on_the_zone() -> None:
    drawn = grid_of(ZoneView(cells={"up-left": (0, "0/4")}), 30, 15)
    assert any("0/4" in "".join(row) for row in drawn)


async def test_n_goes_round_the_small_pictures(a_season: str) -> None:
    async with opened(a_season, place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete, "his traits")
        first = driven.screen.query_one(ZonePicture).view
        await driven.press("n")
        await driven.until_text("Misses: ")
        await driven.press("n")
        await driven.until_text("Hard contact: ")
        await driven.press("n")
        await driven.until_text("Where he hit it: ")
        await driven.press("n")
        await driven.until(lambda: driven.screen.query_one(ZonePicture).view == first)
