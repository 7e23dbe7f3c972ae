"""Games, scouting, plan and review, driven by keys and mouse."""

from pathlib import Path

import pytest
from textual.widgets import Input, OptionList

from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import SIZES, Driven, opened, same_as_golden
from tui.picture_views import ZoneView
from tui.screens.choose import ChooseScreen, FormScreen
from tui.screens.plan import MOST_TRUST
from tui.thinking import Thinker
from tui.views import PatternView, PlanStamp, PlanView, ReviewView, TraitBar, TraitsView

#: What may have to be said beside a plan: all of it must be seen.
NOTES = (
    "No targets charted yet: where he misses is taken from the level, only strikes are his own.",
    "To a hitter the slider looks the same as the curveball: the curveball is planned, he throws "
    "it more for strikes.",
    "Strike first: location cannot be planned for him yet.",
    "Breaking balls before a pitcher's fastball and change-up are sound are advised against; your "
    "league and a licensed professional decide.",
    "He can aim the fastball at quarters, the curveball at halves, the changeup at quarters.",
)


def marks(book: str, person: str) -> dict[str, str]:
    with open_book(book) as opened_book:
        return {mark.mark: mark.how_often for mark in opened_book.marks(person)}


async def test_a_first_game_is_made_from_an_empty_book_and_logged(empty_book: str) -> None:
    async with opened(empty_book) as driven:
        await driven.press("n")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await fill_in(driven, us="Herons")
        await driven.press("ctrl+s")
        await driven.until_text("A game needs both teams")
        await fill_in(driven, them="Owls", pitcher="Ines Vela", game="first")
        await driven.press("enter")
        await driven.until(lambda: driven.app.current_mode == "dugout")
        await driven.until_text("Ines Vela pitching")
        await driven.press("number_sign", "7", "R", "b")
        await driven.until_text("Up: number 7")
    with open_book(empty_book) as book:
        assert [game.game for game in book.games()] == ["first"]
        assert {person.label for person in book.people()} >= {"Ines Vela", "#7"}


async def fill_in(driven: Driven, **said: str) -> None:
    await driven.until(lambda: isinstance(driven.screen, FormScreen))
    for name, value in said.items():
        driven.screen.query_one(f"#{name}", Input).value = value
    driven.screen.query_one("#game", Input).focus()
    await driven.pilot.pause()


async def test_the_list_of_games_opens_one_in_the_dugout(two_clubs: str) -> None:
    async with opened(two_clubs) as driven:
        assert driven.app.current_mode == "games"
        await driven.until_text("Herons at home to Owls")
        await driven.press("enter")
        await driven.until(lambda: driven.app.current_mode == "dugout")
        await driven.until_text("Ines Vela pitching")


async def test_marks_are_given_by_one_key_or_a_click_and_kept(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until_text("hits right")
        await driven.until(lambda: driven.screen._hitter and driven.screen._hitter.id == "owl3")
        await driven.press("tab", "down", "3")
        await driven.until_text("●●● out front on soft")
        assert marks(two_clubs, "owl3") == {"out front on soft": "always"}
        listed = driven.screen.query_one("#marks", OptionList)
        await driven.pilot.click(listed, offset=(8, 2))
        await driven.until_text("●   sits fastball")
        await driven.press("0")
        await driven.until(lambda: "sits fastball" not in marks(two_clubs, "owl3"))
        await driven.press("space")
        await driven.until(lambda: marks(two_clubs, "owl3").get("sits fastball") == "once")


async def test_a_hitter_is_added_and_renamed_in_a_form(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.until_text("hits right")
        await driven.press("a")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        driven.screen.query_one("#name", Input).value = "Élodie Ó Briain"
        await driven.press("enter")
        await driven.until_text("Owls: Élodie Ó Briain, hits right")
        await driven.press("e")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        driven.screen.query_one("#number", Input).value = "55"
        await driven.press("enter")
        await driven.until_text("Owls: #55 Élodie Ó Briain")


async def test_a_hitters_page_shows_pitches_and_traits_with_what_they_rest_on(
    a_season: str,
) -> None:
    async with opened(a_season, place="scouting") as driven:
        await driven.until_text("less│more")
        rests_on = str(driven.screen.query_one("#rests").render())
        assert rests_on.startswith("Swings: ") and "in 2 games" in rests_on
        says = str(driven.screen.query_one("#says").render())
        assert "pitches" in says and says.endswith(".")


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_of_a_hitters_page(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch, size: str
) -> None:
    cells = {"up-left": (3, "4/6"), "down-right": (0, "0/2"), "below-off-right": (2, "3/9")}
    seen = TraitsView(
        "owl7",
        ZoneView(bats="R", cells=cells, legend="░<33 ▒<67 ▓67+ in 100"),
        "Swings: 7 of 17 pitches in 2 games, 22 to 64 in 100.",
        seen=("fast     4/9, missed 1", "breaking 3/8, missed 2"),
        says=(
            "Chases the breaking ball low and away more than most, fairly sure.",
            "Handles the fastball less than most, by the marks.",
            "Shortens up with two strikes more than most, perhaps.",
            "17 pitches cannot tell yet whether he makes contact, hits it hard, swings off the "
            "plate or swings at strikes.",
        ),
        bars=(
            TraitBar("handles the fastball", "hits fastball", -1.4, 0.5),
            TraitBar("chases the breaking ball low and away", "chases low-away", 0.8, 1.0),
        ),
        alike=25,
    )
    monkeypatch.setattr(Thinker, "traits", lambda *_: seen)
    async with opened(two_clubs, SIZES[size], place="scouting") as driven:
        await driven.press("down", "down")
        await driven.until_text("Owls: #7 Marin")
        same_as_golden(f"scouting_{size}", await driven.settled())


async def test_a_plan_shows_counts_and_calls_with_shares_and_drops_a_stale_answer(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.press("t")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("down", "enter")
        await driven.until_text("Herons: Ines Vela")
        await driven.press("f3")
        await driven.until_text("Plan: Herons against Ines Vela   trust by the book")
        await driven.until_text("whatever he looks for")
        for count in ("0-0", "0-1", "0-2"):
            assert f"│ {count} " in driven.text()
        plan = driven.screen._plan
        await driven.press("plus")
        await driven.until(lambda: driven.screen.trust == 1)
        driven.screen.show_plan(plan)
        assert driven.screen._plan is not plan
        await driven.until_text("trust 0.1 saves")
        assert driven.screen._plan.stamp == PlanStamp("Herons", "vela", 1)


async def test_trust_stays_between_safe_and_all_on_the_book(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Thinker, "plan", lambda _, stamp, *__: PlanView(stamp, ""))
    async with opened(two_clubs, place="plan") as driven:
        await driven.press("minus", *["plus"] * (MOST_TRUST + 2))
        assert driven.screen.trust == MOST_TRUST


async def test_a_review_says_the_habit_first_and_shows_the_pitches_behind_it(
    a_season: str,
) -> None:
    async with opened(a_season, place="review") as driven:
        await driven.until(lambda: driven.screen._review, "the review")
        first = driven.screen._review.patterns[0]
        assert first.flagged and "first pitch" in first.says
        assert len(first.pitches) == int(first.numbers.split()[0])
        assert all(" 0-0 fastball" in line for line in first.pitches)
        await driven.until_text("! On the first pitch")


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_of_a_review(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch, size: str
) -> None:
    cells = {"up-left": (3, "6"), "down-right": (1, "2")}
    lines = tuple(f"05-{day:02} 0-0 fastball up-in, ball; Marin" for day in range(1, 9))
    patterns = (
        PatternView(
            "0", "On the first pitch he throws the fastball 95 of 100 times.", True,
            "8 pitches. Worth 6.0 right guesses in 100 (2.0 to 9.0).",
            ZoneView(cells=cells, legend="░1-2 ▒3-4 ▓5-6"), lines,
        ),
        PatternView("1", "To left-handers he stays away.", False, "4 pitches.", ZoneView(), ()),
    )  # fmt: skip
    review = ReviewView("Ines Vela", ("90 pitches in 2 games: 1 habit found.",), patterns)
    monkeypatch.setattr(Thinker, "review", lambda *_: review)
    async with opened(two_clubs, SIZES[size], place="review") as driven:
        await driven.until_text("! On the first pitch")
        same_as_golden(f"review_{size}", await driven.settled())


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_of_a_plan(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch, size: str
) -> None:
    def plan(_: object, stamp: PlanStamp, hitters: list[str], __: object) -> PlanView:
        counts = (
            (
                "0-0",
                "60\u00a0fastball\u00a0down-away   40\u00a0changeup\u00a0down-off-away",
                "take",
            ),
            ("0-1", "100\u00a0changeup\u00a0down-off-away", "take"),
        )
        head = ("Brandt (R): runs in 100 times up, above the usual", "  +0.2 at most")
        return PlanView(stamp, "Ines Vela", dict.fromkeys(hitters, head),
                        dict.fromkeys(hitters, counts), notes=NOTES)  # fmt: skip

    monkeypatch.setattr(Thinker, "plan", plan)
    async with opened(two_clubs, SIZES[size], place="plan") as driven:
        await driven.until_text("quarters")
        text = await driven.settled()
        assert " ".join(NOTES) in " ".join(text.split())
        same_as_golden(f"plan_{size}", text)


async def test_another_pitcher_and_another_team_are_chosen_from_a_list(
    two_clubs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Thinker, "plan", lambda _, stamp, *__: PlanView(stamp, ""))
    async with opened(two_clubs, place="plan") as driven:
        await driven.press("t")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("down", "enter")
        await driven.until_text("Plan: Herons against Ines Vela")
        await driven.press("p")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("escape")
        await driven.until(lambda: not isinstance(driven.screen, ChooseScreen))


async def test_the_next_place_can_be_opened_while_something_is_worked_out(
    a_season: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(a_season, place="review") as driven:
        await driven.press("f2")
        await driven.until(lambda: driven.app.current_mode == "scouting")
        await driven.until_text("Owls:")


async def test_a_pitcher_without_pitches_is_told_so(two_clubs: str, tmp_path: Path) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("Ines Vela has no pitches in the book yet")


async def test_demo_data_can_be_looked_at_from_an_empty_book(
    empty_book: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def small(name: str | None, path: Path) -> None:
        clubs.book_at(path)
        with open_book(path) as book:
            clubs.game(book, "tonight", clubs.DAY)

    monkeypatch.setattr("demo_scenarios.lay_out", small)
    monkeypatch.setattr("demo_scenarios.tonight", lambda _: "tonight")
    async with opened(empty_book) as driven:
        await driven.press("d")
        await driven.until_place("dugout")
        await driven.until_text("Ines Vela pitching")
        assert driven.app.book != empty_book


async def test_a_pitcher_sets_his_own_signs(two_clubs: str) -> None:
    async with opened(two_clubs, place="scouting") as driven:
        await driven.press("t")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("down", "enter")
        await driven.until_text("Herons: Ines Vela")
        await driven.press("e")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        driven.screen.query_one("#signs", Input).value = "1=fastbal"
        await driven.press("ctrl+s")
        await driven.until_text("is not a sign and a pitch")
        driven.screen.query_one("#signs", Input).value = "1=four-seam; 2=changeup"
        await driven.press("ctrl+s")
        await driven.until(lambda: not isinstance(driven.screen, FormScreen))
        await driven.press("f6", "enter")
        await driven.until_place("dugout")
        await driven.until_text("signs: 1 four-seam  2 changeup")
        await driven.press("2", "c", "b")
        await driven.until_text("Changeup down and away, ball")
