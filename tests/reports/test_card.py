"""The card: what a catcher reads, what a coach reads, written whole or not at all."""

import re
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.count import CARD_ROWS
from sequencer.baseball.zone import TARGETS
from sequencer.errors import BadInput
from sequencer.planning.draw import TIMES_UP
from sequencer.planning.plan import Plan, plan
from sequencer.reports import card_typst
from sequencer.reports.card import FORMS, Batter, Page, card_text, make_page, save_page, write_card
from sequencer.reports.card_html import card_html
from sequencer.reports.card_text import catcher_text, coach_text
from sequencer.reports.card_words import group_words
from sequencer.reports.card_zone import zone_svg
from sequencer.reports.lines import WIDTH
from tests.planning.cards import a_line_up
from tests.planning.plan_people import a_league, a_pitcher

LEVEL = "13-14"
GAME = "opener"
NUMBERS = ("7", "12", "3", "21", "44")
NAMES = ("Rook Alder", "Åke Ñuñez", 'Moss "Bo" Pike', "<b>Tarn & Co</b>", "משה אלמוני")


@cache
def a_plan() -> Plan:
    pitcher = a_pitcher("fastball", "changeup", "curveball", level=LEVEL, spread=9.0)
    shelved = [replace(p, shelved=p.pitch == "curveball") for p in pitcher.arsenal]
    return plan(
        a_line_up(LEVEL)[:5], replace(pitcher, arsenal=tuple(shelved)), a_league(LEVEL), trust=0.3
    )


def batters(names: Sequence[str] = NAMES, numbers: Sequence[str] = NUMBERS) -> list[Batter]:
    men = zip(names, numbers, a_plan().hitters, strict=True)
    return [Batter.of(name, one.bats, number=number) for name, number, one in men]


@cache
def a_page(*, each: bool = False, seed: int = 0, game: str = GAME) -> Page:
    return make_page(a_plan(), line_up=batters(), seed=seed, game=game, each=each)


# what stands on it


@pytest.mark.parametrize("each", [False, True])
def test_the_catchers_side_has_no_runs_no_decimals_and_no_percentages(each: bool) -> None:
    page = a_page(each=each)
    said = catcher_text(page)
    shown = re.sub(
        r"<style>.*?</style>|<svg.*?</svg>", "", card_html(page, sides="catcher"), flags=re.S
    )
    for text in (said, shown):
        assert not re.search(r"\d[.,]\d|%|\bruns?\b|percent|tenth", text)


def test_every_line_begins_with_number_side_and_plan_and_holds_a_draw() -> None:
    lines = catcher_text(a_page()).splitlines()
    for line in a_page().lines:
        start = rf"^ +{line.batter.number} +{line.batter.bats} +{line.plan} +\|"
        (found,) = [one for one in lines if re.match(start, one)]
        digits = re.findall(r"\b[123]\b", found.split("|", 1)[1])
        assert digits == [cell for cells in line.draw for cell in cells]
        assert len(digits) == len(CARD_ROWS) * TIMES_UP


def test_a_number_of_the_draw_is_always_a_call_of_his_plan() -> None:
    page = a_page()
    blocks = {block.letter: block for block in page.blocks}
    for line in page.lines:
        for cells, calls in zip(line.draw, blocks[line.plan].rows, strict=True):
            assert all(1 <= int(cell) <= len(calls) for cell in cells)


def test_the_example_is_what_one_finds_by_the_legend() -> None:
    page = a_page()
    line = page.lines[0]
    block = next(one for one in page.blocks if one.letter == line.plan)
    assert page.example.endswith(f": {block.rows[0][int(line.draw[0][0]) - 1]}.")
    own = a_page(each=True)
    assert own.example == f"Number 7, 0-0, 1st time up: {own.lines[0].draw[0][0]}."
    assert page.legend.count(". ") == 0 == own.legend.count(". ")


def test_every_hitter_of_a_card_for_each_has_the_calls_of_his_own_card() -> None:
    for line, one in zip(a_page(each=True).lines, a_plan().hitters, strict=True):
        for cells, calls in zip(line.draw, one.card.rows.values(), strict=True):
            assert set(cells) <= {str(call) for call, _ in calls}
            assert len(cells) == TIMES_UP


def test_another_game_has_another_draw_and_the_same_game_the_same() -> None:
    first, other = a_page(), a_page(game="second")
    assert [line.draw for line in first.lines] != [line.draw for line in other.lines]
    assert make_page(a_plan(), line_up=batters(), game=GAME).as_json() == first.as_json()


def test_two_hitters_called_alike_have_draws_of_their_own() -> None:
    page = make_page(a_plan(), line_up=batters(["Kit Fen"] * 5, [""] * 5), game=GAME, each=True)
    mixed = [line.draw for line in page.lines]
    assert len({line.batter.key for line in page.lines}) == 1
    assert len(set(mixed)) > 1


def test_a_pitch_left_out_today_is_said_once_and_never_called() -> None:
    said = catcher_text(a_page())
    assert said.count("Not today: curveball.") == 1
    assert said.count("curveball") == 1


def test_the_coachs_side_says_what_it_costs_and_what_the_draw_gives_away() -> None:
    said = " ".join(coach_text(a_page()).split())
    assert "runs per 100 plate appearances on average" in said
    assert "drawn anew for each game" in said
    for one in a_page().coach.costs:
        assert f"{100 * one.simple:.2f}".replace("-0.00", "0.00") in said


def test_carrying_that_is_too_dear_is_said() -> None:
    dear = [replace(one, simplicity_cost=0.01) for one in a_plan().hitters]
    page = make_page(replace(a_plan(), hitters=tuple(dear)), line_up=batters(), game=GAME)
    assert "more than the 0.35 a card should cost" in " ".join(page.coach.says)
    assert "more than" not in " ".join(a_page(each=True).coach.says)


def test_plans_are_named_by_what_marks_them_and_never_alike() -> None:
    page = a_page()
    titles = [block.title for block in page.blocks]
    assert len(set(titles)) == len(titles)
    assert not any("group" in title for title in titles)


def test_a_plan_for_all_who_share_a_mark_is_named_by_it() -> None:
    letters = [line.plan for line in a_page().lines]
    late = max(set(letters), key=letters.count)
    marked = [
        replace(one, marks=("late on the fastball",) * (letter == late))
        for one, letter in zip(batters(), letters, strict=True)
    ]
    titles = [b.title for b in make_page(a_plan(), line_up=marked, game=GAME).blocks]
    assert letters.count(late) == 2
    assert titles[0] == "late on the fastball"


def test_one_plan_for_all_is_for_everybody() -> None:
    from sequencer.planning.pooling import SharedPlan

    card = a_plan().hitters[0].card
    assert group_words([SharedPlan((0, 1, 2, 3, 4), card)], batters()) == ("everybody",)


def test_a_hitter_is_called_by_his_number_as_soon_as_one_is_known() -> None:
    assert Batter.of("#40", "R") == Batter("40", "", "R")
    assert Batter.of("Kit Fen", "L", number="?3").short == "Kit Fen"
    assert Batter.of("Kit Fen", "L", number="9").short == "9"


def test_json_holds_plans_draw_and_costs() -> None:
    told = a_page().as_json()
    assert {"plan", "for", "hitters", "card", "practise"} == set(told["plans"][0])
    for hitter in told["hitters"]:
        card = next(one["card"] for one in told["plans"] if one["plan"] == hitter["plan"])
        for row, calls in hitter["draw"].items():
            assert set(calls) <= {f"{call['pitch']} {call['target']}" for call in card[row]}
        assert isinstance(hitter["simplicity_cost"], float)
        assert isinstance(hitter["sharing_cost"], float)
    own = a_page(each=True).as_json()
    assert own["plans"] == []
    assert all(set(hitter["card"]) == set(CARD_ROWS) for hitter in own["hitters"])


# how it is set


@pytest.mark.parametrize("each", [False, True])
def test_text_keeps_to_the_width_of_a_terminal(each: bool) -> None:
    assert max(map(len, card_text(a_page(each=each)).splitlines())) <= WIDTH


def test_html_escapes_every_name_and_stands_alone() -> None:
    names = ['<script>alert("x")</script>', "a & b", "'q'", "{{ 7 * 7 }}", "משה"]
    page = make_page(a_plan(), line_up=batters(names), game="<i>g</i>", each=True)
    for shown in (card_html(page), card_html(replace(page, each=True), sides="catcher")):
        assert "<script" not in shown and "<i>g" not in shown
        assert "&lt;script&gt;" in shown and "{{ 7 * 7 }}" in shown
        assert "<bdi>משה</bdi>" in shown
        assert not re.search(r"(src|href)=", shown)


def test_html_of_shared_plans_has_a_picture_of_the_zone_for_each() -> None:
    shown = card_html(a_page())
    assert shown.count("<svg") == len(a_page().blocks)


def test_a_picture_of_the_zone_names_every_target_within_it() -> None:
    drawn = zone_svg(TARGETS)
    places = [float(at) for at in re.findall(r'c[xy]="(-?[\d.]+)"', drawn)]
    assert max(map(abs, places)) <= 100.0
    for word in TARGETS:
        assert f">{word}</text>" in drawn


@pytest.mark.parametrize("each", [False, True])
def test_a_pdf_holds_its_fonts_and_is_the_same_again(each: bool) -> None:
    page = a_page(each=each)
    made = card_typst.pdf(page)
    assert made.startswith(b"%PDF") and b"FontFile" in made
    assert card_typst.pdf(page) == made


def test_a_pdf_is_the_same_in_another_process(tmp_path: Path) -> None:
    program = (
        "import sys\n"
        "from tests.reports.test_card import a_page\n"
        "from sequencer.reports.card import save_page\n"
        "save_page(a_page(), sys.argv[1])\n"
    )
    subprocess.run([sys.executable, "-c", program, str(tmp_path / "a.pdf")], check=True)
    assert (tmp_path / "a.pdf").read_bytes() == card_typst.pdf(a_page())


@pytest.mark.parametrize("paper", sorted(card_typst.PAPERS))
@pytest.mark.parametrize("hitters", [1, 5, 9, 14])
def test_shared_plans_are_one_page_for_the_catcher(hitters: int, paper: str) -> None:
    page = a_page()
    lines = (page.lines * 3)[:hitters]
    blocks = tuple(
        replace(page.blocks[0], letter=letter, pair="fastball middle, then changeup same spot")
        for letter in "ABCD"
    )
    crowded = replace(page, lines=lines, blocks=blocks)
    assert len(card_typst.pictures(crowded, sides="catcher", paper=paper)) == 1


@settings(max_examples=12, deadline=None)
@given(name=st.text(max_size=40))
def test_any_name_can_be_printed_in_every_form(name: str) -> None:
    line_up = batters([name] * 5, ["", *NUMBERS[1:]])
    page = make_page_of(line_up)
    assert card_typst.pdf(page).startswith(b"%PDF")
    assert "</html>" in card_html(page)
    assert card_text(page)


def make_page_of(line_up: list[Batter]) -> Page:
    """The page with other names, without pooling anew."""
    page = a_page(each=True)
    lines = [replace(one, batter=who) for one, who in zip(page.lines, line_up, strict=True)]
    return replace(page, lines=tuple(lines))


# writing it


@pytest.mark.parametrize("ending", sorted(FORMS))
def test_a_card_is_written_by_its_ending(ending: str, tmp_path: Path) -> None:
    files = write_card(a_plan(), tmp_path / f"card{ending}", line_up=batters(), game=GAME)
    assert all(file.stat().st_size > 500 for file in files)
    assert len(files) == (2 if ending == ".png" else 1)
    assert sorted(tmp_path.iterdir()) == sorted(files)


def test_a_card_of_no_known_ending_is_refused_before_anything_is_worked_out(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be written as card\.gif: end it in one of \.pdf"):
        write_card(a_plan(), tmp_path / "card.gif")


def test_a_card_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be written to .*: name another file"):
        save_page(a_page(), tmp_path / "nowhere" / "card.txt")
    (tmp_path / "card.txt").mkdir()
    with pytest.raises(BadInput, match="cannot be written"):
        save_page(a_page(), tmp_path / "card.txt")
    assert [one.name for one in tmp_path.iterdir()] == ["card.txt"]


def test_an_older_card_is_replaced_whole(tmp_path: Path) -> None:
    file = tmp_path / "card.txt"
    file.write_text("old", encoding="utf-8")
    save_page(a_page(), file, sides="catcher")
    assert file.read_text(encoding="utf-8") == catcher_text(a_page()) + "\n"


def test_an_unknown_paper_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no paper a card is made for: use a4 or letter"):
        save_page(a_page(), tmp_path / "card.pdf", paper="napkin")
    assert not list(tmp_path.iterdir())
