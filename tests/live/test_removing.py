"""An entry that never happened is taken out of the middle of a game, and everything follows."""

from dataclasses import replace
from pathlib import Path

import pytest

from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.records.event import Event
from sequencer.records.people import Person
from sequencer.records.plain import parse
from sequencer.records.said_as_line import event_line
from sequencer.records.state import Happened, State, moment
from sequencer.records.store import open_book
from tests.tui import clubs

SINGLE = "fastball, belt-middle, in play, play=single"
BALL = "fastball, belt-in, ball"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    book = open_book(clubs.book_at(tmp_path / "book.db"))
    return clubs.game(book, "tonight", clubs.DAY)


def said(state: State) -> tuple[list[str], str, tuple[str, str, str]]:
    return [each.pitch.result for each in state.log], str(state.count), state.bases


def test_a_pitch_taken_out_never_was_and_undo_and_redo_take_it_as_one_act(
    session: Session,
) -> None:
    log = PlainLog(session)
    for line in (SINGLE, BALL, BALL):
        log.answer(line)
    before = said(session.state)
    assert log.answer("remove 2") == "ok 2 1-0"
    after = said(session.state)
    assert after == (["in play", "ball"], "1-0", ("owl7", "", ""))
    log.answer("undo")
    assert said(session.state) == before
    log.answer("redo")
    assert said(session.state) == after
    assert said(Session(session.book, session.game).state) == after


def test_an_event_taken_out_never_was(session: Session) -> None:
    log = PlainLog(session)
    for line in (SINGLE, "runner 1-2 steal", BALL):
        log.answer(line)
    assert session.state.bases == ("", "owl7", "")
    assert log.answer("remove 1 steal") == "ok 2 1-0"
    assert session.state.bases == ("owl7", "", "")


def test_what_a_later_entry_rests_on_stays_with_a_sentence(session: Session) -> None:
    log = PlainLog(session)
    for line in (SINGLE, "runner 1-2 steal", "runner 2-3 steal"):
        log.answer(line)
    assert "no Then a later entry could not have happened" in log.answer("remove 1")
    assert log.answer("remove 1 balk") == "no There is no balk after pitch 1."
    assert log.answer("remove 9").startswith("no There is no pitch 9")
    assert "did you mean 'steal'" in log.answer("remove 1 stael")
    assert said(session.state)[2] == ("", "", "owl7")


def test_what_was_put_in_before_it_and_corrected_in_it_stays_or_goes(session: Session) -> None:
    log = PlainLog(session)
    for line in (BALL, BALL, "insert 2 curveball, up-in, foul", "correct 3 result=called strike"):
        assert log.answer(line).startswith("ok")
    assert said(session.state)[0] == ["ball", "foul", "called strike"]
    log.answer("remove 3")
    assert said(session.state)[0] == ["ball", "foul"]
    log.answer(BALL)
    assert said(session.state)[0] == ["ball", "foul", "ball"]


def test_one_of_several_events_of_a_kind_is_taken_out_or_was_another(session: Session) -> None:
    log = PlainLog(session)
    for line in (SINGLE, "runner 1-2 steal", "runner 2-3 steal", BALL):
        log.answer(line)
    assert "could not have happened" in log.answer("remove 1 steal 1")
    assert log.answer("replace 1 steal 2 with runner 2-out caught stealing") == "ok 2 1-0"
    assert (session.state.bases, session.state.outs) == (("", "", ""), 1)
    assert log.answer("replace 1 steal with runner 1-2 passed ball") == "ok 2 1-0"
    assert [h.event.event for h in session.state.happened[-2:]] == [
        "passed ball",
        "caught stealing",
    ]
    log.answer("undo")
    log.answer("undo")
    assert session.state.bases == ("", "", "owl7")
    assert log.answer("replace 1 steal 3 with visit") == "no There is no steal 3 after pitch 1."
    assert log.answer("replace 1 steal with runner 1-2 steal").startswith("no There is no runner")
    assert log.answer("replace 1 steal with " + BALL).startswith("no say which event was what")


LINES = (
    *("runner 1-2 steal", "runner 3-home wild pitch", "runner 2-out pickoff", "runner 1-2 balk"),
    *("at Marin R", "absent Okoye", "sub Reed for Marin", "sub courtesy Reed for Marin"),
    *("pitcher Ines Vela", "catcher Reed", "throws L", "throws R injury", "walk intentional"),
    *("count 2-1", "score 3 2", "pitches 47", "lacks curveball", "has curveball"),
    *("end half run limit", "end half", "visit", "note windy, and cold"),
)


@pytest.mark.parametrize("line", LINES)
def test_an_event_is_said_again_by_the_line_that_said_it(session: Session, line: str) -> None:
    entry = parse(line)
    assert entry is not None and entry.event is not None
    said = PlainLog(session)._entry(entry, 1)[0]
    assert isinstance(said, Event)
    new = {one.id: one for one in PlainLog(session)._entry(entry, 1)[1]}
    made = {said.who: Person(id=said.who, team="Owls", name="Reed")} if new else {}
    state = replace(session.state, people={**session.state.people, **made})
    item = Happened(1, said, said.who, 0, moment(state), 0, ("", "", ""))
    assert event_line(state, item) == line
