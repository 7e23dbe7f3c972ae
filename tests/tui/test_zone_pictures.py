"""Large pictures of the zone: counts, smoothing held against scipy's, sentences, the cursor."""

import math
import random
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import gaussian_kde
from textual.widgets import Static

from sequencer.baseball.levels import level
from sequencer.baseball.zone import CATCHER_COLUMNS, HALF_WIDTH_IN, ROWS, Zone
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.game_pictures import asked_of
from tui.pen_pictures import pen_pictures
from tui.picture_views import PicturesAsked, PictureSet, Seen, ZoneView
from tui.picturing import pictures
from tui.review_pitches import mirrored_note, points_of
from tui.screens.picture import PictureScreen
from tui.shares import CELLS, FEW
from tui.smoothing import LEAST, Kernels, grid, middles, ninth, steps
from tui.thinking import Thinker
from tui.widgets.big_picture import BigPicture, moved
from tui.widgets.zone_picture import cell_at, grid_of

ZONE = Zone(41.0, 19.0)
RESULTS = ("ball", "called strike", "swinging strike", "foul", "in play")


def asked(seen: list[Seen], counted: str = "thrown", bats: str = "R") -> PicturesAsked:
    return PicturesAsked("Pitches", counted, tuple(seen), *ZONE, bats)  # type: ignore[arg-type]


def some(many: int, *, inches: bool = False, seed: int = 1) -> list[Seen]:
    dice = random.Random(seed)
    return [
        Seen(
            dice.choice(CELLS[:-1]),
            dice.choice(("fastball", "curveball")),
            dice.gauss(2.0, 7.0) if inches else None,
            dice.gauss(28.0, 8.0) if inches else None,
            dice.choice(RESULTS),
            "square",
            f"pitch {n}",
        )
        for n in range(many)
    ]


def titled(made: PictureSet, title: str, of: str = "all pitches") -> Any:
    return next(one for one in made.pictures if (one.title, one.of) == (title, of))


# counted


def test_a_cell_says_its_share_the_interval_and_what_it_rests_on() -> None:
    seen = [Seen("down-right", result="foul")] * 14 + [Seen("down-right", result="ball")] * 6
    swings = pictures(asked(seen, "hitter")).pictures[0]
    # Wilson's interval of 14 of 20 by hand (Wilson 1927).
    z = 1.96
    half = z * math.sqrt(0.21 / 20 + z**2 / 1600)
    low, high = ((0.7 + z**2 / 40 + sign * half) / (1 + z**2 / 20) for sign in (-1, 1))
    said = f"swung at 14 of 20 pitches, 70 in 100 ({100 * low:.0f} to {100 * high:.0f})."
    assert swings.cells["down-right"].says == f"Down and away: {said}"
    assert said.endswith("(48 to 85).")
    assert swings.cells["down-left"].says == "Down and in: no pitches."
    assert swings.cells["down-right"].pitches == tuple(range(20))


@given(st.lists(st.sampled_from(CELLS), max_size=60))
def test_every_pitch_is_behind_exactly_one_cell(cells: list[str]) -> None:
    where = pictures(asked([Seen(cell, "fastball") for cell in cells])).pictures[0]
    behind = [i for cell in where.cells.values() for i in cell.pitches]
    assert sorted(behind) == list(range(len(cells)))
    assert set(where.cells) == set(CELLS)


def test_too_few_in_a_cell_have_numbers_and_no_shade() -> None:
    seen = [Seen("up-left", result="foul")] * (FEW - 1) + [Seen("up-right", result="foul")] * FEW
    drawn = pictures(asked(seen, "hitter")).pictures[0].zone.cells
    assert drawn["up-left"] == (0, f"{FEW - 1}/{FEW - 1}")
    assert drawn["up-right"] == (3, f"{FEW}/{FEW}")


def test_pitches_are_parted_by_kind_and_those_without_a_place_are_told() -> None:
    made = pictures(asked([*some(20), Seen("", "fastball")]))
    assert {one.of for one in made.pictures} == {"all pitches", "fastball", "curveball"}
    assert made.pictures[0].rests_on == "21 pitches. 1 without a place."


def test_where_pitches_were_asked_for_is_a_picture_of_its_own() -> None:
    row = {"cell": "belt-middle", "bats": "L", "pitch": "changeup", "target": "low-away"}
    seen = [*points_of([row] * 3, ZONE), Seen("up-left", "changeup")]
    made = pictures(asked(seen, bats="L"))
    assert [one.title for one in made.pictures] == ["where they went", "where asked for"]
    where = made.pictures[1]
    assert where.rests_on == "3 pitches with a target."
    assert where.cells["down-left"].says.startswith("Down and away: 3 of 3 pitches, 100 in 100")
    assert where.cells["down-left"].pitches == (0, 1, 2)
    assert where.smooth is None and not any(cell.smooth for cell in where.cells.values())


# smoothed


def test_smoothing_is_scipys_where_inches_are_known() -> None:
    dice = np.random.default_rng(3)
    one = dice.normal((1.0, 30.0), (6.0, 8.0), (40, 2))
    # Mirrored about its middle in height the sample covariance is nought, as our kernel has it.
    points = np.concatenate([one, one * (1.0, -1.0) + (0.0, 60.0)])
    kernels = Kernels.of([Seen("x", side_in=x, height_in=y) for x, y in points.tolist()], ZONE)
    x, y = grid(ZONE)
    theirs = gaussian_kde(points.T)
    across, up = np.meshgrid(x, y)
    expected = theirs(np.stack([across.ravel(), up.ravel()])).reshape(across.shape)
    assert np.allclose(kernels.density(x, y), expected, rtol=1e-9)
    assert np.allclose(kernels.bandwidth**2, np.diag(theirs.covariance))


def test_a_pitch_known_by_its_cell_is_spread_evenly_over_it() -> None:
    """Its kernel is that of a thousand points over the cell, each a thousandth of a pitch."""
    seen = [Seen("down-right"), Seen("up-left"), *some(40)]
    kernels = Kernels.of(seen, ZONE)
    x, y = middles(ZONE)
    ours = Kernels(kernels.low[:1], kernels.high[:1], kernels.bandwidth).density(x, y)
    inside = (np.stack(np.meshgrid(*[(np.arange(100) + 0.5) / 100] * 2), -1)).reshape(-1, 2)
    many = kernels.low[0] + inside * (kernels.high[0] - kernels.low[0])
    assert np.allclose(ours, Kernels(many, many, kernels.bandwidth).density(x, y), rtol=1e-3)


def test_smoothed_shares_of_one_result_everywhere_are_one_and_of_none_nought() -> None:
    kernels = Kernels.of(some(50), ZONE)
    near, share = kernels.near(*middles(ZONE), np.ones(50))
    assert np.allclose(share[near > 1e-6], 1.0)
    assert np.allclose(kernels.near(*middles(ZONE), np.zeros(50))[1], 0.0)
    assert near.max() < 50


def test_the_density_over_the_whole_plane_is_one() -> None:
    kernels = Kernels.of(some(60), ZONE)
    x, y = np.arange(-60, 60, 0.5), np.arange(-60, 120, 0.5)
    assert kernels.density(x, y).sum() * 0.25 == pytest.approx(1.0, abs=1e-3)
    assert ninth(ZONE) * 9 == pytest.approx(2 * HALF_WIDTH_IN * 22.0)


@pytest.mark.parametrize("many", [LEAST - 1, LEAST])
def test_nothing_is_smoothed_below_a_stated_few(many: int) -> None:
    where = titled(pictures(asked(some(many))), "where they went")
    if many < LEAST:
        assert where.smooth is None and f"under {LEAST}" in where.not_smooth
        assert not any(cell.smooth for cell in where.cells.values())
    else:
        assert where.smooth.says.startswith(f"Smoothed from {many} pitches: bandwidth ")
        assert all("of 100" in cell.smooth for cell in where.cells.values())


def test_steps_of_shades_begin_at_their_edges() -> None:
    assert steps(np.array([[0.0, 2.0, 4.9], [5.0, 19.9, 20.0]]), (2, 5, 10, 20)) == ("011", "234")


# drawn


def test_a_smoothed_picture_has_shades_and_no_numbers() -> None:
    view = ZoneView(cells={"up-left": (1, "7")})
    smooth = ("0" * 45,) * 15 + ("4" * 45,) * 15
    drawn = ["".join(row) for row in grid_of(view, 50, 15, smooth)]
    assert "█" not in "".join(drawn[:7]) and "█" in drawn[-1]
    assert not any("7" in line for line in drawn)


def test_an_outline_is_drawn_where_it_is_and_not_squeezed_to_the_edge() -> None:
    view = ZoneView(outline=((0.0, 30.0), (60.0, 30.0)))
    drawn = ["".join(row) for row in grid_of(view, 50, 15)]
    assert "".join(drawn).count("·") == 1 and drawn[7][25] == "·"


@given(st.sampled_from(CELLS), st.lists(st.sampled_from(("up", "down", "left", "right"))))
def test_the_cursor_never_leaves_the_picture_and_comes_back(cell: str, ways: list[str]) -> None:
    at = cell
    for way in ways:
        at = moved(at, way)
        assert at in CELLS
    for way in ("up", "left") * 4:
        at = moved(at, way)
    assert at == f"{ROWS[0]}-{CATCHER_COLUMNS[0]}"


# of a review, a game, a bullpen


def test_a_habit_to_both_sides_is_mirrored_so_that_away_is_away() -> None:
    def row(bats: str) -> dict[str, object]:
        return {"cell": "down-away", "bats": bats, "pitch": "changeup"}

    both = [row("R"), row("L")]
    assert [point.cell for point in points_of(both, ZONE)] == ["down-right", "down-right"]
    assert mirrored_note(both) == "1 pitch to left-handed hitters mirrored."
    assert points_of([row("L")], ZONE)[0].cell == "down-left" and not mirrored_note([row("L")])


def test_the_game_is_drawn_by_at_bat_and_then_all_of_tonight(two_clubs: str) -> None:
    with open_book(two_clubs) as book:
        session = clubs.game(book, "late", clubs.DAY)
        dice = random.Random(4)
        for _ in range(12):
            session.add(clubs.thrown(dice, first=session.state.pitch_no == 1))
        made = pictures(asked_of(session.state))
    last, *tonight = made.pictures
    assert last.title.startswith("to ") and last.zone.spots
    assert tonight[0].rests_on.startswith("12 pitches")
    assert len(made.pitches) == 12
    first_of_last = min(i for cell in last.cells.values() for i in cell.pitches)
    assert first_of_last >= 12 - 6


def test_throws_are_drawn_about_their_target_with_the_ring_that_holds_half(a_season: str) -> None:
    from sequencer.records.bullpen import Bullpen, Throw

    dice = np.random.default_rng(6)
    misses = dice.normal(0.0, 9.0, (300, 2))
    throws = tuple(
        Throw(
            set_no=1 + n // 6, throw_no=1 + n % 6, pitch="fastball", called="fastball",
            target="belt-middle", side_in=float(x), height_in=float(30.0 + y), cell="belt-middle",
        )
        for n, (x, y) in enumerate(misses.clip(-50, 50))
    )  # fmt: skip
    with open_book(a_season) as book:
        pen = Bullpen(id="pen", bullpen="pen", date=clubs.DAY, pitcher="vela", throws=throws)
        book.add_bullpen(pen)
        made = pen_pictures(book, "vela", "pen")
    about = made.pictures[0]
    assert about.title == "fastball down the middle"
    ring = np.array(about.zone.outline) - (0.0, level("17-18").zone.middle_in)
    shape = np.cov(ring.T)
    inside = np.einsum("ni,ij,nj->n", *(misses, np.linalg.inv(shape), misses)) / 2.0 <= 1.0
    # A ring of points has half the square of its radius as variance: 300 throws, half of them in
    # it within three standard errors.
    assert abs(inside.mean() - 0.5) < 3 * math.sqrt(0.25 / 300)
    assert "300 measured" in about.rests_on and "Spread 9." in about.rests_on


def test_a_pitcher_without_throws_has_no_picture_and_says_so(a_season: str) -> None:
    thinker = Thinker(a_season)
    made = thinker.pen_pictures("vela", "")
    thinker.close()
    assert made.pictures == () and "No throw" in made.title


# on the screen


async def large(driven: Driven) -> Any:
    await driven.until(
        lambda: isinstance(driven.screen, PictureScreen) and driven.screen.shown, "the picture"
    )
    return driven.screen


def says(screen: Any) -> str:
    return str(screen.query_one("#picture-says", Static).content)


async def test_arrows_say_each_cell_and_enter_shows_its_pitches(a_season: str) -> None:
    async with opened(a_season, place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete, "his traits")
        await driven.press("z")
        screen = await large(driven)
        assert says(screen).startswith("Down the middle: ")
        await driven.press("down", "left")
        assert says(screen).startswith("Down and ")
        fullest = max(screen.shown.cells, key=lambda cell: len(screen.shown.cells[cell].pitches))
        screen._cell = fullest
        many = len(screen.shown.cells[fullest].pitches)
        await driven.press("enter")
        await driven.until_text("goes back.")
        assert driven.text().count("Ines Vela)") == many
        await driven.press("escape", "z")
        assert screen.shown.title == "misses"
        await driven.press("escape")
        await driven.until_place("scouting")
        await driven.until_text("Misses: ")


async def test_a_click_moves_the_cursor_and_a_second_one_shows_the_pitches(a_season: str) -> None:
    async with opened(a_season, (120, 40), place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete, "his traits")
        await driven.pilot.click("#zone", offset=(20, 6))
        screen = await large(driven)
        big = screen.query_one(BigPicture)
        width, height = big._drawn_size
        full = next(cell for cell in CELLS if screen.shown.cells[cell].pitches)
        spot = next(
            (x + 2, y)
            for y in range(height)
            for x in range(width)
            if cell_at(x, y, width, height) == full
        )
        await driven.pilot.click(big, offset=spot)
        assert big.cell == full
        await driven.pilot.click(big, offset=spot)
        await driven.until_text("goes back.")


async def test_a_thin_picture_says_why_it_is_not_smoothed(a_season: str) -> None:
    async with opened(a_season, place="scouting") as driven:
        await driven.until(lambda: driven.screen.complete, "his traits")
        await driven.press("z")
        await large(driven)
        await driven.press("s")
        await driven.until_text(f"under {LEAST} nothing is smoothed.")


async def test_a_result_key_over_the_picture_is_logged_and_nothing_is_lost(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight", place="dugout") as driven:
        await driven.press("1", "z", "b")
        await driven.until_text("  1 0-0")
        await driven.press("f10")
        screen = await large(driven)
        assert screen.shown.title == "to Marin"
        await driven.press("l")
        await driven.until_text("  2 1-0")
        await driven.until_place("dugout")
        await driven.press("ctrl+k")
        assert (await large(driven)).shown.rests_on.startswith("2 pitches")
        await driven.press("f10")
        await driven.until(lambda: driven.screen is driven.app.place_screen("dugout"))
