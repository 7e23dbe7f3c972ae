"""Every box proves: in any legal game of any rule set everybody who came up is accounted for.

Proving a box score: Official Baseball Rules 9.03(c); tests/published/test_box_proof.py quotes it.
"""

from collections.abc import Mapping
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.baseball.pitches import PLAYS, RESULTS
from sequencer.baseball.rules import RULES
from sequencer.errors import IllegalEntry
from sequencer.records.box import Box, box
from sequencer.records.event import RUNNER_EVENTS
from sequencer.records.game import Entry
from sequencer.records.pitch import Pitch
from sequencer.records.replay import keep, start, step
from sequencer.records.state import State
from tests.records.games import HITTERS, PEOPLE, event, game, line_up, pitch, pitches, played

IDS = [one.id for one in HITTERS]
NINE = st.sampled_from([*IDS, "bench", "switch", "moss", "vela"])
#: Mostly what ends at-bats quickly, so that games go far.
THROWN = st.one_of(
    st.sampled_from(PLAYS).map(lambda play: pitch("in play", play=play)),
    st.sampled_from(PLAYS).map(lambda play: pitch("in play", play=play, moves="1-3")),
    st.sampled_from(["b-out", "2-home;1-out", "3-home", "b-2;1-home"]).map(
        lambda moves: pitch("in play", play="single", moves=moves)
    ),
    st.sampled_from(RESULTS).map(lambda result: pitch(result)),
    st.sampled_from(["hit by pitch", "catcher's interference"]).map(lambda result: pitch(result)),
    st.just(pitch("swinging strike", third_strike="dropped")),
)
HAPPENED = st.one_of(
    st.builds(
        lambda name, base: event(name, base_from=base),
        st.sampled_from(RUNNER_EVENTS),
        st.sampled_from(["", "1", "2", "3"]),
    ),
    st.builds(lambda who: event("at", who=who), NINE),
    st.builds(lambda who: event("absent", who=who), st.sampled_from(IDS)),
    st.builds(
        lambda coming, out, why: event("substitution", who=coming, for_whom=out, reason=why),
        NINE,
        NINE,
        st.sampled_from(["", "courtesy runner"]),
    ),
    st.builds(lambda who, side: event("pitcher", who=who, side=side), NINE, st.just("us")),
    st.sampled_from(
        [
            event("intentional walk"),
            event("half ended", reason="dark"),
            event("count", balls=3, strikes=2),
            event("note", reason="windy"),
        ]
    ),
)
ENTRY = st.one_of(THROWN, THROWN, THROWN, HAPPENED)
#: Short games shrink well; long ones reach the innings in which runners are placed.
ENTRIES = st.one_of(st.lists(ENTRY, max_size=20), st.lists(ENTRY, min_size=60, max_size=160))
EDITS = st.fixed_dictionaries(
    {},
    optional={
        "placed_runner_from_inning": st.integers(1, 4),
        "half_run_limit": st.integers(1, 6),
        "absent_hitter_is_out": st.booleans(),
        "inherited_count": st.sampled_from(["official", "who ends it"]),
    },
)


def legal(entries: list[Entry], state: State) -> State:
    """Return the game after those entries that can happen."""
    for seq, entry in enumerate(entries, 1):
        try:
            state = step(state, seq, entry)
        except IllegalEntry:
            continue
    return state


def assert_proved(state: State) -> Box:
    """Hold a box against the rule, against the board, and its lines against each other."""
    found = box(state)
    for side, line in found.sides.items():
        assert line.proves, (side, line)
        assert line.runs == (state.score_us if side == "us" else state.score_them)
    lines = found.sides.values()
    charged = found.pitchers.values()
    hit = found.hitters.values()
    assert sum(line.outs for line in charged) == sum(line.putouts for line in lines)
    assert sum(line.runs for line in charged) == sum(line.runs for line in lines)
    assert sum(line.runs for line in hit) <= sum(line.runs for line in lines)
    assert sum(line.batters for line in charged) == sum(line.turns for line in hit)
    for name in ("at_bats", "walks", "hit_by_pitch", "sacrifices", "awards"):
        of_hitters = sum(getattr(line, name) for line in hit)
        assert of_hitters == sum(getattr(line, name) for line in lines), name
    return found


@settings(max_examples=150, deadline=None)
@given(ENTRIES, st.sampled_from(sorted(RULES)), EDITS, st.booleans(), st.booleans())
def test_every_box_of_a_legal_game_proves(
    entries: list[Entry], rules: str, edits: Mapping[str, Any], both: bool, known: bool
) -> None:
    header = game(rules=rules, rule_edits=edits, both_halves=both)
    assert_proved(legal([*(line_up() if known else []), *entries], start(header, PEOPLE)))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from(["out", "single", "double", "walk"]), min_size=60, max_size=130))
def test_a_whole_game_of_each_side_proves_and_its_pitchers_have_its_outs(plays: list[str]) -> None:
    state = start(game(rules="pro", both_halves=True), PEOPLE)
    entries = [p for play in plays for p in pitches(*(["ball"] * 4 if play == "walk" else [play]))]
    found = assert_proved(legal([*line_up(), *entries], state))
    assert sum(line.pitches for line in found.pitchers.values()) == len(entries)


def test_a_runner_who_crosses_after_the_third_out_is_left_on_base() -> None:
    state = played(*pitches("out", "out", "single", "single"), pitch("single", moves="1-out"))
    line = assert_proved(state).sides["them"]
    assert (line.at_bats, line.runs, line.left_on_base, line.putouts) == (5, 0, 2, 3)


def test_a_placed_runner_counts_as_come_and_his_run_is_the_pitchers_who_began_the_half() -> None:
    entries = [
        *pitches("out", "out", "out", "ball"),
        event("pitcher", who="moss"),
        pitch("home run"),
    ]
    state = played(*entries, rule_edits={"placed_runner_from_inning": 2})
    found = assert_proved(state)
    line = found.sides["them"]
    assert (line.placed, line.at_bats, line.runs, line.putouts) == (1, 4, 2, 3)
    assert found.hitters["h3"].runs == 1
    assert (found.pitchers["vela"].runs, found.pitchers["moss"].runs) == (1, 1)


def test_a_runner_stranded_by_one_pitcher_and_placed_later_is_not_charged_to_him_again() -> None:
    entries = [
        *pitches("out", "out", "single", "out"),
        event("pitcher", who="moss"),
        *pitches("out", "out"),
        event("line-up", who="h3", slot=6, side="them"),
        *pitches("out", "home run"),
    ]
    found = assert_proved(played(*entries, rule_edits={"placed_runner_from_inning": 3}))
    assert found.pitchers["vela"].runs == 0 and found.pitchers["moss"].runs == 2


def test_the_out_of_an_absent_hitter_is_on_both_sides_of_the_proof() -> None:
    entries = [event("absent", who="h2"), *pitches("single", "out", "out")]
    found = assert_proved(played(*entries, rules="high-school"))
    line = found.sides["them"]
    assert (line.at_bats, line.automatic_outs, line.putouts, line.left_on_base) == (3, 1, 3, 1)
    assert found.pitchers["vela"].outs == 3


def test_nobody_absent_is_placed_on_second() -> None:
    entries = [event("absent", who="h3"), *pitches("out", "out", "out")]
    edits = {"placed_runner_from_inning": 2, "absent_hitter_is_out": False}
    state = played(*entries, rule_edits=edits)
    assert (state.order.next_up, state.bases[1]) == ("h5", "h4")
    edits = {"placed_runner_from_inning": 2, "absent_hitter_is_out": True}
    entries = [event("absent", who="h3"), *pitches("single", "out", "out")]
    assert played(*entries, rule_edits=edits).bases[1] == "h4"


def test_a_half_ended_by_the_run_limit_leaves_its_runners_on_base() -> None:
    state = played(*pitches(*["home run"] * 4, "single"), rules="scrimmage")
    line = assert_proved(state).sides["them"]
    assert (line.runs, line.on_base) == (4, 1)
    state = played(*pitches(*["home run"] * 4, "single", "triple"), rules="scrimmage")
    line = assert_proved(state).sides["them"]
    assert (line.runs, line.left_on_base, line.on_base, state.inning) == (5, 1, 0, 2)


def test_half_a_turn_of_a_side_called_out_whole_does_not_end_the_log() -> None:
    gone = [event("absent", who=one) for one in IDS]
    state = played(*gone, pitch("single"), rules="pro")
    assert state.outs < 3
    assert step(state, 99, Pitch(result="ball")).log[-1].n == 2


def test_a_gap_in_an_outside_log_leaves_somebody_over() -> None:
    state = played(*pitches("single"))
    seen = Pitch.model_validate({"result": "ball", "observed": {"on_third": "h9", "outs": 1}})
    line = box(keep(state, 99, seen)).sides["them"]
    assert not line.proves and (line.came, line.went) == (1, 2)
