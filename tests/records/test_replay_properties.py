"""Laws of replay that hold for any game: nobody vanishes, nothing depends on how it came."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.pitches import PLAYS, RESULTS
from sequencer.baseball.runners import Bases, Played, play_out
from sequencer.errors import IllegalEntry
from sequencer.records.effective import effective, standing
from sequencer.records.event import RUNNER_EVENTS, Event
from sequencer.records.game import Entry, Row
from sequencer.records.pitch import Pitch
from sequencer.records.replay import play, replay, start, step
from sequencer.records.state import State, having
from tests.records.games import HITTERS, PEOPLE, game, line_up, rows

RULES = st.sampled_from(["high-school", "pro", "scrimmage", "youth-46"])
PITCHES = st.builds(
    lambda result, play, timing, third: Pitch(
        result=result,
        play=play if result == "in play" else "",
        timing=timing,
        third_strike=third if result == "swinging strike" else "",
    ),
    st.sampled_from([*RESULTS, "in play", "in play", "called strike", "ball"]),
    st.sampled_from(PLAYS),
    st.sampled_from(["", "late"]),
    st.sampled_from(["", "dropped"]),
)
EVENTS = st.one_of(
    st.builds(
        lambda name, base: Event(event=name, base_from=base),
        st.sampled_from(RUNNER_EVENTS),
        st.sampled_from(["1", "2", "3"]),
    ),
    st.builds(
        lambda who, bats: Event(event="at", who=who, bats=bats),
        st.sampled_from([one.id for one in HITTERS]),
        st.sampled_from(["", "R", "L"]),
    ),
    st.builds(
        lambda coming, out: Event(event="substitution", who=coming, for_whom=out),
        st.sampled_from(["bench", "switch", "moss"]),
        st.sampled_from(["h1", "h2", "vela", "bench"]),
    ),
    st.sampled_from(
        [
            Event(event="intentional walk"),
            Event(event="half ended", reason="dark"),
            Event(event="count", balls=1, strikes=2),
            Event(event="pitcher", who="moss"),
        ]
    ),
)
ENTRIES = st.lists(st.one_of(PITCHES, PITCHES, PITCHES, EVENTS), max_size=60)


def legal(entries: list[Entry], state: State) -> tuple[list[Entry], list[State]]:
    """Return the entries that can happen one after another, and the states they give."""
    kept: list[Entry] = []
    states = [state]
    for entry in entries:
        try:
            states.append(step(states[-1], len(kept) + 1, entry))
        except IllegalEntry:
            continue
        kept.append(entry)
    return kept, states


@settings(max_examples=60, deadline=None)
@given(ENTRIES, RULES, st.booleans(), st.booleans())
def test_runners_are_conserved(entries: list[Entry], rules: str, both: bool, known: bool) -> None:
    first = start(game(rules=rules, both_halves=both), PEOPLE)
    kept, states = legal([*(line_up() if known else []), *entries], first)
    for entry, before, after in zip(kept, states, states[1:], strict=False):
        runs = (after.score_us + after.score_them) - (before.score_us + before.score_them)
        half_over = (before.inning, before.half) != (after.inning, after.half)
        assert 0 <= after.outs <= 2 and runs >= 0 and after.count.legal
        if half_over:
            assert after.outs == 0
            continue
        came = len(after.log) and after.log[-1] is not (before.log[-1] if before.log else None)
        ended = bool(came and after.log[-1].after.end) or (
            isinstance(entry, Event) and entry.event == "intentional walk"
        )
        on_before = sum(map(bool, before.bases)) + ended
        on_after = sum(map(bool, after.bases))
        assert on_before == on_after + runs + (after.outs - before.outs)
        named = [who for who in after.bases if who]
        assert len(set(named)) == len(named) or "1" in named or not known


@settings(max_examples=40, deadline=None)
@given(ENTRIES, st.integers(0, 70))
def test_a_game_is_the_same_replayed_whole_or_in_two_parts(entries: list[Entry], cut: int) -> None:
    kept, states = legal([*line_up(), *entries], start(game(), PEOPLE))
    placed = list(enumerate(kept, 1))
    assert replay(game(), PEOPLE, rows(kept)) == states[-1]
    assert play(play(start(game(), PEOPLE), placed[:cut]), placed[cut:]) == states[-1]


@settings(max_examples=40, deadline=None)
@given(ENTRIES, st.integers(1, 20))
def test_undo_then_redo_gives_the_same_game(entries: list[Entry], times: int) -> None:
    kept, states = legal([*line_up(), *entries], start(game(), PEOPLE))
    stream = rows(kept)
    for action in ("undo",) * min(times, len(kept)) + ("redo",) * min(times, len(kept)):
        stream.append(Row(seq=len(stream) + 1, action="undo" if action == "undo" else "redo"))
    assert replay(game(), PEOPLE, stream) == states[-1]


@settings(max_examples=40, deadline=None)
@given(ENTRIES, st.data())
def test_correcting_and_correcting_back_gives_the_same_game(
    entries: list[Entry], data: st.DataObject
) -> None:
    kept, states = legal([*line_up(), *entries], start(game(), PEOPLE))
    thrown = [seq for seq, entry in enumerate(kept, 1) if isinstance(entry, Pitch)]
    if not thrown:
        return
    target = data.draw(st.sampled_from(thrown))
    was = kept[target - 1]
    assert isinstance(was, Pitch)
    changes = ({"pitch": "slider", "cell": "down-left"}, {"pitch": was.pitch, "cell": was.cell})
    stream = rows(kept)
    for change in changes:
        stream.append(
            Row(seq=len(stream) + 1, action="correct", target=target, changes=dict(change))
        )
    assert replay(game(), PEOPLE, stream) == states[-1]


@given(st.lists(st.sampled_from(["add", "undo", "redo"]), max_size=40))
def test_undo_and_redo_behave_like_two_stacks(actions: list[str]) -> None:
    stream: list[Row] = []
    done: list[int] = []
    undone: list[int] = []
    for seq, action in enumerate(actions, 1):
        if action == "add":
            stream.append(Row(seq=seq, action="add", pitch=Pitch(result="foul")))
            done.append(seq)
            undone.clear()
        elif action == "undo":
            stream.append(Row(seq=seq, action="undo"))
            undone += [done.pop()] if done else []
        else:
            stream.append(Row(seq=seq, action="redo"))
            done += [undone.pop()] if undone else []
    assert [seq for seq, _ in effective(stream)] == done
    assert [row.seq for row in standing(stream)[1]] == undone


def test_rows_of_one_act_are_undone_and_redone_together() -> None:
    first, *joined = rows(
        [Pitch(result="ball"), Event(event="steal", base_from="2"), Event(event="steal")]
    )
    stream = [first, joined[0], joined[1].model_copy(update={"joined": True})]
    undo, redo = Row(seq=4, action="undo"), Row(seq=5, action="redo")
    assert [seq for seq, _ in effective([*stream, undo])] == [1]
    assert [seq for seq, _ in effective([*stream, undo, redo])] == [1, 2, 3]


@settings(max_examples=30, deadline=None)
@given(ENTRIES, st.integers(0, 3), st.integers(0, 9))
def test_a_changed_state_is_the_one_dataclasses_would_make(
    entries: list[Entry], outs: int, score: int
) -> None:
    for state in legal([*line_up(), *entries], start(game(), PEOPLE))[1]:
        before = vars(state).copy()
        changed = having(state, outs=outs, score_us=score, up=None)
        assert changed == replace(state, outs=outs, score_us=score, up=None)
        assert vars(state) == before
    with pytest.raises(TypeError, match="innings"):
        having(state, innings=3)  # type: ignore[call-arg]


@given(st.tuples(*[st.sampled_from(["", "a", "b", "1"])] * 3), st.integers(0, 2))
def test_a_pitch_nobody_moves_on_is_one_without_moves(bases: Bases, outs: int) -> None:
    assert play_out(bases, outs, ()) == Played(bases, outs, 0, (), (), ())


@settings(max_examples=40, deadline=None)
@given(ENTRIES, RULES)
def test_whoever_stands_still_on_a_pitch_is_where_he_was(entries: list[Entry], rules: str) -> None:
    state = legal([*line_up(), *entries], start(game(rules=rules), PEOPLE))[1][-1]
    for logged in state.log:
        if not logged.after.end and not logged.pitch.moves:
            before, after = logged.before, logged.after
            assert (after.bases, after.outs, after.runs) == (before.bases, before.outs, 0)


def test_a_state_is_never_changed_by_a_step() -> None:
    before = start(game(), PEOPLE)
    copy = replace(before)
    step(before, 1, Pitch(result="ball"))
    assert before == copy
