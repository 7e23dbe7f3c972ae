"""The bullpen place: two keys a throw, each in the book before it is shown."""

import datetime as dt
import random

import pytest
from textual.widgets import OptionList

from sequencer.errors import BookError
from sequencer.estimates import command
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.frames import bullpen_frame
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, Keymap
from sequencer.records.people import Person
from sequencer.records.store import Book, open_book
from tests.tui import clubs
from tests.tui.driving import SIZES, Driven, opened, same_as_golden
from tests.tui.test_review_place import STEP, choose
from tui import keys
from tui.bullpen_desk import Pens, strike_at
from tui.bullpen_words import tonight
from tui.help_page import page, place_block
from tui.picture_views import ZoneView
from tui.throw_draft import ThrowDraft, Work, feed_throw, throw_keys
from tui.widgets.zone_picture import cell_at, grid_of

TODAY = dt.date.today()
SIGNS = {"1": "fastball", "4": "changeup"}


def kept(path: str) -> tuple[Throw, ...]:
    """Return the throws the book holds, read by a connection of its own."""
    with open_book(path) as book:
        return tuple(throw for pen in book.bullpens("vela") for throw in pen.throws)


async def at_bullpen(driven: Driven) -> None:
    """Wait until the bullpen is there."""
    await driven.until_text("Bullpen: Ines Vela")


async def test_a_place_and_strike_or_ball_are_a_throw(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        assert "Ask for a place first" in driven.text()
        await driven.press("4", "T", "c")
        await driven.until_text("DOWN-AWAY")
        await driven.press("c", "l")
        await driven.until_text("1-1 changeup; asked down and away; down and away; strike")
        first = Throw(
            set_no=1, throw_no=1, pitch="changeup", called="changeup", target="down-right",
            cell="down-right", strike=True, hitter_side="R",
        )  # fmt: skip
        assert kept(two_clubs) == (first,)
        await driven.press("Z", "b")
        await driven.until_text("throw 3 of 6")
        second = first.model_copy(update={"throw_no": 2, "cell": "below-off-left", "strike": False})
        assert kept(two_clubs) == (first, second)


async def test_every_throw_is_in_the_book_before_it_is_shown(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    held: list[tuple[int, int]] = []
    real = Pens.view

    def view(pens: Pens, *said: object) -> object:
        shown = real(pens, *said)  # type: ignore[arg-type]
        held.append((len(kept(two_clubs)), len(shown.throws)))
        return shown

    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        monkeypatch.setattr(Pens, "view", view)
        await driven.press("s", "l", "q", "l")
        await driven.until_text("throw 3 of 6")
    assert {shown for _, shown in held} >= {1, 2}
    assert all(saved >= shown for saved, shown in held)


async def test_a_throw_that_cannot_be_kept_stays_typed(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: Book, pen: Bullpen) -> Bullpen:
        raise BookError("The disk is full: make room.")

    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        with monkeypatch.context() as patch:
            patch.setattr(Book, "add_bullpen", full)
            await driven.press("4", "c", "l")
            await driven.until_text("Not kept: The disk is full")
        assert not kept(two_clubs)
        await driven.press("l")
        await driven.until_text("1-1 changeup; down and away; strike")


async def test_sets_are_of_six_unless_said_otherwise(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press(*["l"] * 6)
        await driven.until_text("set 2, throw 1 of 6")
        await driven.press("l", "N")
        await driven.until_text("set 3, throw 1 of 6")
        await driven.press("S", "l")
        await driven.until_text("set 3, throw 2 of 8")
    assert [(t.set_no, t.throw_no) for t in kept(two_clubs)][-3:] == [(1, 6), (2, 1), (3, 1)]


async def test_the_space_bar_takes_strike_or_ball_from_the_place(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press("space")
        await driven.until_text("Where did it go?")
        await driven.press("e", "space", "E", "space")
        await driven.until_text("throw 3 of 6")
    assert [throw.strike for throw in kept(two_clubs)] == [True, False]


async def test_a_click_on_the_zone_says_where_it_went(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        width, height = driven.screen.query_one("#zone").size
        await driven.pilot.click("#zone", offset=(width // 2, (height - 1) // 2))
        await driven.until_text("went down the middle")
        await driven.press("l")
        await driven.until_text("1-1 fastball; down the middle; strike")


def test_a_click_is_in_the_cell_it_is_drawn_in() -> None:
    for word in ("above-off-left", "up-left", "belt-middle", "down-right", "below-off-right"):
        grid = grid_of(ZoneView(cells={word: (1, "X")}), 25, 15)
        at = [(x, y) for y, row in enumerate(grid) for x, drawn in enumerate(row) if drawn == "X"]
        assert [cell_at(x, y, 25, 15) for x, y in at] == [word]
    assert cell_at(-1, 3, 25, 15) == cell_at(25, 3, 25, 15) == cell_at(3, 15, 25, 15) == ""


async def test_throws_are_taken_back_brought_back_and_mended(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press("s", "l", "c", "l")
        await driven.until_text("1-2 fastball; down and away; strike")
        await driven.press("less_than_sign")
        await driven.until_text("throw 2 of 6")
        assert len(kept(two_clubs)) == 1
        await driven.press("greater_than_sign")
        await driven.until_text("1-2 fastball; down and away; strike")
        await driven.press("plus", "4")
        await driven.until_text("1-2 changeup; down and away; strike")
        await driven.press("plus", "C")
        await driven.until_text("1-2 changeup; below the zone, off the plate away; ball")
        await driven.press("plus", "l")
        await driven.until_text("off the plate away; strike")
        await driven.press("down", "plus", "T", "s")
        await driven.until_text("1-1 fastball; asked down the middle; down the middle; strike")
        await driven.press("less_than_sign", "less_than_sign", "less_than_sign")
        await driven.until_text("Not kept: No throw is charted yet.")
    assert kept(two_clubs) == ()


async def test_a_tell_seen_once_is_watched_for_on_every_throw_after(two_clubs: str) -> None:
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press("Y", "1", "s", "l", "s", "l")
        await driven.until_text("watching arm slows")
        await driven.press("K", "1")
        await driven.until(lambda: "watching" not in driven.text())
        await driven.press("s", "l")
        await driven.until_text("throw 4 of 6")
        await driven.press("plus", "Y", "2")
        await driven.until_text("1-3 fastball; down the middle; strike; body slows")
    seen = [(throw.tells, throw.tells_watched) for throw in kept(two_clubs)]
    assert seen == [
        (("arm slows",), ("arm slows",)),
        ((), ("arm slows",)),
        (("body slows",), ("body slows",)),
    ]


async def test_the_set_list_asks_for_its_throws_one_by_one_then_sets_go_on_freely(
    two_clubs: str,
) -> None:
    with open_book(two_clubs) as book:
        Pens(book).plan((("vela", STEP.line),))
    async with opened(two_clubs, place="bullpen") as driven:
        await driven.until_text("one each.")
        await driven.press("H", "l", "l", "l", "l", "l")
        await driven.until_text("set 3, throw 2 of 6")
        assert "> set" not in driven.text()
    thrown = [(t.set_no, t.pitch, t.target, t.drill, t.hitter_side) for t in kept(two_clubs)]
    low, inside = (
        ("changeup", "low-left", "pair drill", "L"),
        ("fastball", "right", "pair drill", "L"),
    )
    assert thrown == [
        (1, *low),
        (1, *inside),
        (2, *low),
        (2, *inside),
        (3, "fastball", "right", "", "L"),
    ]
    with open_book(two_clubs) as book:
        [pen] = book.bullpens("vela")
        assert pen.date == TODAY and pen.bullpen == f"{TODAY} Ines Vela"


async def test_bullpens_are_kept_by_date_and_open_again(two_clubs: str) -> None:
    earlier = TODAY - dt.timedelta(days=3)
    old = Bullpen(
        id="old", bullpen="old", date=earlier, pitcher="vela",
        throws=(Throw(set_no=1, throw_no=1, pitch="curveball", strike=True),),
    )  # fmt: skip
    with open_book(two_clubs) as book:
        book.add_bullpen(old)
    async with opened(two_clubs, place="bullpen") as driven:
        await driven.until_text("0 throws in this bullpen")
        await driven.press("l")
        await driven.until_text("1 throw in this bullpen; strikes: 1 of 1 seen")
        await choose(driven, "B", f"{earlier}  1 throws")
        await driven.until_text("1-1 curveball; place not seen; strike")
        await driven.press("less_than_sign")
        await driven.until_text("Not kept: This bullpen is of another day")
        await driven.press("plus", "b")
        await driven.until_text("1-1 curveball; place not seen; ball")
        await driven.press("l")
        await driven.until_text("2 throws in this bullpen; strikes: 2 of 2 seen")
        await choose(driven, "B", "a new bullpen today")
        await driven.until_text("0 throws in this bullpen")
        await driven.press("l")
        await driven.until(lambda: len(kept(two_clubs)) == 4)
    async with opened(two_clubs, place="bullpen") as driven:
        await driven.until_text("1 throw in this bullpen")
    with open_book(two_clubs) as book:
        names = [pen.bullpen for pen in book.bullpens("vela")]
    assert names == ["old", f"{TODAY} Ines Vela", f"{TODAY} Ines Vela (2)"]


async def test_game_pitches_of_the_last_days_stand_beside_the_limit_and_who_decides(
    two_clubs: str,
) -> None:
    day = TODAY - dt.timedelta(days=1)
    with open_book(two_clubs) as book:
        session, dice = clubs.game(book, "late", day), random.Random(3)
        while session.state.pitch_counts.get("vela", 0) < 60:
            session.add(clubs.thrown(dice, first=False))
    async with opened(two_clubs, (120, 40), place="bullpen") as driven:
        await driven.until_text("a sore arm stops")
        text = " ".join(driven.text().split())
    assert f"60 on {day:%m-%d}. The limit is 105 a day" in text
    assert "Not to pitch in a game today: 60 pitches on" in text
    assert "Your league's rules and licensed care come first; a sore arm stops." in text


async def test_throws_charted_here_are_what_is_believed_of_his_command(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        vela = book.person("vela")
    before = command.believe(vela, None, None, "17-18").arsenal[0]
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press("1", "T", "s", *["Q", "b", "C", "b", "E", "b", "Z", "b"] * 3)
        await driven.until_text("set 3, throw 1")
    with open_book(two_clubs) as book:
        after = command.believe(vela, bullpen_frame(book), None, "17-18").arsenal[0]
    assert (before.charted, after.charted) == (0, 12)
    assert after.pitch == "fastball" and after.spread > before.spread
    assert after.strike_share < before.strike_share
    surer, unsure = (high - low for low, high in (after.strike_interval, before.strike_interval))
    assert surer < unsure


async def test_another_pitcher_has_a_bullpen_of_his_own(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        book.add_person(Person(id="ruiz", team="Herons", name="Nilo Ruiz"))
    async with opened(two_clubs, place="bullpen") as driven:
        await at_bullpen(driven)
        await driven.press("l")
        await driven.until_text("1 throw in")
        await choose(driven, "P", "Nilo Ruiz")
        await driven.until_text("Bullpen: Nilo Ruiz")
        await driven.until_text("0 throws in")


async def test_without_anybody_to_throw_it_says_what_to_do(empty_book: str) -> None:
    async with opened(empty_book) as driven:
        await driven.press("f7")
        await driven.until_text("Nobody to throw yet: F2 scouting adds our pitchers")
        await driven.press("s", "l", "P", "N", "B", "H", "S")
        await driven.until_text("Nobody to throw yet")


@pytest.mark.parametrize("keymap", KEYMAPS.values(), ids=list(KEYMAPS))
def test_keys_of_the_place_are_no_keys_of_a_throw_on_any_map(keymap: Keymap) -> None:
    for line in keys.keys_of("bullpen"):
        assert feed_throw(ThrowDraft(), line.keys, keymap, SIGNS) is None, line.says


@pytest.mark.parametrize("keymap", KEYMAPS.values(), ids=list(KEYMAPS))
def test_help_lists_the_keys_of_a_throw_as_the_map_has_them(keymap: Keymap) -> None:
    words = page("bullpen", keymap)
    for key, says in (*throw_keys(keymap), *keymap.tells().items()):
        assert f"{key} " in words and says in words
    assert place_block(keymap) in words


def test_backspace_takes_back_a_key_and_escape_all_of_them() -> None:
    draft = ThrowDraft()
    for key in ("4", "T", "c"):
        fed = feed_throw(draft, key, RIGHT_HANDED, SIGNS)
        assert isinstance(fed, ThrowDraft)
        draft = fed
    assert draft.said == {"pitch": "changeup", "target": "down-right"}
    back = feed_throw(draft, "backspace", RIGHT_HANDED, SIGNS)
    assert isinstance(back, ThrowDraft) and back.said == {"pitch": "changeup"}
    assert feed_throw(draft, "escape", RIGHT_HANDED, SIGNS) == ThrowDraft()


def test_a_pitch_that_was_not_the_one_called_is_kept_as_both() -> None:
    draft = ThrowDraft()
    for key in ("1", "T", "4"):
        fed = feed_throw(draft, key, RIGHT_HANDED, SIGNS)
        assert isinstance(fed, ThrowDraft)
        draft = fed
    work = feed_throw(draft, "b", RIGHT_HANDED, SIGNS)
    assert work == Work("throw", {"pitch": "fastball", "called": "changeup", "strike": False})


def test_keys_that_mean_nothing_here_say_so() -> None:
    for key, words in (("9", "not one of his signs"), ("m", "l is a strike and b a ball")):
        fed = feed_throw(ThrowDraft(), key, RIGHT_HANDED, SIGNS)
        assert isinstance(fed, ThrowDraft) and words in fed.note


def test_a_place_is_a_strike_when_it_is_in_the_zone() -> None:
    assert [strike_at(cell) for cell in ("up-left", "above-middle", "belt-off-right", "")] == [
        True, False, False, None,
    ]  # fmt: skip


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_of_a_bullpen(two_clubs: str, size: str) -> None:
    with open_book(two_clubs) as book:
        Pens(book).plan((("vela", STEP.line),))
    async with opened(two_clubs, SIZES[size], place="bullpen") as driven:
        await driven.until_text("CHANGEUP")
        await driven.press("c", "l", "a", "l", "X")
        await driven.until_text("went below the zone")
        text = (await driven.settled()).replace(str(TODAY), "2026-05-02")
        assert driven.screen.query_one("#throws", OptionList).option_count == 2
        same_as_golden(f"bullpen_{size}", text)


def test_the_strikes_of_the_last_set_stand_beside_those_of_all() -> None:
    def throw(set_no: int, strike: bool | None) -> Throw:
        return Throw(set_no=set_no, throw_no=1, pitch="fastball", strike=strike)

    first = (throw(1, True), throw(1, False), throw(1, True))
    assert tonight(first) == "3 throws in this bullpen; strikes: 2 of 3 seen."
    both = (*first, throw(2, True), throw(2, None))
    assert tonight(both) == "5 throws in this bullpen; strikes: 3 of 4 seen, set 2 1 of 1."
    assert tonight((throw(1, None),)) == "1 throw in this bullpen."
