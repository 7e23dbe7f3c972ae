"""Where a hitter hit the ball: counted once, mirrored with his side, drawn whole."""

from collections import Counter
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitches import FLIGHTS, SPRAYS
from sequencer.live.session import Session
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui.colour_sight import EYES
from tests.tui.driving import SIZES, Driven, opened, same_as_golden
from tests.tui.test_themes import unreadable
from tui.picture_views import FIELD_PARTS, HEIGHTS, Field, ZoneView
from tui.shares import SHARES
from tui.spray import by_side, field_of, how_of, part_of, table, where_hit
from tui.themes import THEMES
from tui.thinking import Thinker
from tui.views import TraitsView
from tui.widgets.field_picture import large, legend, picture, shade

Row = dict[str, Any]


def row(**said: str) -> Row:
    return {"result": "in play", "spray": "", "flight": "", "fielders": "", "play": "out"} | said


ROWS = st.builds(
    lambda result, spray, flight, fielders, play: row(
        result=result, spray=spray, flight=flight, fielders=fielders, play=play
    ),
    st.sampled_from(["in play", "in play", "ball"]),
    st.sampled_from(["", *SPRAYS]),
    st.sampled_from(["", *FLIGHTS]),
    st.sampled_from(["", "3", "8", "6-3", "4-6-3", "7"]),
    st.sampled_from(["out", "single", "double", "error"]),
)


@given(st.lists(ROWS), st.sampled_from("RL"))
def test_every_ball_in_play_is_counted_once(rows: list[Row], bats: str) -> None:
    field = field_of(rows, bats)
    unknown = sum(
        one["result"] == "in play" and one["spray"] != "foul ground" and not part_of(one, bats)
        for one in rows
    )
    assert field.told + field.foul + unknown == field.in_play
    assert field.drawn <= field.told
    assert sum(map(field.to, FIELD_PARTS)) == field.told


@given(st.lists(ROWS.filter(lambda one: one["spray"] != ""), min_size=1))
def test_the_other_side_pulls_to_the_other_field(rows: list[Row]) -> None:
    right, left = field_of(rows, "R"), field_of(rows, "L")
    for part, other in zip(FIELD_PARTS, reversed(FIELD_PARTS), strict=True):
        assert right.to(part) == left.to(other)


@pytest.mark.parametrize(
    ("said", "part", "how"),
    [
        ({"fielders": "6-3"}, "left", "on the ground"),
        ({"fielders": "4-3"}, "right", "on the ground"),
        ({"fielders": "8"}, "middle", "in the air"),
        ({"fielders": "3"}, "right", ""),
        ({"fielders": "7", "play": "single"}, "left", ""),
        ({"fielders": "7", "play": "single", "flight": "line"}, "left", "in the air"),
        ({"spray": "pull", "fielders": "4-3"}, "left", "on the ground"),
        ({"spray": "opposite", "flight": "fly"}, "right", "in the air"),
        ({}, "", ""),
    ],
)
def test_fielders_tell_where_an_out_went_and_words_come_first(
    said: dict[str, str], part: str, how: str
) -> None:
    """Positions as scorers number them (common practice, no source)."""
    one = row(**said)
    assert (part_of(one, "R"), how_of(one)) == (part, how)


COUNTS = st.dictionaries(
    st.tuples(st.sampled_from(FIELD_PARTS), st.sampled_from(HEIGHTS)), st.integers(0, 400)
)


@given(COUNTS, st.integers(23, 60), st.integers(8, 14))
def test_every_count_is_on_the_picture_and_the_picture_in_its_columns(
    counts: dict[tuple[str, str], int], width: int, height: int
) -> None:
    field = Field(counts, 0, sum(counts.values()), "R")
    lines = picture(field, width, height)
    assert [len(line) for line in lines] == [width] * height
    numbers = [int(word) for line in lines for word in "".join(
        letter if letter.isdigit() else " " for letter in line
    ).split()]  # fmt: skip
    expected = [counts.get((part, how), 0) for how in HEIGHTS for part in FIELD_PARTS]
    assert numbers == (expected if sum(expected) else [])


@given(COUNTS)
def test_a_larger_share_is_never_lighter(counts: dict[tuple[str, str], int]) -> None:
    field = Field(counts, 0, sum(counts.values()), "R")
    steps = sorted((counts[key], shade(field, *key)) for key in counts)
    assert [step for _, step in steps] == sorted(step for _, step in steps)


def test_few_balls_have_no_shade_and_are_said_to_be_few() -> None:
    field = field_of([row(fielders="6-3")] * 3, "R")
    assert shade(field, "left", "on the ground") == 0
    assert where_hit(field) == "Where he hit it: 3 of 3 in play told, too few to shade."
    assert "in 100" not in legend(field)


def test_most_are_said_with_the_interval_of_their_share_and_what_is_not_known() -> None:
    rows = [row(fielders="6-3")] * 6 + [row(fielders="9", play="single")] * 2 + [row()] * 2
    said = where_hit(field_of([*rows, row(spray="foul ground")], "R"))
    # Wilson's interval of 6 of 8 by scipy.stats.binomtest(6, 8).proportion_ci(method="wilson").
    assert said == (
        "Where he hit it: 8 of 11 in play told, 6 to the left (he pulls), 41 to 93 in 100. "
        "1 in foul ground. Of 2 it is not known how they went."
    )
    assert any("6, 61 to 100" in line for line in table(field_of(rows, "R")))


async def test_the_field_is_the_last_small_picture_and_its_shares_are_in_the_at_bats(
    a_season: str,
) -> None:
    with open_book(a_season) as book:
        game = book.find_game("g0")
        assert game is not None
        session = Session(book, game)
        for fielders in ("6-3", "5-3", "6-3", "4-3", "7"):
            session.add(Pitch(result="in play", play="out", fielders=fielders))
        hit = Counter(
            one.before.hitter for one in session.state.log if one.pitch.fielders
        ).most_common(1)[0][0]
    async with opened(a_season, (120, 40), place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete, "the first page")
        listed = [one.id for one in driven.screen._view.hitters]
        await driven.press(*["down"] * listed.index(hit))
        await driven.until(lambda: driven.screen._hitter.id == hit, "his page")
        await driven.until(lambda: driven.screen.complete, "his traits")
        for says in ("Misses:", "Hard contact:", "Where he hit it"):
            await driven.press("n")
            await driven.until_text(says)
        await driven.until_text("home")
        assert "<33" not in driven.text()
        await driven.press("z")
        await driven.until_text("between what their share of 100")
        assert "Where he hit it" in driven.text() and "home" in driven.text()
        await driven.press("escape")
        await driven.press("h")
        await driven.until_text("between what their share of 100")
        await driven.press("escape", "n")
        await driven.until_text("Swings:")


ONE = Field({("left", HEIGHTS[1]): 6, ("middle", HEIGHTS[0]): 2, ("right", ""): 1}, 1, 11, "R")
OTHER = Field({("right", HEIGHTS[1]): 2}, 0, 2, "L")
HIT = TraitsView(
    "owl7",
    ZoneView(bats="R"),
    "Swings: nothing yet.",
    pictures=((ZoneView(), ""),) * (len(SHARES) - 1),
    spray=ONE,
    where_hit=where_hit(ONE),
    sides=tuple((one, (where_hit(one), *table(one))) for one in (ONE, OTHER)),
)


@asynccontextmanager
async def fielded(
    book: str, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> AsyncIterator[Driven]:
    """Open the page of a switch hitter with the field as its small picture."""
    monkeypatch.setattr(Thinker, "traits", lambda *_: HIT)
    async with opened(book, size, place="scouting") as driven:
        await driven.press("down", "down")
        await driven.until_text("Owls: #7 Marin")
        await driven.until(lambda: driven.screen.complete, "his page")
        await driven.press("n", "n", "n")
        await driven.until_text("home")
        yield driven


@pytest.mark.parametrize("look", ["80x24", "120x40", "200x60", "no_colour"])
async def test_the_field_small_and_large(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch, look: str
) -> None:
    if look == "no_colour":
        monkeypatch.setenv("NO_COLOR", "1")
    size = {**SIZES, "200x60": (200, 60)}.get(look, (80, 24))
    async with fielded(two_clubs, size, monkeypatch) as driven:
        same_as_golden(f"field_{look}", await driven.settled())
        await driven.press("f10")
        await driven.until_text("from the right")
        same_as_golden(f"field_large_{look}", await driven.settled())


async def test_the_field_has_contrast_enough_in_every_theme_for_every_eye(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with fielded(two_clubs, (80, 24), monkeypatch) as driven:
        for theme in THEMES:
            driven.app.theme = theme.name
            await driven.settled()
            assert not [found for eye in EYES for found in unreadable(driven, eye)], theme.name


async def test_a_click_on_the_field_shows_it_large_and_no_pitch_says_so(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with fielded(two_clubs, (80, 24), monkeypatch) as driven:
        await driven.pilot.click("#spray")
        await driven.until_text("from the right")
    assert large("Owls: #7", ()) == "Owls: #7: nothing was thrown to him yet."


@given(st.lists(ROWS), st.lists(ROWS))
def test_the_sides_of_a_switch_hitter_are_apart(right: list[Row], left: list[Row]) -> None:
    rows = [one | {"bats": side} for side, ones in (("R", right), ("L", left)) for one in ones]
    assert by_side(rows) == tuple(
        field_of(ones, side) for side, ones in (("R", right), ("L", left)) if ones
    )
