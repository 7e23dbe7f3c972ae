"""The next call of a game: at once from the tables there are, then with the last pitch learnt."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.errors import BadInput
from sequencer.live import times_through
from sequencer.live.advice import NoAdvice, last_call, moment_of
from sequencer.live.coaching import read
from sequencer.live.draws import drawn, seed_of
from sequencer.live.next_call import ASK, BARRED, NextCall, barred
from sequencer.live.session import Session
from sequencer.planning import beside as beside_room
from sequencer.planning.beside import beside
from sequencer.planning.calls import Call
from sequencer.planning.context import context
from sequencer.planning.stakes import Catcher
from sequencer.planning.suggest import ready
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch
from sequencer.records.state import Up
from sequencer.records.store import Book, open_book
from tests.tui import clubs

BALL = Pitch(result="ball", pitch="fastball", cell="down-right")
OUT = Pitch(result="in play", play="out", pitch="fastball", cell="belt-middle")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(clubs.book_at(tmp_path / "book.db", games=1)) as opened:
        opened.add_person(Person(id="moss", team="Herons", name="Moss Reed", throws="L"))
        yield opened


@pytest.fixture
def session(book: Book) -> Session:
    return clubs.game(book, "tonight", clubs.DAY, "allowed")


@pytest.fixture
def next_call(book: Book) -> NextCall:
    return NextCall(book)


# at once, and then learnt


def test_there_is_nothing_at_once_before_an_at_bat_is_solved(
    session: Session, next_call: NextCall
) -> None:
    assert next_call.at_once(session.state) is None
    advice = next_call.advise(session.state)
    again = next_call.at_once(session.state)
    assert again is not None
    assert (again.suggestion, again.behind) == (advice.suggestion, 0)


def test_after_a_pitch_the_tables_from_before_it_answer_and_say_so(
    session: Session, next_call: NextCall
) -> None:
    next_call.advise(session.state)
    session.add(BALL)
    standing = next_call.at_once(session.state)
    assert standing is not None
    assert (standing.behind, standing.suggestion.count) == (1, session.state.count)
    assert (standing.rate, standing.zone) == (None, "")
    learnt = next_call.advise(session.state)
    assert (learnt.behind, learnt.suggestion.count) == (0, session.state.count)
    assert learnt.rate is not None and learnt.rate.pitches == 1


def test_advice_is_solved_anew_when_something_was_learnt_and_not_otherwise(
    session: Session, next_call: NextCall, monkeypatch: pytest.MonkeyPatch
) -> None:
    solved: list[object] = []
    solve = NextCall._solve

    def counted(*asked: Any) -> Any:
        solved.append(asked)
        return solve(*asked)

    monkeypatch.setattr(NextCall, "_solve", counted)
    next_call.advise(session.state)
    next_call.advise(session.state)
    assert len(solved) == 1
    session.add(BALL)
    next_call.advise(session.state)
    next_call.advise(session.state, 0.5)
    assert len(solved) == 3


def test_what_one_pitch_more_says_is_what_a_fresh_start_says(
    book: Book, session: Session, next_call: NextCall
) -> None:
    for pitch in (BALL, BALL.model_copy(update={"result": "swinging strike"}), OUT, BALL):
        next_call.advise(session.state)
        session.add(pitch)
    ours, fresh = next_call.advise(session.state), NextCall(book).advise(session.state)
    assert [one.call for one in ours.suggestion.calls] == [
        one.call for one in fresh.suggestion.calls
    ]
    shares = [[one.share for one in each.suggestion.calls] for each in (ours, fresh)]
    assert shares[0] == pytest.approx(shares[1], abs=1e-6)
    assert ours.draw == fresh.draw


def test_counts_that_could_no_longer_come_are_not_answered_at_once(
    session: Session, next_call: NextCall
) -> None:
    session.add(BALL)
    next_call.advise(session.state)
    session.undo()
    assert next_call.at_once(session.state) is None
    assert next_call.advise(session.state).suggestion.count == session.state.count


def test_what_was_taken_back_is_unlearnt(book: Book, session: Session, next_call: NextCall) -> None:
    before = next_call.advise(session.state)
    session.add(BALL)
    next_call.advise(session.state)
    session.undo()
    after = next_call.advise(session.state)
    assert after.suggestion == before.suggestion


def test_a_shelved_pitch_leaves_the_mix_with_its_evidence(
    session: Session, next_call: NextCall
) -> None:
    curve = Pitch(result="ball", pitch="curveball", cell="below-middle")
    for _ in range(14):
        session.add(curve)
    advice = next_call.advise(session.state)
    assert "curveball" not in {one.call.pitch for one in advice.suggestion.calls}
    assert "No curveball: 0 strikes in 14 today" in advice.notes


# who is up, who pitches


def test_a_new_pitcher_in_the_middle_of_an_at_bat_is_advised_for_himself(
    session: Session, next_call: NextCall
) -> None:
    session.add(BALL)
    next_call.advise(session.state)
    session.add(Event(event="pitcher", who="moss", side="us"))
    assert next_call.at_once(session.state) is None
    advice = next_call.advise(session.state)
    assert advice.suggestion.count == session.state.count
    assert {one.call.pitch for one in advice.suggestion.calls} <= {"fastball", "changeup"}
    assert advice.time_up == 1


def test_a_switch_hitter_is_taken_from_the_side_he_stands_on(
    book: Book, session: Session, next_call: NextCall
) -> None:
    book.add_person(Person(id="jarr", team="Owls", name="Jarr", number="10", bats="S"))
    session.refresh()
    session.add(Event(event="at", who="jarr"))
    assert next_call.advise(session.state).bats == "L"
    session.add(Event(event="pitcher", who="moss", side="us"))
    assert session.state.up is not None
    assert next_call.advise(session.state).bats == session.state.up.bats == "R"


def test_a_hitter_of_whom_nothing_is_known_is_the_usual_one_and_that_is_said(
    book: Book, session: Session, next_call: NextCall
) -> None:
    book.add_person(Person(id="new", team="Owls", number="77"))
    session.refresh()
    session.add(Event(event="at", who="new"))
    advice = next_call.advise(session.state)
    assert advice.notes == (
        "Nothing known of him: as the usual hitter",
        f"His side is not known: taken to hit {'right' if advice.bats == 'R' else 'left'}",
    )
    assert next_call.advise(replace(session.state, up=_known(session))).notes == ()


def _known(session: Session) -> Up:
    """Return a hitter with pitches behind him, at the plate."""
    assert session.state.up is not None
    return replace(session.state.up, person="owl7", bats="R", assumed=False)


def test_there_is_no_advice_without_a_hitter_or_while_we_hit(
    session: Session, next_call: NextCall
) -> None:
    with pytest.raises(NoAdvice, match="say who hits"):
        next_call.advise(replace(session.state, up=None))
    with pytest.raises(NoAdvice, match="We hit"):
        next_call.at_once(replace(session.state, pitching="them"))
    with pytest.raises(NoAdvice, match="over"):
        next_call.advise(replace(session.state, outs=3))


@pytest.mark.parametrize(("advice", "says"), [("allowed", ""), ("no", BARRED), ("ask", ASK)])
def test_the_rules_say_whether_there_is_advice(book: Book, advice: str, says: str) -> None:
    session = clubs.game(book, f"rules {advice}", clubs.DAY, advice)
    assert barred(session.state) == says


# the coach's rules


def test_the_mix_keeps_the_coach_s_rules_and_that_of_other_rules_is_never_shown(
    session: Session, next_call: NextCall
) -> None:
    free = next_call.advise(session.state)
    away = read([("", "away half only"), ("owl12", "no curveball")])
    assert next_call.at_once(session.state, 0.0, away) is None
    advice = next_call.advise(session.state, 0.0, away)
    assert {one.call.side for one in advice.suggestion.calls} == {"away"}
    assert advice.rules == ("Rule: away half only",)
    assert next_call.advise(session.state) == free and free.rules == ()


def test_a_half_he_has_proved_tonight_is_worked_no_longer(
    session: Session, next_call: NextCall
) -> None:
    away = read([("", "work away until he proves it"), ("", "nothing down the middle")])
    next_call.advise(session.state, 0.0, away)
    session.add(Pitch(result="foul", contact="square", pitch="fastball", cell="belt-right"))
    assert next_call.at_once(session.state, 0.0, away) is None
    advice = next_call.advise(session.state, 0.0, away)
    assert "in" in {one.call.side for one in advice.suggestion.calls}
    assert advice.rules == ("Rule: nothing down the middle", "Proved it away: rule off")


def test_rules_that_leave_no_call_say_so(session: Session, next_call: NextCall) -> None:
    nothing = read([("", f"no {pitch}") for pitch in ("fastball", "changeup", "curveball")])
    with pytest.raises(BadInput):
        next_call.advise(session.state, 0.0, nothing)


# walking him, pitching around him


@pytest.mark.parametrize("trust", [0.0, 0.5])
def test_what_stands_beside_the_call_is_that_of_the_whole_at_bat(
    session: Session, next_call: NextCall, trust: float
) -> None:
    for pitch in (BALL, BALL, BALL.model_copy(update={"result": "foul"})):
        session.add(pitch)
    found = next_call.beside(session.state, trust)
    tonight, state = next_call._tonight, session.state
    man, pitcher = tonight.hitter("owl7", "R"), tonight.pitcher()
    around = context(tonight.level, rules=state.rules, moment=moment_of(state))
    solved = ready(man, pitcher, tonight.league, around, trust).solved
    whole = beside(
        solved, man, pitcher, tonight.league, around, state.count,
        last=last_call(state), on_deck=tonight.hitter("owl12", "L"),
    )  # fmt: skip
    assert found is not None and found.base_open
    assert found.plan == pytest.approx(whole.plan, abs=5e-4)  # what is given up for spread
    assert replace(found, plan=whole.plan) == whole
    assert whole.on_deck != 0.0


def test_who_is_on_deck_is_learnt_tonight_and_a_stranger_is_the_usual_one(
    book: Book, session: Session, next_call: NextCall
) -> None:
    book.add_person(Person(id="new", team="Owls", number="77"))
    session.refresh()
    quiet = clubs.game(book, "quiet", clubs.DAY, "allowed")
    quiet.add(Event(event="at", who="owl33"))
    before = NextCall(book).beside(quiet.state)
    for _ in range(8):
        session.add(OUT.model_copy(update={"play": "home run"}))
    session.add(Event(event="substitution", who="new", for_whom="owl12", side="them"))
    session.add(Event(event="at", who="owl7"))
    strange = next_call.beside(session.state)
    session.add(Event(event="at", who="owl33"))
    after = next_call.beside(session.state)
    assert strange is not None and strange.on_deck == 0.0
    assert before is not None and after is not None
    assert after.on_deck > before.on_deck + 0.002


def test_with_first_base_taken_it_is_told_only_where_it_is_a_coin_flip(
    session: Session, next_call: NextCall, monkeypatch: pytest.MonkeyPatch
) -> None:
    session.add(Pitch(result="in play", play="single", pitch="fastball", cell="belt-middle"))
    assert next_call.beside(session.state) is None
    monkeypatch.setattr(beside_room, "COIN_FLIP", 1.0)
    found = next_call.beside(session.state)
    assert found is not None and not found.base_open and found.worth_a_look


# the situation


def test_who_catches_counts_as_he_has_been_seen_to_block(
    session: Session, next_call: NextCall
) -> None:
    session.add(Pitch(result="in play", play="single", pitch="fastball", cell="belt-middle"))
    session.add(Event(event="catcher", who="moss", side="us"))
    session.add(BALL)
    session.add(Event(event="wild pitch", base_from="1"))
    session.add(BALL)
    session.add(Event(event="wild pitch", base_from="2"))
    poor = next_call.advise(session.state)
    assert _catcher(next_call).blocking > 1.3
    session.add(Event(event="catcher", who="vela", side="us"))
    assert next_call.at_once(session.state) is None
    average = next_call.advise(session.state)
    assert _catcher(next_call).blocking == 1.0
    runs = [min(one.runs for one in each.suggestion.calls) for each in (average, poor)]
    assert runs[0] < runs[1]


def _catcher(next_call: NextCall) -> Catcher:
    """Return whom the last at-bat was solved with."""
    found = list(next_call._solved.values())[-1].around.catcher
    assert isinstance(found, Catcher)
    return found


def test_the_score_counts_only_where_it_is_known(book: Book, session: Session) -> None:
    assert moment_of(session.state).inning is None
    session.add(Event(event="score", score_us=2, score_them=1))
    here = moment_of(session.state)
    assert (here.inning, here.half, here.lead) == (1, "top", 1)
    session.add(Event(event="half ended"))
    assert moment_of(session.state).inning is None
    both = Game(
        id="both", game="both", date=dt.date(2026, 5, 3), us="Herons", them="Owls",
        level="17-18", rules="high-school", both_halves=True,
    )  # fmt: skip
    book.add_game(both)
    assert moment_of(Session(book, both).state).inning == 1


# times through the order


def test_times_through_count_at_bats_against_this_pitcher_tonight(
    session: Session, next_call: NextCall
) -> None:
    assert times_through.time_up(session.state) == 1
    session.add(BALL)
    assert times_through.time_up(session.state) == 1
    for _ in range(9):
        session.add(OUT)
    assert session.state.up is not None and session.state.up.person == "owl7"
    assert times_through.time_up(session.state) == 2
    session.add(Event(event="pitcher", who="moss", side="us"))
    assert times_through.time_up(session.state) == 1
    assert times_through.time_up(replace(session.state, up=None)) == 0


def test_what_a_meeting_gives_is_said_with_its_size() -> None:
    said = [times_through.says(time) for time in range(5)]
    assert said == [
        "",
        "1st time up",
        "2nd time up: +1.1 per 100",
        "3rd time up: +1.6 per 100",
        "4th time up: +1.6 per 100",
    ]


# the draw

MIX = [
    (Call("fastball", "away"), 0.6),
    (Call("changeup", "away"), 0.3),
    (Call("slider", "in"), 0.1),
]


def test_draws_follow_the_shares() -> None:
    found = Counter(drawn(MIX, f"game {n} vela") for n in range(4000))
    for call, share in MIX:
        assert found[call] / 4000 == pytest.approx(share, abs=0.03)


@given(seed=st.text())
def test_a_draw_is_the_same_again_in_any_order_and_never_a_call_without_a_share(
    seed: str,
) -> None:
    call = drawn(MIX, seed)
    assert drawn(MIX[::-1], seed) == call
    assert drawn([*MIX, (Call("splitter", "low"), 0.0)], seed) == call


def test_a_mix_that_moves_a_little_seldom_draws_another_call() -> None:
    moved = [
        (call, share + by) for (call, share), by in zip(MIX, (0.02, -0.01, -0.01), strict=True)
    ]
    other = sum(drawn(MIX, str(n)) != drawn(moved, str(n)) for n in range(2000))
    assert other / 2000 < 0.04


def test_the_seed_is_of_this_pitch_this_pitcher_and_this_book(session: Session) -> None:
    first = seed_of(session.state)
    session.add(BALL)
    second = seed_of(session.state)
    session.add(Event(event="pitcher", who="moss", side="us"))
    assert len({first, second, seed_of(session.state)}) == 3
    session.undo()
    assert seed_of(session.state) == second
    assert session.game.id in first
