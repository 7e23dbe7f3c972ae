from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitches import PLAYS
from sequencer.baseball.situation import (
    EMPTY,
    ENDS,
    RUNNER_OUTS,
    Bases,
    Half,
    Move,
    check_play,
    may_run,
    move_runner,
    next_half,
    parse_moves,
    play_out,
    usual_moves,
)
from sequencer.errors import IllegalEntry
from sequencer.records.event import RUNNER_EVENTS

LOADED: Bases = ("ann", "bea", "cat")
ALL_BASES: tuple[Bases, ...] = tuple(
    (LOADED[0] * first, LOADED[1] * second, LOADED[2] * third)
    for first, second, third in product((0, 1), repeat=3)
)
PLACES = st.sampled_from(["1", "2", "3", "home", "out"])


def played(play: str, bases: Bases, outs: int, said: str = "") -> tuple[Bases, int, int]:
    result = play_out(bases, outs, usual_moves(play, bases, outs, parse_moves(said)), "hitter")
    return result.bases, result.outs, result.runs


@pytest.mark.parametrize("play", ENDS)
@pytest.mark.parametrize("outs", [0, 1, 2])
@pytest.mark.parametrize("bases", ALL_BASES)
def test_nobody_is_lost_on_any_usual_play(play: str, outs: int, bases: Bases) -> None:
    try:
        check_play(play, bases, outs)
    except IllegalEntry:
        return
    result = play_out(bases, outs, usual_moves(play, bases, outs), "hitter")
    before = sorted([*filter(None, bases), "hitter"])
    assert (
        sorted([*filter(None, result.bases), *result.scored, *result.out, *result.left]) == before
    )
    assert result.outs == outs + len(result.out) <= 3
    assert result.runs == len(result.scored)
    assert bool(result.left) <= (result.outs == 3)
    if result.outs == 3:
        assert result.bases == EMPTY
        assert result.runs == 0


@given(
    st.sampled_from(ENDS),
    st.sampled_from(ALL_BASES),
    st.integers(0, 2),
    st.dictionaries(st.sampled_from(["b", "1", "2", "3"]), PLACES),
)
def test_whatever_is_said_of_runners_nobody_is_lost_or_it_is_refused(
    play: str, bases: Bases, outs: int, said: dict[str, str]
) -> None:
    moves = tuple(Move(start, end, said=True) for start, end in said.items())
    try:
        result = play_out(bases, outs, usual_moves(play, bases, outs, moves), "hitter")
    except IllegalEntry as error:
        assert str(error).endswith(".") or "such as" in str(error)
        return
    before = sorted([*filter(None, bases), "hitter"])
    assert (
        sorted([*filter(None, result.bases), *result.scored, *result.out, *result.left]) == before
    )
    if result.outs < 3:
        for start, end in said.items():
            runner = "hitter" if start == "b" else bases[int(start) - 1]
            where = (
                "home"
                if runner in result.scored
                else "out"
                if runner in result.out
                else str(result.bases.index(runner) + 1)
            )
            assert where == end


@given(st.sampled_from(ALL_BASES), st.integers(0, 2), st.sampled_from(["1", "2", "3"]), PLACES)
def test_a_runner_between_pitches_is_never_lost(
    bases: Bases, outs: int, start: str, end: str
) -> None:
    try:
        result = move_runner(bases, outs, "advance", start, end)
    except IllegalEntry:
        return
    assert sorted(
        [*filter(None, result.bases), *result.scored, *result.out, *result.left]
    ) == sorted(filter(None, bases))


@pytest.mark.parametrize(
    ("play", "bases", "outs", "said", "expected"),
    [
        ("single", LOADED, 0, "", (("hitter", "ann", "bea"), 0, 1)),
        ("single", ("ann", "", ""), 0, "1-3", (("hitter", "", "ann"), 0, 0)),
        ("single", ("ann", "bea", ""), 0, "1-3", (("hitter", "", "ann"), 0, 1)),
        ("single", ("", "bea", "cat"), 0, "3-3", (("hitter", "bea", "cat"), 0, 0)),
        ("single", ("", "bea", ""), 2, "2-out", (EMPTY, 3, 0)),
        ("single", ("", "bea", "cat"), 2, "3-home;2-out", (EMPTY, 3, 1)),
        ("double", LOADED, 1, "", (("", "hitter", "ann"), 1, 2)),
        ("triple", LOADED, 1, "", (("", "", "hitter"), 1, 3)),
        ("home run", LOADED, 2, "", (EMPTY, 2, 4)),
        ("walk", ("", "bea", "cat"), 0, "", (("hitter", "bea", "cat"), 0, 0)),
        ("walk", ("ann", "", "cat"), 0, "", (("hitter", "ann", "cat"), 0, 0)),
        ("walk", LOADED, 0, "", (("hitter", "ann", "bea"), 0, 1)),
        ("hit by pitch", LOADED, 2, "", (("hitter", "ann", "bea"), 2, 1)),
        ("error", ("", "bea", ""), 0, "", (("hitter", "", "bea"), 0, 0)),
        ("out", ("ann", "", "cat"), 1, "", (("ann", "", "cat"), 2, 0)),
        ("out", ("ann", "", "cat"), 1, "3-home", (("ann", "", ""), 2, 1)),
        ("out", ("", "", "cat"), 2, "", (EMPTY, 3, 0)),
        ("sacrifice bunt", ("ann", "bea", ""), 0, "", (("", "ann", "bea"), 1, 0)),
        ("sacrifice fly", ("ann", "", "cat"), 1, "", (("ann", "", ""), 2, 1)),
        ("double play", ("ann", "", "cat"), 0, "", (EMPTY, 2, 1)),
        ("double play", ("ann", "", "cat"), 1, "", (EMPTY, 3, 0)),
        ("double play", ("ann", "", "cat"), 0, "3-out", (("", "ann", ""), 2, 0)),
        ("double play", ("", "bea", ""), 0, "", (EMPTY, 2, 0)),
        ("triple play", ("ann", "bea", ""), 0, "", (EMPTY, 3, 0)),
        ("fielder's choice", LOADED, 0, "", (("hitter", "", "bea"), 1, 1)),
        ("fielder's choice", ("ann", "bea", ""), 0, "2-out", (("hitter", "ann", ""), 1, 0)),
        ("fielder's choice", ("", "", "cat"), 1, "", (("hitter", "", ""), 2, 0)),
        ("strikeout", LOADED, 1, "", (LOADED, 2, 0)),
    ],
)
def test_runners_go_where_a_bench_would_have_them(
    play: str, bases: Bases, outs: int, said: str, expected: tuple[Bases, int, int]
) -> None:
    assert played(play, bases, outs, said) == expected


def test_a_run_on_the_third_out_counts_only_when_said() -> None:
    bases: Bases = ("ann", "", "cat")
    assert played("fielder's choice", LOADED, 2)[2] == 0
    assert played("out", bases, 2, "b-1;1-out")[2] == 0
    assert played("single", bases, 2, "1-out")[2] == 0
    assert played("single", bases, 2, "3-home;1-out")[2] == 1


def test_a_dropped_third_strike_lets_him_run_with_first_empty_or_two_out() -> None:
    assert may_run(EMPTY, 0)
    assert may_run(LOADED, 2)
    assert not may_run(LOADED, 1)
    bases: Bases = ("", "bea", "")
    moves = usual_moves("strikeout", bases, 0, dropped=True)
    assert play_out(bases, 0, moves, "hitter").bases == ("hitter", "bea", "")
    moves = usual_moves("strikeout", LOADED, 2, dropped=True)
    assert play_out(LOADED, 2, moves, "hitter").scored == ("cat",)
    moves = usual_moves("strikeout", LOADED, 1, dropped=True)
    assert play_out(LOADED, 1, moves, "hitter").out == ("hitter",)


@pytest.mark.parametrize(
    ("bases", "outs", "moves", "words"),
    [
        (EMPTY, 0, "1-2", "no runner on first"),
        (("ann", "bea", ""), 0, "1-2", "same base"),
        (("ann", "bea", ""), 0, "1-3", "pass"),
        (("", "bea", ""), 0, "2-1", "cannot go back to first"),
        (("ann", "bea", ""), 2, "1-out;2-out", "more than three outs"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    bases: Bases, outs: int, moves: str, words: str
) -> None:
    with pytest.raises(IllegalEntry, match=words):
        play_out(bases, outs, parse_moves(moves))


@pytest.mark.parametrize("text", ["1", "1-4", "x-2", "1-2;;1-3", "home-1", "b-"])
def test_moves_that_cannot_be_read_are_refused(text: str) -> None:
    with pytest.raises(IllegalEntry):
        parse_moves(text)


def test_moves_read_as_a_scorer_writes_them() -> None:
    assert parse_moves(" 1-3; 2-home;b-2;3-out ") == (
        Move("1", "3", said=True),
        Move("2", "home", said=True),
        Move("b", "2", said=True),
        Move("3", "out", said=True),
    )
    assert parse_moves("") == ()


@pytest.mark.parametrize(
    ("play", "bases", "outs"),
    [
        ("double play", EMPTY, 0),
        ("double play", LOADED, 2),
        ("triple play", ("ann", "", ""), 0),
        ("triple play", LOADED, 1),
        ("sacrifice fly", ("", "", "cat"), 2),
        ("sacrifice bunt", EMPTY, 0),
        ("fielder's choice", EMPTY, 1),
    ],
)
def test_a_play_that_needs_what_is_not_there_is_refused(play: str, bases: Bases, outs: int) -> None:
    with pytest.raises(IllegalEntry, match=play):
        check_play(play, bases, outs)


@pytest.mark.parametrize(
    ("event", "end", "expected"),
    [
        ("steal", "", ("", "ann", "cat")),
        ("caught stealing", "2", ("", "", "cat")),
        ("wild pitch", "2", ("", "ann", "cat")),
        ("pickoff", "", ("", "", "cat")),
    ],
)
def test_a_runner_moves_between_pitches(event: str, end: str, expected: Bases) -> None:
    result = move_runner(("ann", "", "cat"), 0, event, "1", end)
    assert result.bases == expected
    assert result.outs == (event in RUNNER_OUTS)


def test_a_runner_event_needs_a_base_to_start_from_and_somewhere_to_go() -> None:
    for start, end in (("home", "2"), ("1", "4"), ("1", "1"), ("2", "3")):
        with pytest.raises(IllegalEntry):
            move_runner(("ann", "", "cat"), 0, "advance", start, end)


def test_a_steal_of_home_scores() -> None:
    assert move_runner(("", "", "cat"), 2, "steal", "3").scored == ("cat",)


def test_halves_follow_each_other() -> None:
    assert next_half(1, "top") == Half(1, "bottom")
    assert next_half(1, "bottom") == Half(2, "top")


def test_every_play_of_the_log_has_usual_moves_and_no_other_word_has() -> None:
    assert set(PLAYS) < set(ENDS)
    with pytest.raises(IllegalEntry, match="not a play"):
        usual_moves("bloop", EMPTY, 0)


def test_events_that_put_a_runner_out_are_events_of_a_runner() -> None:
    assert set(RUNNER_EVENTS) > RUNNER_OUTS


def test_a_play_cannot_begin_with_three_out() -> None:
    with pytest.raises(IllegalEntry):
        play_out(EMPTY, 3, (), "hitter")
