from collections.abc import Iterator
from pathlib import Path

import pytest

from sequencer.errors import IllegalEntry
from sequencer.live.session import Session
from sequencer.records.event import Event
from sequencer.records.people import Person
from sequencer.records.replay import replay
from sequencer.records.store import Book, open_book
from tests.records.games import PEOPLE, STRIKEOUT, event, game, line_up, pitch, pitches


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(tmp_path / "club.db") as opened:
        opened.add_game(game())
        for person in PEOPLE:
            opened.add_person(person)
        yield opened


@pytest.fixture
def session(book: Book) -> Session:
    book.extend("g", line_up())
    return Session(book, game())


def log(session: Session, *results: str) -> None:
    for entry in pitches(*results):
        session.add(entry)


def on_disk(session: Session) -> object:
    return replay(session.game, session.book.everyone(), session.book.rows("g"))


def test_every_entry_is_on_disk_and_the_state_is_what_the_disk_gives(session: Session) -> None:
    log(session, "ball", "single", *STRIKEOUT)
    session.add(event("steal", base_from="1", base_to="2"))
    assert session.state == on_disk(session)
    assert Session(session.book, game()).state == session.state


def test_an_impossible_entry_changes_nothing(session: Session) -> None:
    log(session, "ball")
    before = session.state
    with pytest.raises(IllegalEntry):
        session.add(event("steal", base_from="1"))
    assert session.state is before and session.last_seq == session.book.last_seq("g")


def test_undo_goes_back_across_at_bats_and_redo_forward(session: Session) -> None:
    log(session, "ball")
    early = session.state
    log(session, "single", "foul")
    late = session.state
    session.undo()
    session.undo()
    assert session.state == early
    session.redo()
    session.redo()
    assert session.state == late == on_disk(session)
    with pytest.raises(IllegalEntry, match="nothing to redo"):
        session.redo()


def test_undo_stops_at_the_beginning(book: Book) -> None:
    session = Session(book, game())
    with pytest.raises(IllegalEntry, match="nothing to undo"):
        session.undo()
    assert book.rows("g") == []


def test_a_new_entry_ends_what_can_be_redone(session: Session) -> None:
    log(session, "ball", "ball")
    session.undo()
    log(session, "foul")
    with pytest.raises(IllegalEntry, match="nothing to redo"):
        session.redo()


def test_several_entries_of_one_act_are_kept_and_undone_together(session: Session) -> None:
    log(session, "single", "single")
    before = session.state
    session.add(
        event("balk", base_from="2", base_to="3"), event("balk", base_from="1", base_to="2")
    )
    assert session.state.bases == ("", "h2", "h1")
    session.undo()
    assert session.state == before
    with pytest.raises(IllegalEntry):
        session.add(
            event("balk", base_from="2", base_to="3"),
            event("balk", base_from="3"),
            event("balk", base_from="3"),
        )
    assert session.state == before == on_disk(session)


def test_a_pitch_missed_in_the_rush_is_inserted(session: Session) -> None:
    log(session, "ball", "single")
    session.insert(2, pitch("called strike"))
    assert [logged.pitch.result for logged in session.state.log] == [
        "ball",
        "called strike",
        "in play",
    ]
    assert (session.state.log[2].before.balls, session.state.log[2].before.strikes) == (1, 1)
    session.undo()
    assert len(session.state.log) == 2


def test_a_pitch_inserted_after_the_last_is_added(session: Session) -> None:
    log(session, "ball")
    session.insert(2, pitch("foul"))
    assert session.state.log[1].pitch.result == "foul"


def test_a_correction_that_makes_a_later_entry_impossible_is_refused_naming_it(
    session: Session,
) -> None:
    log(session, "single")
    session.add(event("steal", base_from="1", base_to="2"))
    log(session, "ball")
    before = session.state
    with pytest.raises(IllegalEntry, match="the steal after pitch 1"):
        session.correct(1, {"play": "out"})
    with pytest.raises(IllegalEntry, match="no pitch 9"):
        session.correct(9, {"pitch": "slider"})
    with pytest.raises(IllegalEntry, match="speed"):
        session.correct(1, {"speed": 70})
    assert session.state == before == on_disk(session)


def test_a_corrected_result_replays_what_followed(session: Session) -> None:
    log(session, "ball", "ball", "ball", "ball")
    session.correct(4, {"result": "called strike"})
    assert str(session.state.count) == "3-1" and session.state.bases == ("", "", "")


def test_who_was_up_is_corrected_for_the_whole_at_bat(session: Session) -> None:
    log(session, "ball", "foul", "single")
    session.correct(2, {"hitter": "bench", "bats": "L"})
    assert {(x.before.hitter, x.before.bats) for x in session.state.log} == {("bench", "L")}
    assert session.state.bases == ("bench", "", "")
    session.correct(3, {"hitter": "h1"})
    assert {(x.before.hitter, x.before.bats) for x in session.state.log} == {("h1", "R")}


def test_a_corrected_side_turns_in_and_away_round_but_not_where_the_catcher_saw_it(
    session: Session,
) -> None:
    session.add(pitch("ball", cell="down-right", entered="hitter"))
    session.correct(1, {"bats": "L"})
    only = session.state.log[0]
    assert (only.before.bats, only.pitch.cell) == ("L", "down-right")


def test_a_pinch_hitter_is_corrected_without_touching_the_man_before(session: Session) -> None:
    log(session, "ball")
    session.add(event("substitution", who="bench", for_whom="h1"))
    log(session, "foul", "foul")
    session.correct(3, {"hitter": "switch"})
    assert [x.before.hitter for x in session.state.log] == ["h1", "switch", "switch"]


def test_a_pitcher_corrected_holds_to_the_next_change(session: Session) -> None:
    log(session, "ball", "ball", "ball")
    session.add(event("pitcher", who="vela"))
    log(session, "foul")
    session.correct(2, {"pitcher": "moss"})
    assert [x.before.pitcher for x in session.state.log] == ["vela", "moss", "moss", "vela"]
    assert session.state.pitch_counts == {"vela": 2, "moss": 2}


def test_one_undo_takes_a_whole_correction_back(session: Session) -> None:
    log(session, "ball")
    before = session.state
    session.correct(1, {"pitch": "slider", "hitter": "h3", "pitcher": "moss"})
    session.undo()
    assert session.state == before


def test_a_target_corrected_after_the_result_is_marked_so(session: Session) -> None:
    session.add(pitch("ball", target="left", target_when="before"))
    session.correct(1, {"target": "right"})
    assert session.state.log[0].pitch.target_when == "after"


def test_no_pitch_is_lost_for_want_of_names_and_the_stand_ins_are_people(book: Book) -> None:
    session = Session(book, game())
    log(session, "ball")
    hitter, pitcher = session.state.log[0].before.hitter, session.state.log[0].before.pitcher
    assert book.person(hitter).number == "?1" and book.person(hitter).team == "Owls"
    assert book.person(pitcher).team == "Herons"
    session.add(event("at", who="h2"))
    assert session.state.log[0].before.hitter == "h2"
    assert Session(book, game()).state == session.state


def test_a_new_person_comes_with_his_entry_or_not_at_all(session: Session) -> None:
    new = Person(id="new", team="Owls", number="44")
    log(session, "ball")
    with pytest.raises(IllegalEntry):
        session.add(event("at", who="new"), new=[new])
    assert "new" not in session.book.everyone()
    session.add(event("substitution", who="new", for_whom="h1"), new=[new])
    assert session.state.label("new") == "#44"


def test_two_sessions_of_one_game_lose_and_double_nothing(session: Session, book: Book) -> None:
    with open_book(book.path) as second_book:
        second = Session(second_book, game())
        log(session, "ball")
        second.add(pitch("foul"))
        assert second.notice and str(second.state.count) == "1-1"
        with pytest.raises(IllegalEntry, match="Another session"):
            session.undo()
        assert session.state == second.state == on_disk(session)
        session.undo()
        assert str(session.state.count) == "1-0"


def test_a_merge_made_elsewhere_shows_after_a_refresh(session: Session, book: Book) -> None:
    log(session, "single")
    book.merge_people("bench", "h1")
    assert session.refresh().bases == ("bench", "", "")


def test_what_a_game_begins_with_is_not_undone(book: Book) -> None:
    book.extend("g", line_up(), joined=True)
    session = Session(book, game())
    log(session, "ball")
    session.undo()
    with pytest.raises(IllegalEntry, match="nothing to undo"):
        session.undo()
    assert session.state.up is not None and session.state.up.person == "h1"


def test_a_side_said_at_the_plate_is_learnt_for_a_hitter_whose_side_nobody_knew(
    session: Session, book: Book
) -> None:
    book.change_person("bench", bats="")
    session.refresh()
    session.add(event("at", who="bench", bats="L"))
    session.add(pitch("ball"))
    assert book.person("bench").bats == "L"
    session.undo()
    session.add(event("at", who="h2", bats="R"))
    assert book.person("h2").bats == "L"
    assert session.state == on_disk(session)


def test_a_game_whose_rules_were_changed_afterwards_can_still_be_read_and_corrected(
    session: Session, book: Book
) -> None:
    session.add(event("substitution", who="bench", for_whom="h1"))
    session.add(event("substitution", who="h1", for_whom="bench"))
    log(session, "ball")
    book.change_game("g", rules="pro")
    state = session.refresh()
    assert len(state.log) == 1 and "no re-entry" in state.problems[0]
    session.correct(1, {"pitch": "slider"})
    with pytest.raises(IllegalEntry, match="no runner on first"):
        session.insert(1, event("steal", base_from="1"))
    assert session.state.log[0].pitch.pitch == "slider"


def test_a_note_changes_nothing_but_is_kept(session: Session) -> None:
    session.add(Event(event="note", reason="wind blowing in"))
    assert session.state.happened[-1].event.reason == "wind blowing in"
