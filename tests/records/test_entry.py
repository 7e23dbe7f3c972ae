"""The dugout grammar: any order, the result commits, no key is swallowed, no key crashes."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitches import PLAYS, RESULTS
from sequencer.baseball.zone import CATCHER_COLUMNS, ROWS
from sequencer.errors import IllegalEntry
from sequencer.records.entry import (
    Command,
    Done,
    Draft,
    Fed,
    Shown,
    default_signs,
    feed,
    runner_events,
    sentence,
)
from sequencer.records.event import EVENTS, Event
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, RUNNER_KEYS, SWITCH_KEYS, Keymap
from sequencer.records.pitch import Pitch
from sequencer.records.sentences import event_sentence, place_words

SHOWN = Shown("changeup", "low-right", "changeup low-away")
MAPS = sorted(KEYMAPS)


def keys(text: str) -> list[str]:
    return ["space" if key == " " else key for key in text]


def typed(text: str, draft: Draft | None = None, keymap: Keymap = RIGHT_HANDED) -> Fed:
    fed: Fed = draft or Draft(shown=SHOWN)
    for key in keys(text):
        assert isinstance(fed, Draft), f"{text}: ended before {key}"
        fed = feed(fed, key, keymap)
    return fed


def pitch(text: str, draft: Draft | None = None) -> Pitch:
    fed = typed(text, draft)
    assert isinstance(fed, Done)
    return fed.pitch


def test_a_result_alone_is_a_pitch() -> None:
    assert pitch("b", Draft()) == Pitch(result="ball")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4cm", "Changeup down and away, swinging strike"),
        ("1qf", "Fastball up and in, foul"),
        ("1sl", "Fastball down the middle, called strike"),
        ("2Cb", "Curveball below the zone, off the plate away, ball"),
        ("1s/y", "Fastball down the middle, single, hit square"),
        ("4c,]o", "Changeup down and away, out, weakly hit, late on it"),
        ("p", "Pitch, foul, caught"),
        ("2x'm", "Curveball down, middle, swinging strike, third strike dropped"),
        ("1a-f", "Fastball belt high, in, bunted foul"),
        (" 4cl", "Changeup down and away, called strike (called low and away)"),
        ("T1Tq4xb", "Changeup down, middle, ball (called fastball up and in)"),
    ],
)
def test_an_entry_is_echoed_as_a_sentence(text: str, said: str) -> None:
    assert sentence(pitch(text), "R") == said


def test_in_and_away_follow_the_side_the_hitter_hits_from() -> None:
    assert sentence(pitch("4cm"), "L") == "Changeup down and in, swinging strike"
    assert sentence(pitch("4cm"), "") == "Changeup down, catcher's right, swinging strike"


def test_space_says_called_as_shown_before_the_pitch() -> None:
    said = pitch(" 1cb")
    assert (said.called, said.target, said.target_when) == ("changeup", "low-right", "before")
    assert said.advice == "changeup low-away"


def test_a_pitch_called_as_shown_is_of_the_type_called_unless_another_is_said() -> None:
    assert pitch(" cm").pitch == "changeup"
    assert pitch(" m").pitch == "changeup"
    crossed = pitch(" 1cm")
    assert (crossed.called, crossed.pitch) == ("changeup", "fastball")
    assert pitch("cm").pitch == "unknown"


def test_advice_that_was_only_shown_is_never_taken_for_the_call() -> None:
    said = pitch("1cb")
    assert (said.called, said.target, said.target_when) == ("", "", "")
    assert said.advice == "changeup low-away"


def test_space_with_no_call_shown_says_so_and_sets_nothing() -> None:
    fed = typed(" ", Draft())
    assert isinstance(fed, Draft)
    assert fed.note and fed.fields == {}


def going_on(fed: Fed) -> Draft:
    if isinstance(fed, Done):
        return Draft(shown=SHOWN)
    return fed.draft if isinstance(fed, Command) else fed


BLOCKS = st.permutations(["4", "c", ",", "[", "-", " ", "Tq"])


@given(BLOCKS)
def test_type_place_and_notes_in_any_order_are_the_same_pitch(blocks: list[str]) -> None:
    assert pitch("".join(blocks).replace("Tq", "") + "f") == pitch("4c,[- f")
    with_target = [block for block in blocks if block != " "]
    assert pitch("".join(with_target) + "f") == pitch("4c,[-Tqf")


EVERY_KEY = st.sampled_from(
    sorted({key for keymap in KEYMAPS.values() for key in keymap.acts} | {"enter", "tab", "é", "€"})
)


@given(st.sampled_from(MAPS), st.lists(EVERY_KEY, max_size=40))
def test_random_keys_never_crash_and_a_result_key_always_commits(
    name: str, pressed: list[str]
) -> None:
    keymap, draft = KEYMAPS[name], Draft(shown=SHOWN)
    for key in pressed:
        fed = feed(draft, key, keymap)
        act = keymap.act(key)
        assert isinstance(fed, Done) == (act is not None and act.kind == "result")
        if isinstance(fed, Done):
            assert sentence(fed.pitch, "R")
            assert (
                fed.pitch.model_dump() | dict(act.fields if act else {}) == fed.pitch.model_dump()
            )
        draft = going_on(fed)


@given(st.lists(EVERY_KEY, max_size=12), EVERY_KEY)
def test_backspace_takes_back_exactly_the_last_key(pressed: list[str], last: str) -> None:
    draft = Draft(shown=SHOWN)
    for key in pressed:
        fed = feed(draft, key)
        draft = going_on(fed)
    fed = feed(draft, last)
    if isinstance(fed, Draft) and fed.before is draft:
        back = feed(fed, "backspace")
        assert isinstance(back, Draft)
        assert replace(back, note="") == replace(draft, note="")


def test_escape_clears_what_is_typed() -> None:
    fed = feed(Draft(shown=SHOWN, fields={"pitch": "changeup"}, pending=("hitter",)), "escape")
    assert isinstance(fed, Draft) and fed.empty and fed.shown == SHOWN


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("RS", "runner", {"event": "steal", "nth": 0}),
        ("RRK", "runner", {"event": "caught stealing", "nth": 1}),
        ("#27L", "at", {"number": "27", "bats": "L"}),
        ("U21", "count", {"balls": 2, "strikes": 1}),
        ("HH", "half ended", {}),
        ("II", "intentional walk", {}),
        ("<", "undo", {}),
        (">", "redo", {}),
        ("P", "pitcher", {}),
        (":", "line", {}),
        ("O", "score only", {}),
        ("+4", "amend", {"pitch": "changeup"}),
        ("+c", "amend", {"cell": "down-right", "entered": "catcher"}),
        ("+/", "amend", {"contact": "square"}),
        ("SC", "catcher", {}),
        ("SV", "visit", {}),
        ("SA", "absent", {}),
        ("SS", "line", {"begun": "score "}),
        ("SN", "line", {"begun": "note "}),
    ],
)
def test_a_command_is_said_in_a_key_or_two(text: str, name: str, said: dict[str, object]) -> None:
    fed = typed(text)
    assert isinstance(fed, Command)
    assert (fed.name, dict(fed.said)) == (name, said)


def test_a_command_keeps_the_pitch_half_typed() -> None:
    fed = typed("4cRS")
    assert isinstance(fed, Command)
    assert fed.draft.fields["pitch"] == "changeup"
    assert fed.draft.fields["cell"] == "down-right"


@pytest.mark.parametrize(
    "prefix", ["T", "R", "RR", "#", "U", "U2", "H", "I", "+", "S", "SB", "SBC"]
)
def test_no_half_typed_command_swallows_the_next_pitch(prefix: str) -> None:
    fed = typed(prefix + "b")
    assert isinstance(fed, Done)
    assert fed.pitch.result == "ball"
    assert "not finished" in fed.note


def test_a_number_typed_before_a_result_is_kept_and_comes_first() -> None:
    fed = typed("#27b")
    assert isinstance(fed, Done) and fed.first is not None
    assert (fed.first.name, fed.first.said["number"]) == ("at", "27")


@pytest.mark.parametrize(
    ("keys", "nth", "courtesy"),
    [("S14", -1, False), ("SB14", 0, False), ("SBB14", 1, False), ("SBC14", 0, True)],
)
def test_a_number_comes_in_for_who_is_up_or_for_a_runner(
    keys: str, nth: int, courtesy: bool
) -> None:
    said = {"number": "14", "nth": nth, "courtesy": courtesy}
    fed = feed(going_on(typed(keys)), "enter")
    assert isinstance(fed, Command) and (fed.name, dict(fed.said)) == ("sub", said)
    ended = typed(keys + "b")
    assert isinstance(ended, Done) and ended.first is not None
    assert dict(ended.first.said) == said


def test_a_key_that_does_not_go_on_with_a_command_is_read_for_itself() -> None:
    fed = typed("R4")
    assert isinstance(fed, Draft)
    assert fed.fields == {"pitch": "changeup"} and "not finished" in fed.note


def test_a_sign_the_pitcher_does_not_have_is_told_and_changes_nothing() -> None:
    fed = feed(Draft(signs={"1": "fastball"}), "4")
    assert isinstance(fed, Draft)
    assert fed.fields == {} and fed.note == "4 is not one of his signs"


@pytest.mark.parametrize("name", MAPS)
def test_every_map_has_the_same_acts_on_disjoint_keys(name: str) -> None:
    keymap = KEYMAPS[name]
    assert {(a.kind, a.says) for a in keymap.acts.values()} == {
        (a.kind, a.says) for a in RIGHT_HANDED.acts.values()
    }
    assert len(keymap.acts) == len(RIGHT_HANDED.acts)
    results = {key for key, act in keymap.acts.items() if act.kind == "result"}
    assert not results & (
        set(RUNNER_KEYS) | set(SWITCH_KEYS) | {"R", "L", "enter"} | set("0123456789")
    )


@pytest.mark.parametrize("name", MAPS)
def test_the_same_acts_on_any_map_log_the_same_pitch(name: str) -> None:
    keymap = KEYMAPS[name]
    moved = "".join(
        keymap.key(act.kind, act.value) if act.kind != "note" else ""
        for act in (RIGHT_HANDED.acts[key] for key in "4cm")
    )
    fed = typed(moved, keymap=keymap)
    assert isinstance(fed, Done) and fed.pitch == pitch("4cm")


def test_the_left_handed_map_moves_the_place_block_to_the_other_hand() -> None:
    left = KEYMAPS["left-handed"]
    fed = typed("4.s", keymap=left)
    assert isinstance(fed, Done) and fed.pitch == pitch("4cm")


def test_a_map_that_puts_two_meanings_on_a_key_is_refused() -> None:
    with pytest.raises(ValueError, match="would mean both"):
        RIGHT_HANDED.moved("mine", {"b": "m"})
    with pytest.raises(ValueError, match="no key"):
        RIGHT_HANDED.moved("mine", {"é": "m"})


def test_every_place_key_names_a_cell_where_the_key_lies() -> None:
    for key, act in RIGHT_HANDED.acts.items():
        if act.kind == "place":
            row, column = act.value.split("-", 1)
            assert row in ROWS and column in CATCHER_COLUMNS
            lower = RIGHT_HANDED.acts[key.lower()].value.split("-", 1)
            assert (column.removeprefix("off-"), key == key.lower()) == (
                lower[1],
                "off-" not in column and row not in ("above", "below"),
            )


def test_every_play_and_the_usual_results_have_a_key() -> None:
    acts = [act for act in RIGHT_HANDED.acts.values() if act.kind == "result"]
    assert {act.fields.get("play") for act in acts} - {None} == set(PLAYS)
    assert {act.fields["result"] for act in acts} == set(RESULTS) - {"unknown"}


def test_signs_start_with_his_fastball() -> None:
    assert default_signs(["four-seam", "changeup"])["1"] == "four-seam"
    assert default_signs(["cutter", "four-seam"])["6"] == "four-seam"
    assert default_signs(["fastball", "breaking ball", "off-speed"]) | {
        "1": "fastball",
        "2": "breaking ball",
        "4": "off-speed",
    } == default_signs(["fastball", "breaking ball", "off-speed"])
    assert default_signs([])["4"] == "changeup"


def test_the_lead_runner_moves_unless_another_is_named() -> None:
    (lead,) = runner_events("steal", 0, ("ann", "", "bea"))
    assert (lead.base_from, lead.base_to) == ("3", "home")
    (behind,) = runner_events("caught stealing", 1, ("ann", "", "bea"))
    assert (behind.base_from, behind.base_to) == ("1", "out")
    both = runner_events("balk", 0, ("ann", "bea", ""))
    assert [(e.base_from, e.base_to) for e in both] == [("2", "3"), ("1", "2")]
    with pytest.raises(IllegalEntry, match="no runner on base"):
        runner_events("steal", 0, ("", "", ""))


@pytest.mark.parametrize("event", EVENTS)
def test_every_event_has_a_sentence(event: str) -> None:
    said = event_sentence(
        Event(event=event, who="ann", for_whom="bea", base_from="1", base_to="2", slot=3), str
    )
    assert said.startswith("ann") or said[:1].isupper()


def test_words_for_halves_and_what_a_bench_can_see() -> None:
    assert place_words("left", "R") == "in"
    assert place_words("high-left", "L") == "high and away"
    assert place_words("off-right", "R") == "off the plate away"
    assert place_words("unknown", "R") == ""
    assert place_words("above-middle", "R") == "above the zone"
    assert place_words("", "R") == ""
