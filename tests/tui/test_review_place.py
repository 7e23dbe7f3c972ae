"""The review place: six parts, whom and which games, and what goes on to the bullpen."""

import datetime as dt
import random
from collections.abc import Collection
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.widgets import OptionList, Static

from sequencer.baseball.pitches import TYPES
from sequencer.baseball.zone import TARGETS
from sequencer.errors import BadInput
from sequencer.records.frames import pitch_frame
from sequencer.records.game import Game
from sequencer.records.held_pitches import Pitches, Told, quiet
from sequencer.records.store import Book, open_book
from sequencer.review.review import review as make_review
from sequencer.review.reviewed import Review
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.desk import Desk
from tui.picture_views import ZoneView
from tui.review_choices import at_once, chosen_games, last_games, whom
from tui.reviewing import Reviewing
from tui.screens.choose import ChooseScreen, PageScreen
from tui.set_list import Step, at_set, in_words, steps_of
from tui.thinking import Thinker
from tui.views import Choice, PatternView, ReviewAsked, ReviewLists, ReviewView

STEP = Step(2, (("changeup", "low-away"), ("fastball", "in")), "pair drill", "Bullpen: one each.")
HABITS = (
    PatternView(
        "0", "On the first pitch he throws the fastball.", True, "1 pitch.", ZoneView(),
        ("05-02 0-0 fastball up-in, ball; Marin (Owls)",), STEP.says, "Change these", STEP.line,
        "vela",
    ),
    PatternView("1", "With runners on he curves.", False, "4 pitches.", ZoneView(), (), "",
                "Looked at"),
)  # fmt: skip
TURNING = (
    PatternView("0", "walk by #7, 3-2: 4 balls: the miss (+.14)", True, "g0: +0.4 runs.",
                ZoneView(), ("1 05-02 0-0 fastball up-in, ball; Marin (Owls)",)),
)  # fmt: skip
REVIEW = ReviewView(
    "Ines Vela",
    ("90 pitches in 2 games: 1 habit found.",),
    HABITS,
    TURNING,
    {
        "follow-up": ("Someone who watched names 60 of 100.",),
        "ledger": ("game    runs\ng0      +1.0", "count   runs\n0-0     -0.5"),
        "tells": ("Tells\n=====\narm slows",),
        "not found": ("Looked for and not found.",),
    },
    (("vela", in_words("two sets in turn").line),),
)
LISTS = ReviewLists(
    (
        Choice("us/pitcher/vela", "Ines Vela"),
        Choice("us/caller/Dora Quist", "Dora Quist calls"),
        Choice("them/pitcher/owl7", "Marin, Owls: to our hitters"),
    ),
    (Choice("", "all games"), Choice("last 1", "the last game")),
    (Choice("2026-05-02", "2026-05-02  Owls"),),
)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[ReviewAsked]:
    """What the place asks for, each answered by the same review."""
    said: list[ReviewAsked] = []

    def review(_: Thinker, what: ReviewAsked, __: object) -> ReviewView:
        said.append(what)
        return REVIEW

    monkeypatch.setattr(Thinker, "review", review)
    monkeypatch.setattr(Thinker, "review_whom", lambda _, __: LISTS.whom)
    monkeypatch.setattr(Desk, "review_lists", lambda _: LISTS)
    return said


async def choose(driven: Driven, key: str, says: str) -> None:
    """Open a list by a key and choose the line that says something."""
    await driven.press(key)
    await driven.until(lambda: isinstance(driven.screen, ChooseScreen), "a list")
    lines = driven.screen.query_one(OptionList)
    await driven.until(lambda: lines.option_count, "its lines")
    place = next(i for i in range(lines.option_count)
                 if says in str(lines.get_option_at_index(i).prompt))  # fmt: skip
    lines.highlighted = place
    await driven.press("enter")


async def test_each_digit_shows_its_part(two_clubs: str, asked: list[ReviewAsked]) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("[1 habits]")
        text = driven.text()
        assert text.index("Change these") < text.index("! On the first") < text.index("Looked at")
        for key, words in (
            ("2", "names 60 of 100"),
            ("3", "g0      +1.0"),
            ("4", "! walk by #7"),
            ("5", "arm slows"),
            ("6", "Looked for and not found"),
            ("1", "! On the first"),
        ):
            await driven.press(key)
            await driven.until_text(words)


async def test_the_ledgers_key_goes_on_from_one_sum_to_the_next(
    two_clubs: str, asked: list[ReviewAsked]
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("[1 habits]")
        await driven.press("3", "3")
        await driven.until_text("0-0     -0.5")
        await driven.press("3")
        await driven.until_text("g0      +1.0")


async def test_enter_shows_all_the_pitches_on_a_whole_page(
    two_clubs: str, asked: list[ReviewAsked]
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("[1 habits]")
        await driven.press("enter")
        await driven.until(lambda: isinstance(driven.screen, PageScreen))
        await driven.until_text("05-02 0-0 fastball up-in, ball; Marin (Owls)")


async def test_whom_games_and_days_are_chosen_from_lists(
    two_clubs: str, asked: list[ReviewAsked]
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until(lambda: driven.screen.complete)
        await choose(driven, "p", "Dora Quist calls")
        await choose(driven, "g", "the last game")
        await choose(driven, "s", "2026-05-02")
        await choose(driven, "f", "2026-05-02")
        last = ReviewAsked("us/caller/Dora Quist", "last 1", "2026-05-02", "2026-05-02")
        await driven.until(lambda: asked[-1] == last, "the review asked for")
        await driven.until_text("[2 follow-up]")
        await choose(driven, "p", "to our hitters")
        await driven.until(lambda: asked[-1].whom == "them/pitcher/owl7")


async def test_going_away_and_back_does_not_review_again(
    two_clubs: str, asked: list[ReviewAsked]
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("f6", "f5")
        await driven.until_place("review")
        await driven.until_text("[1 habits]")
        assert len(asked) == 1


async def test_one_key_sends_what_to_practise_to_the_next_bullpen(
    two_clubs: str, asked: list[ReviewAsked]
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("[1 habits]")
        await driven.press("b")
        await driven.until_text("on the set list of Ines Vela: F7 opens")
        await driven.press("b")
        await driven.until_text("already on the set list")
        await driven.press("down", "b")
        await driven.until_text("Nothing to practise here")
        await driven.press("5", "b")
        await driven.until_text("It is on the set list of Ines Vela")
        with open_book(two_clubs) as book:
            [pen] = book.bullpens("vela")
        assert steps_of(pen.note) == (STEP, in_words("two sets in turn")) and not pen.throws
        await driven.press("f7")
        await driven.until_text("CHANGEUP")
        assert "> set 1-2: changeup low-away, fastball in" in driven.text()


@given(
    st.integers(1, 9),
    st.lists(st.tuples(st.sampled_from(sorted(TYPES)), st.sampled_from(TARGETS)), max_size=6),
    st.sampled_from(("", "set", "pair drill")),
    st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=40),
)
def test_a_line_of_the_set_list_reads_back_as_it_was(
    sets: int, throws: list[tuple[str, str]], drill: str, says: str
) -> None:
    step = Step(sets, tuple(throws), drill, " ".join(says.split()))
    assert steps_of(f"bring the tee\n{step.line}\n") == (step,)


def test_a_set_belongs_to_the_step_it_falls_into() -> None:
    steps = (in_words("a"), Step(1, (), "", "b"))
    places = [at_set(steps, set_no)[0] for set_no in (1, 2, 3, 4)]
    assert places == [0, 0, 1, -1]


# what is worked out


class Turned(Pitches):
    """The pitches of a book as if the other side had thrown them, or somebody had called them."""

    def __init__(self, book: Book, **columns: str) -> None:
        super().__init__(book)
        self._columns = columns

    def all(self, told: Told = quiet) -> pd.DataFrame:
        """Return every pitch of the book, some columns said anew."""
        return super().all(told).assign(**self._columns)

    def in_games(self, games: Collection[str], told: Told = quiet) -> pd.DataFrame:
        """Return the pitches of some games, some columns said anew."""
        return super().in_games(games, told).assign(**self._columns)


def test_habits_stand_by_what_they_come_to_with_their_pitches(a_season: str) -> None:
    with open_book(a_season) as book:
        found = Reviewing(book, Pitches(book)).review(ReviewAsked("us/pitcher/vela"), quiet)
    first = found.patterns[0]
    assert first.flagged and first.group and first.step and first.pitcher_id == "vela"
    assert len(first.pitches) == int(first.numbers.split()[0])
    assert "2 games" in found.head[0]
    groups = [pattern.group for pattern in found.patterns]
    assert groups == sorted(groups, key=groups.index)
    assert not any(p.flagged for p in found.patterns if p.group.startswith("Looked at"))


def test_an_at_bat_that_cost_runs_is_shown_pitch_by_pitch(a_season: str) -> None:
    with open_book(a_season) as book:
        found = Reviewing(book, Pitches(book)).review(ReviewAsked("us//"), quiet)
    assert found.turning
    for point in found.turning:
        event, count = point.says.split(" by ")[0], point.says.split(", ")[1][:3]
        said = {"walk": "ball", "hit by pitch": "hit by pitch"}.get(event, event)
        assert f" {count} " in point.pitches[-1] and f", {said}; " in point.pitches[-1]
        assert point.zone.spots[-1].strong
    assert [page.split()[0] for page in found.pages["ledger"]] == [
        "game", "pitcher", "pitch", "count",
    ]  # fmt: skip


def test_a_caller_is_reviewed_by_what_he_called_and_sends_nothing(a_season: str) -> None:
    with open_book(a_season) as book:
        made = Reviewing(book, Turned(book, caller="Dora Quist"))
        assert Choice("us/caller/Dora Quist", "Dora Quist calls") in made.whom(quiet)
        found = made.review(ReviewAsked("us/caller/Dora Quist"), quiet)
    assert found.pitcher == "Dora Quist"
    assert all("Ines Vela" in line for line in found.patterns[0].pitches)
    assert not any(pattern.pitcher_id for pattern in found.patterns)


def test_their_pitcher_is_read_for_our_hitters(a_season: str) -> None:
    with open_book(a_season) as book:
        made = Reviewing(book, Turned(book, pitching="them"))
        [whom] = [c.id for c in made.whom(quiet) if c.id.startswith("them/")]
        found = made.review(ReviewAsked(whom), quiet)
    assert "What to look for" in found.pages["follow-up"][0]
    assert found.pages["ledger"][0].startswith("Of their pitchers there is none")
    assert found.patterns[0].group == "Our hitters can look for it"


def test_a_review_asked_for_again_is_not_made_again_until_something_is_logged(
    a_season: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    times: list[int] = []

    def counted(*args: Any, **said: Any) -> Review:
        times.append(1)
        return make_review(*args, **said)

    monkeypatch.setattr("tui.reviewing.make_review", counted)
    with open_book(a_season) as book:
        made, asked_for = Reviewing(book, Pitches(book)), ReviewAsked("us/pitcher/vela", "last 1")
        assert made.review(asked_for, quiet) is made.review(asked_for, quiet)
        assert len(times) == 1
        late = clubs.game(book, "late", dt.date(2026, 6, 1))
        late.add(clubs.thrown(random.Random(1), first=True))
        assert made.review(asked_for, quiet).head[0].startswith("1 pitch in 1 game, the last")


def test_games_are_kept_by_number_opponent_name_and_day(a_season: str) -> None:
    with open_book(a_season) as book:
        frame, games = pitch_frame(book), book.games()
    assert set(last_games(frame, 1)["game_id"]) == {"g1"}
    assert chosen_games(games, ReviewAsked("us//", "against Owls")) == ["g0", "g1"]
    assert chosen_games(games, ReviewAsked("us//", "against Wrens")) == []
    assert chosen_games(games, ReviewAsked("us//", "game g0")) == ["g0"]
    assert chosen_games(games, ReviewAsked("us//", "", "2026-05-03")) == ["g1"]
    assert set(frame["game_id"]) == {"g0", "g1"}


def test_who_is_listed_at_once_and_which_games_are_those_of_the_book_read(a_season: str) -> None:
    with open_book(a_season) as book:
        book.add_game(Game(id="e", game="empty", date=clubs.DAY, us="Herons", them="Wrens"))
        lists = at_once(book, (Choice("vela", "Ines Vela"), Choice("moss", "Moss")))
        frame = pitch_frame(book)
        read = list(whom(frame))
    assert lists.whom[0] == read[0] == Choice("us/pitcher/vela", "Ines Vela")
    assert lists.whom[-1] in read
    games = [choice for choice in lists.games if choice.id.startswith("game ")]
    assert [one.id for one in games] == [f"game {id_}" for id_ in frame["game_id"].unique()[::-1]]
    assert [day.id for day in lists.days] == sorted({str(d.date()) for d in frame["date"]})[::-1]
    assert {c.id for c in lists.games if c.id.startswith("against ")} == {"against Owls"}


def kept(frame: pd.DataFrame, games: str, since: str) -> pd.DataFrame:
    """Keep the pitches of the games asked for out of a whole book's."""
    frame = frame[frame["date"] >= pd.Timestamp(since or "1900-01-01")]
    kind, _, which = games.partition(" ")
    if kind == "last":
        return frame[frame["game_id"].isin(frame["game_id"].unique()[-int(which) :])]
    column = {"against": "them", "game": "game_id"}.get(kind)
    return frame[frame[column] == which] if column else frame


@pytest.mark.parametrize(
    "asked",
    [
        ReviewAsked("us/pitcher/vela", games, since)
        for games in ("", "last 1", "last 5", "against Owls", "game g0")
        for since in ("", "2026-05-03")
    ]
    + [ReviewAsked("us//", "last 1"), ReviewAsked("us/caller/", "last 3")],
)
def test_only_the_games_asked_for_are_read_and_they_give_the_same_pitches(
    a_season: str, asked: ReviewAsked
) -> None:
    _, of, who = asked.whom.split("/")
    column = {"pitcher": "pitcher_id", "caller": "caller"}.get(of)
    with open_book(a_season) as book:
        clubs.game(book, "last", dt.date(2026, 6, 1))
        pitches = Pitches(book)
        found = Reviewing(book, pitches)._asked_for(asked, quiet)
        frame = pitch_frame(book)
        whole = kept(frame[frame[column] == who] if column else frame, *asked[1:3])
        held = set(pitches.held)
    pd.testing.assert_frame_equal(found.reset_index(drop=True), whole.reset_index(drop=True))
    assert asked.games != "game g0" or held <= {"g0"}
    assert asked.since == "" or "g0" not in held


def test_a_catcher_nobody_can_tell_apart_is_said_so(a_season: str) -> None:
    with open_book(a_season) as book:
        made = Reviewing(book, Turned(book, catcher="Wim Stolz"))
        with pytest.raises(BadInput, match="Wim Stolz cannot be told apart"):
            made.review(ReviewAsked("us/catcher/Wim Stolz"), quiet)


async def test_the_line_over_the_parts_fits_eighty_columns(
    two_clubs: str, asked: list[ReviewAsked], tmp_path: Path
) -> None:
    async with opened(two_clubs, place="review") as driven:
        await driven.until_text("6 not found")
        assert driven.screen.query_one("#tabs", Static).size.height == 1
