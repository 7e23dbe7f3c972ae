"""What is believed tonight: learnt pitch by pitch, and whatever is put right, as learnt afresh."""

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.errors import IllegalEntry
from sequencer.estimates import hitter, league
from sequencer.live import same_person
from sequencer.live.session import Session
from sequencer.live.tonight import Tonight
from sequencer.records.event import Event
from sequencer.records.frames import pitch_frame
from sequencer.records.people import Mark, Person
from sequencer.records.pitch import Pitch
from sequencer.records.state import State
from sequencer.records.store import Book, open_book
from tests.tui import clubs

ACTS = ("pitch", "pitch", "pitch", "undo", "redo", "correct", "insert", "pitcher", "at", "half")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Return a book with a game of the past in it, and a second pitcher."""
    path = clubs.book_at(tmp_path_factory.mktemp("club") / "book.db", games=1)
    with open_book(path) as opened:
        opened.add_person(Person(id="moss", team="Herons", name="Moss Reed", throws="L"))
        yield opened


@pytest.fixture(scope="module")
def past(book: Book) -> pd.DataFrame:
    return pitch_frame(book, game="g0")


def session_of(book: Book, name: str) -> Session:
    found = book.find_game(name)
    return Session(book, found) if found else clubs.game(book, name, clubs.DAY, "allowed")


def act(session: Session, what: str, dice: random.Random) -> None:
    """Do one thing to a game; what cannot be done is left."""
    n = len(session.state.log)
    try:
        if what == "pitch":
            session.add(clubs.thrown(dice, first=dice.random() < 0.3))
        elif what == "insert" and n:
            session.insert(dice.randint(1, n), clubs.thrown(dice, first=True))
        elif what == "correct" and n:
            cell = dice.choice(("up-left", "down-right", "belt-middle"))
            session.correct(dice.randint(1, n), {"cell": cell, "pitch": "curveball"})
        elif what == "pitcher":
            session.add(Event(event="pitcher", who=dice.choice(("vela", "moss")), side="us"))
        elif what == "at":
            session.add(Event(event="at", who=dice.choice(clubs.OWLS).id))
        elif what == "half":
            session.add(Event(event="half ended"))
        elif what in ("undo", "redo") and n:
            getattr(session, what)()
    except IllegalEntry:
        return


def beliefs(tonight: Tonight, state: State) -> tuple[list[object], np.ndarray[Any, Any]]:
    """Return everything that is believed: words and counts, and all numbers in a row."""
    tonight.follow(state)
    words: list[object] = [tonight.zone.pitches, tonight.zone.edges, tonight.rate()]
    numbers = [tonight.zone.mean, tonight.zone.cov]
    for pitch in tonight.pitcher().arsenal:
        words += [pitch.pitch, pitch.shelved, pitch.charted, pitch.thrown, pitch.evidence]
        numbers += [pitch.cov, pitch.bias, np.array(pitch.strike_share)]
    men = {(each.before.hitter, each.before.bats) for each in state.log}
    for person, bats in sorted(men):
        belief = tonight.hitter(person, bats)
        words += [belief.pitches, belief.notes]
        numbers += [belief.mean, belief.cov]
    return words, np.concatenate([each.ravel() for each in numbers])


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10**6), acts=st.lists(st.sampled_from(ACTS), min_size=4, max_size=14))
def test_however_a_game_came_about_what_is_believed_is_as_learnt_afresh(
    book: Book, past: pd.DataFrame, seed: int, acts: list[str]
) -> None:
    dice = random.Random(seed)
    session = session_of(book, f"game {seed} {len(acts)} {dice.random()}")
    running = Tonight(book, lambda: past)
    for i, what in enumerate(acts):
        act(session, what, dice)
        found = beliefs(running, session.state)
        if i in (len(acts) // 2, len(acts) - 1):
            afresh = Tonight(book, lambda: past)
            words, numbers = beliefs(afresh, Session(book, session.game).state)
            assert found[0] == words
            # A matrix product rounds by where its numbers lie in memory.
            assert np.allclose(found[1], numbers, rtol=1e-9, atol=1e-12)


def seen(session: Session, who: str, pitch: Pitch) -> None:
    """Log a pitch to a hitter that ends his at-bat."""
    session.add(Event(event="at", who=who))
    session.add(pitch)
    if session.state.pitch_no > 1:
        session.add(Pitch(result="in play", play="single"))
    session.add(Event(event="half ended"))


def logged(book: Book, name: str, pitches: list[Pitch]) -> Session:
    session = session_of(book, name)
    for pitch in pitches:
        session.add(pitch)
    return session


def test_what_is_learnt_one_by_one_is_nearly_what_all_at_once_gives(
    book: Book, past: pd.DataFrame
) -> None:
    dice = random.Random(4)
    session = session_of(book, "long")
    for _ in range(60):
        seen(session, "owl7", clubs.thrown(dice, first=False))
    tonight = Tonight(book, lambda: past)
    tonight.follow(session.state)
    ours = tonight.hitter("owl7", "R")
    every, at = pd.concat([past, pitch_frame(book, game=session.game.id)]), league.load("17-18")
    his = every[every["hitter_id"] == "owl7"]
    marks = book.marks("owl7")
    at_once = hitter.believe(book.person("owl7"), marks, his, at, bats="R", throws="R")
    assert ours.pitches == at_once.pitches > 60
    sd = np.sqrt(np.diag(at_once.cov))
    assert np.abs((ours.mean - at_once.mean) / sd).max() < 0.25


def test_the_hitter_who_was_seen_moves_and_nobody_else(book: Book, past: pd.DataFrame) -> None:
    session = session_of(book, "one man")
    tonight = Tonight(book, lambda: past)
    tonight.follow(session.state)
    before, other = tonight.hitter("owl7", "R"), tonight.hitter("owl12", "L")
    for _ in range(5):
        missed = Pitch(result="swinging strike", pitch="curveball", cell="below-off-right")
        seen(session, "owl7", missed)
    tonight.follow(session.state)
    after = tonight.hitter("owl7", "R")
    assert after.pitches == before.pitches + 10
    assert not np.allclose(after.mean, before.mean, atol=0.01)
    assert tonight.hitter("owl12", "L") is other


def test_a_mark_given_in_the_dugout_counts_from_then_on(book: Book, past: pd.DataFrame) -> None:
    session = session_of(book, "marked")
    tonight = Tonight(book, lambda: past)
    tonight.follow(session.state)
    before = tonight.hitter("owl3", "R")
    book.add_mark(Mark(person="owl3", mark="late on the fastball", how_often="always"))
    after = tonight.hitter("owl3", "R")
    book.drop_mark("owl3", "late on the fastball")
    assert after.trait("fast")[0] < before.trait("fast")[0]


def test_two_entries_made_one_player_are_learnt_as_one(book: Book) -> None:
    session = logged(book, "two of one", [])
    book.add_person(Person(id="twin", team="Owls", name="", number="90", bats="R"))
    foul = Pitch(result="foul", pitch="fastball", cell="belt-middle")
    for who in ("owl21", "twin"):
        seen(session, who, foul)
    tonight = Tonight(book)
    tonight.follow(session.state)
    alone = tonight.hitter("owl21", "R").pitches
    same_person.make_one(book, "owl21", "twin")
    tonight.follow(session.refresh())
    assert tonight.hitter("owl21", "R").pitches == alone + 2
    same_person.make_two(book, "owl21")
    tonight.follow(session.refresh())
    assert tonight.hitter("owl21", "R").pitches == alone


def test_another_game_that_changes_is_read_again(book: Book) -> None:
    session = session_of(book, "tonight")
    other = session_of(book, "the other")
    tonight = Tonight(book)
    tonight.follow(session.state)
    before = tonight.hitter("owl9", "L").pitches
    other.add(Event(event="at", who="owl9"))
    other.add(Pitch(result="foul", pitch="fastball", cell="belt-middle"))
    version = tonight.version
    tonight.follow(session.state)
    assert tonight.hitter("owl9", "L").pitches == before + 1
    assert tonight.version > version


def test_calls_of_both_halves_teach_the_zone(book: Book, past: pd.DataFrame) -> None:
    header = clubs.game(book, "both", clubs.DAY).game
    book.change_game(header.id, both_halves=True)
    session = session_of(book, "both")
    called = Pitch(result="called strike", pitch="fastball", cell="belt-off-right")
    session.add(called)
    session.add(Event(event="half ended"))
    session.add(called)
    tonight = Tonight(book, lambda: past)
    tonight.follow(session.state)
    assert session.state.pitching == "them"
    assert tonight.zone.pitches == 2
    assert tonight.zone.mean[0] > 0.0
    assert tonight.league.edges == tonight.zone.edges


def test_a_pitch_that_is_not_there_is_shelved_and_comes_back_when_it_was_a_slip(
    book: Book, past: pd.DataFrame
) -> None:
    session = logged(book, "wild", [Pitch(result="ball", pitch="curveball")] * 10)
    tonight = Tonight(book, lambda: past)
    tonight.follow(session.state)
    assert tonight.pitcher().pitch("curveball").shelved
    for n in range(1, 11):
        session.correct(n, {"pitch": "changeup"})
    tonight.follow(session.state)
    assert not tonight.pitcher().pitch("curveball").shelved


def test_it_must_follow_a_game_first(book: Book) -> None:
    with pytest.raises(ValueError, match="follow a game"):
        Tonight(book).pitcher()


def test_a_book_by_file_is_read_when_nothing_else_gives_its_pitches(tmp_path: Path) -> None:
    with open_book(clubs.book_at(tmp_path / "book.db", games=1)) as opened:
        session = clubs.game(opened, "tonight", clubs.DAY)
        tonight = Tonight(opened)
        tonight.follow(session.state)
        assert tonight.pitcher().arsenal[0].charted > 0
