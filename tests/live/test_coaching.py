"""The coach's rules in a game: against everybody, against one hitter, until he proves it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.live.coaching import NO_COACHING, Coaching, read
from sequencer.live.session import Session
from sequencer.planning.calls import CoachRules
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs

#: Marin, a right-handed hitter who leads off, and who follows him: left is in to Marin.
MARIN, OKOYE = "owl7", "owl12"
LINED_IN = Pitch(result="foul", contact="square", pitch="fastball", cell="belt-left")
OUT = Pitch(result="in play", play="out", pitch="fastball", cell="belt-middle")


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with open_book(clubs.book_at(tmp_path / "book.db")) as book:
        yield clubs.game(book, "tonight", clubs.DAY, "allowed")


def test_without_rules_nothing_is_in_force_and_nothing_is_said(session: Session) -> None:
    assert NO_COACHING.against(session.state) == CoachRules()
    assert NO_COACHING.says(session.state) == ()


def test_a_rule_against_one_hitter_stands_beside_those_against_all_and_his_half_holds(
    session: Session,
) -> None:
    rules = read([("", "away half only"), ("", "no slider"), (MARIN, "inner half only")])
    assert rules.against(session.state) == CoachRules(one_half="in", never=("slider",))
    assert rules.says(session.state) == ("Rules: inner half only; no slider",)
    session.add(OUT)
    assert rules.against(session.state) == CoachRules(one_half="away", never=("slider",))


def test_a_half_worked_until_he_proves_it_is_over_for_him_alone_once_he_has(
    session: Session,
) -> None:
    rules = read([("", "work in until he proves it"), ("", "nothing down the middle")])
    assert rules.says(session.state) == (
        "Rules: work in until he proves it; nothing down the middle",
    )
    session.add(LINED_IN)
    assert rules.against(session.state) == CoachRules(no_middle=True)
    assert rules.says(session.state) == ("Rule: nothing down the middle", "Proved it in: rule off")
    session.undo()
    assert rules.against(session.state).one_half == "in"
    session.redo()
    session.add(OUT)
    assert rules.against(session.state) == CoachRules(
        one_half="in", until_proven=True, no_middle=True
    )
    for _ in range(8):
        session.add(OUT)
    assert session.state.up is not None and session.state.up.person == MARIN
    assert rules.against(session.state).one_half == ""


def test_once_he_has_proved_his_own_half_that_against_everybody_holds_again(
    session: Session,
) -> None:
    rules = read([(MARIN, "work in until he proves it"), ("", "away half only")])
    assert rules.against(session.state).one_half == "in"
    session.add(LINED_IN)
    assert rules.against(session.state) == CoachRules(one_half="away")
    assert rules.says(session.state) == ("Rule: away half only",)


def test_a_last_pitch_that_counts_for_nothing_is_said_too(session: Session) -> None:
    rules = read([(MARIN, "no last pitch")])
    assert rules.says(session.state) == ("Rule: the last pitch counts for nothing",)
    assert not rules.against(session.state).last_pitch


def test_words_that_are_no_rule_are_refused() -> None:
    with pytest.raises(BadInput, match="'gibberish' is not a rule"):
        read([("", "no slider"), (OKOYE, "gibberish")])
    assert read([]) == Coaching()
