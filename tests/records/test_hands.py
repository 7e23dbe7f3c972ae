"""A pitcher who throws with both hands: the hand of an at-bat, kept, corrected, told and read."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.hands import same_side
from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.records import frames
from sequencer.records.frames import read_log
from sequencer.records.store import Book, open_book
from sequencer.records.writers import export_book
from tests.tui import clubs

BALL = "fastball, belt-in, ball"
OUT = "fastball, belt-in, in play, play=out"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Vela throws with both hands; Marin (R), Okoye (L) and Brandt, from both sides, come up."""
    book = open_book(clubs.book_at(tmp_path / "book.db"))
    book.change_person("vela", throws="S")
    book.change_person("owl3", bats="S")
    return clubs.game(book, "tonight", clubs.DAY)


def said(session: Session, *lines: str) -> str:
    log = PlainLog(session)
    answers = [log.answer(line) for line in lines]
    assert all(answer.startswith("ok") for answer in answers[:-1]), answers
    return answers[-1]


def thrown(session: Session) -> list[tuple[str, str]]:
    frame = frames.game_frame(session.state)
    return list(zip(frame["throws"], frame["bats"], strict=True))


def test_unsaid_he_takes_the_hitters_side_and_a_switch_hitter_waits_for_his_hand(
    session: Session,
) -> None:
    said(session, OUT, OUT, BALL)
    assert thrown(session) == [("R", "R"), ("L", "L"), ("", "")]


def test_the_hand_shown_is_the_one_of_the_at_bat_and_the_switch_hitter_stands_opposite(
    session: Session,
) -> None:
    said(session, "throws L", BALL, OUT, OUT, "throws R", BALL, OUT)
    assert thrown(session) == [("L", "R"), ("L", "R"), ("L", "L"), ("R", "L"), ("R", "L")]


def test_a_hand_said_late_holds_for_the_whole_at_bat(session: Session) -> None:
    said(session, OUT, OUT, BALL, BALL, "throws L", BALL)
    assert thrown(session)[2:] == [("L", "R")] * 3
    said(session, "undo", "undo")
    assert thrown(session)[2:] == [("", "")] * 2


def test_he_keeps_the_hand_until_the_at_bat_is_over_unless_he_is_hurt(session: Session) -> None:
    """Official Baseball Rules 5.07(f)."""
    refused = said(session, "throws L", BALL, "throws R")
    assert refused.startswith("no Ines Vela showed his left hand and keeps it")
    said(session, "throws R injury", BALL, OUT, BALL)
    assert [hand for hand, _ in thrown(session)] == ["L", "R", "R", "R"]
    assert "may not use it again" in said(session, "throws L")


def test_a_pinch_hitter_lets_him_change_and_another_pitcher_has_his_own(session: Session) -> None:
    said(session, "throws L", BALL, "sub Reed for Marin", "throws R", BALL)
    assert [hand for hand, _ in thrown(session)] == ["L", "R"]
    said(session, "pitcher Tam", BALL)
    assert thrown(session)[-1][0] == ""


def test_a_hand_is_corrected_for_its_at_bat(session: Session) -> None:
    said(session, BALL, BALL, OUT, BALL, "correct 2 throws=L")
    assert [hand for hand, _ in thrown(session)] == ["L", "L", "L", "L"]
    said(session, "correct 1 throws=R")
    assert [hand for hand, _ in thrown(session)] == ["R", "R", "R", "L"]
    assert said(session, "correct 1 throws=both").startswith("no ")
    said(session, "undo")
    assert [hand for hand, _ in thrown(session)] == ["L", "L", "L", "L"]


def test_one_handed_pitchers_need_nothing_said(session: Session) -> None:
    session.book.change_person("vela", throws="R")
    session.refresh()
    said(session, BALL, "throws L", BALL)
    assert [hand for hand, _ in thrown(session)] == ["L", "L"]
    assert "throwing left" in said(session, "state")
    said(session, OUT, BALL)
    assert thrown(session)[-1][0] == "R"
    assert "throwing" not in said(session, "state")


@pytest.mark.parametrize("line", ["throws", "throws both", "throws L tired"])
def test_a_line_that_names_no_hand_is_refused(session: Session, line: str) -> None:
    assert said(session, line).startswith("no say the hand he throws with")


def test_an_export_gives_the_same_hands_again(session: Session, tmp_path: Path) -> None:
    said(session, "throws L", BALL, OUT, OUT, BALL, "throws R", BALL, OUT)
    export_book(session.book, tmp_path / "out")
    read = read_log(tmp_path / "out")
    assert list(zip(read["throws"], read["bats"], strict=True)) == thrown(session)


ROWS = "game,us,them,pitcher,throws,hitter,bats,at_bat,pitch_no,balls,strikes,pitch,result,play"


@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(*[st.sampled_from("RL")] * 2), min_size=1, max_size=9))
def test_a_log_of_another_program_keeps_the_hand_of_every_at_bat(
    tmp_path_factory: pytest.TempPathFactory, at_bats: list[tuple[str, str]]
) -> None:
    file = tmp_path_factory.mktemp("log") / "log.csv"
    rows = [
        f"g,Herons,Owls,Vela,{hand},Hitter {i % 9},{bats},{i + 1},1,0,0,fastball,in play,out"
        for i, (hand, bats) in enumerate(at_bats)
    ]
    file.write_text("\n".join([ROWS, *rows]), encoding="utf-8")
    hands = [hand for hand, _ in at_bats]
    for replayed in (False, True):
        assert list(read_log(file, replayed=replayed)["throws"]) == hands


def test_both_hands_favour_either_side() -> None:
    assert [same_side(hand, "L") for hand in ("R", "L", "S", "")] == [False, True, True, False]


def test_the_book_keeps_a_pitcher_of_both_hands(session: Session, tmp_path: Path) -> None:
    book: Book = session.book
    book.close()
    with open_book(book.path) as again:
        assert again.person("vela").throws == "S"
