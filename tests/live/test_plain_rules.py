"""The coach's rules, who hits next and whether calls are wanted, said in lines of `log --plain`."""

from pathlib import Path

import pytest

from sequencer.live.plain_log import PlainLog
from sequencer.records.store import open_book
from tests.tui import clubs


@pytest.fixture
def log(tmp_path: Path) -> PlainLog:
    book = open_book(clubs.book_at(tmp_path / "book.db"))
    return PlainLog(clubs.game(book, "tonight", clubs.DAY, "allowed"))


def test_rules_of_the_coach_are_said_taken_back_and_listed(log: PlainLog) -> None:
    assert log.answer("rules") == "rules none"
    assert log.answer("rule away half only") == "ok 0 0-0"
    log.answer("rule no changeup with two strikes against 7")
    both = "away half only; no changeup with two strikes against Marin"
    assert log.answer("rules") == f"rules {both}"
    log.answer("rule inner half only")
    assert list(log.rules) == [("owl7", "no changeup with two strikes"), ("", "inner half only")]
    log.answer("rule one-half=in")
    assert list(log.rules) == [("owl7", "no changeup with two strikes")]
    log.answer("rules off")
    assert not log.rules


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("rule bogus", "no 'bogus' is not a rule"),
        ("rule", "no say a rule"),
        ("rule no changeup against Nobody Known", "no Nobody of the other side is called"),
        ("rules of", "no say rules or rules off"),
        ("next four", "no say next three"),
        ("advice maybe", "no say advice on or advice off"),
    ],
)
def test_what_is_no_rule_is_refused_in_a_sentence(log: PlainLog, line: str, why: str) -> None:
    assert log.answer(line).startswith(why)
    assert log.rules == ()


def test_the_next_three_are_a_line(log: PlainLog) -> None:
    log.answer("changeup, down-away, in play, play=out")
    told = log.answer("next three")
    assert told.startswith("next #12 Okoye (L)") and "#3 Brandt" in told and "Sato" in told


def test_calls_can_be_put_off_and_brought_back(log: PlainLog) -> None:
    assert log.answer("advice off") == "ok 0 0-0"
    assert log.answer("call") == "no advice is off: advice on brings it back"
    log.answer("advice on")
    log.answer("rule no breaking balls")
    assert "no breaking balls" in log.answer("call")
