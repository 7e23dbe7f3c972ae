"""Pictures in characters, and the words of the dugout, from plain values."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.estimates.traits import TRAIT_TABLE, TRAITS
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.pitch import Pitch
from sequencer.records.replay import start, step
from sequencer.records.state import State
from tests.tui import clubs
from tui.drawing import dugout_view, entry_lines
from tui.pages import SHORT_NAMES
from tui.picture_views import Spot, ZoneView
from tui.picturing import count_step
from tui.shares import SHADES
from tui.views import TraitBar
from tui.widgets.scoreboard import bases_lines, outs_words
from tui.widgets.trait_bars import NARROWEST, SHORT, WHOLE, bar_lines, bar_of
from tui.widgets.zone_picture import column_of, grid_of, row_of


def picture(view: ZoneView, width: int = 25, height: int = 15) -> list[str]:
    return ["".join(row) for row in grid_of(view, width, height)]


def test_a_pitch_is_drawn_where_the_catcher_saw_it() -> None:
    up_left = picture(ZoneView(spots=(Spot(-6.0, 38.0, "1"),)))
    down_right = picture(ZoneView(spots=(Spot(6.0, 22.0, "2"),)))
    row, column = next((r, line.index("1")) for r, line in enumerate(up_left) if "1" in line)
    assert row < 7 and column < 12
    row, column = next((r, line.index("2")) for r, line in enumerate(down_right) if "2" in line)
    assert row > 7 and column > 12


def test_pitches_in_one_spot_do_not_hide_each_other() -> None:
    drawn = "".join(picture(ZoneView(spots=tuple(Spot(0.0, 30.0, str(n)) for n in range(1, 10)))))
    assert {str(n) for n in range(1, 10)} <= set(drawn)


@given(st.floats(-60, 60), st.floats(-24, 120), st.integers(10, 60), st.integers(6, 30))
def test_every_pitch_on_the_map_is_on_the_picture(
    side: float, height: float, columns: int, rows: int
) -> None:
    drawn = picture(ZoneView(spots=(Spot(side, height, "7"),)), columns, rows)
    assert len(drawn) == rows and all(len(line) == columns for line in drawn)
    assert sum(line.count("7") for line in drawn) == 1


def test_a_cell_with_more_pitches_is_darker_and_says_how_many() -> None:
    drawn = "\n".join(picture(ZoneView(cells={"up-left": (3, "9"), "down-right": (1, "2")})))
    assert "▓" in drawn and "░" in drawn and "9" in drawn and "2" in drawn


@pytest.mark.parametrize(("count", "shade"), [(0, " "), (1, "░"), (3, "░"), (5, "▒"), (9, "▓")])
def test_shades_go_by_thirds_of_the_most(count: int, shade: str) -> None:
    assert SHADES[count_step(count, 9)] == shade


@given(st.floats(-3, 3), st.floats(-3, 3))
def test_further_right_and_higher_is_never_drawn_left_or_lower(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert column_of(low, 30) <= column_of(high, 30)
    assert row_of(low, 20) >= row_of(high, 20)


def test_the_box_is_where_the_edges_of_the_zone_are() -> None:
    drawn = picture(ZoneView())
    top = next(r for r, line in enumerate(drawn) if "┌" in line)
    assert row_of(1.0, 15) == top and column_of(-1.0, 25) == drawn[top].index("┌")


def test_bases_and_outs_read_without_colour() -> None:
    assert bases_lines(("Okoye", "", "Sato")) == (
        "  ◇",
        "◆   ◆",
        "1st Okoye, 3rd Sato",
    )
    assert outs_words(2) == "●●○ 2 outs"


def test_a_traits_bar_shows_where_he_is_and_how_unsure_that_is() -> None:
    sure, unsure = bar_of(1.0, 0.1, 25), bar_of(1.0, 1.0, 25)
    assert sure.index("●") == unsure.index("●") > 12
    assert unsure.count("─") > sure.count("─")
    assert bar_of(0.0, 0.0, 7) == "   ●   " and bar_of(-9.0, 0.1, 7).startswith("●")


def test_every_trait_has_words_that_fit_their_column() -> None:
    assert set(SHORT_NAMES) == set(TRAITS)
    assert len(set(SHORT_NAMES.values())) == len(TRAITS)
    assert all(len(words) < SHORT for words in SHORT_NAMES.values())
    assert all(len(trait.says) < WHOLE for trait in TRAIT_TABLE)


BARS = (TraitBar("hits it hard", "hard", 2.0, 0.4), TraitBar("bunts", "bunts", -1.0, 1.0))


@given(st.integers(SHORT + NARROWEST, 130))
def test_bars_are_never_wider_than_there_is_room_and_stand_under_their_middle(width: int) -> None:
    head, *lines, rest = bar_lines(BARS, 25, width)
    assert max(map(len, (head, *lines))) <= width
    middle = head.index("│")
    assert [line[middle] for line in lines] == ["│", "┼"]
    assert rest.startswith("25 others")
    words = "hits it hard" if width >= WHOLE + NARROWEST else "hard "
    assert lines[0].startswith(words)


def test_a_hitter_who_is_the_usual_one_has_no_bars() -> None:
    assert bar_lines((), 27, 25) == ("All 27 traits as the usual hitter, as far as is known.",)
    assert bar_lines((), 0, 25) == ()


def game(level: str = "11-12", rules: str = "high-school") -> State:
    header = Game(
        id="g", game="g", date=dt.date(2026, 5, 2), us="Herons", them="Owls", level=level,
        rules=rules,
    )  # fmt: skip
    state = start(header, (clubs.VELA, *clubs.OWLS))
    entries = [
        Event(event="pitcher", who="vela", side="us"),
        *(
            Event(event="line-up", who=p.id, slot=n, side="them")
            for n, p in enumerate(clubs.OWLS, 1)
        ),
    ]
    for seq, entry in enumerate(entries, 1):
        state = step(state, seq, entry)
    return state


def after(state: State, *results: str) -> State:
    for result in results:
        state = step(state, 100 + len(state.log), Pitch(result=result))
    return state


def test_who_is_up_and_the_next_three_come_from_the_line_up() -> None:
    view = dugout_view(game(), 1, {})
    assert (view.up_number, view.up_name, view.bats) == ("7", "Marin", "R")
    assert view.due == ("#12 Okoye (L)", "#3 Brandt (R)", "#21 Sato (R)")
    walked = dugout_view(after(game(), *["ball"] * 4), 2, {})
    assert (walked.up_name, walked.bases) == ("Okoye", ("Marin", "", ""))


def test_the_pitch_count_stands_against_the_days_limit_and_the_league_decides() -> None:
    view = dugout_view(after(game(), "ball", "foul"), 2, {})
    assert view.pitch_count.startswith("Pitches: 2 of ")
    assert "decide" in view.caution


def test_the_log_says_counts_ends_outs_and_runs() -> None:
    state = after(game(), "foul", "foul", "swinging strike")
    homer = step(state, 200, Pitch(result="in play", play="home run", pitch="fastball"))
    lines = [words for _, words in entry_lines(homer)]
    assert lines[-2].endswith("swinging strike - strikeout - 1 out")
    assert lines[-1] == "  4 0-0 Okoye: Fastball, home run - 1 run"
    assert not any("bats" in line for line in lines)
