"""Two keys and more: fielders, tells, runners' ways, the official count, what is there today."""

import pytest

from sequencer.baseball.tells import TELLS
from sequencer.records.draft import Command, Done, Draft, Fed
from sequencer.records.entry import feed
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, Keymap
from sequencer.records.pitch import Pitch

MAPS = sorted(KEYMAPS)


def typed(keys: str, bats: str = "R", keymap: Keymap = RIGHT_HANDED) -> Fed:
    fed: Fed = Draft(bats=bats)
    for key in keys.replace("\n", "⏎"):
        assert isinstance(fed, Draft), f"{keys}: ended before {key}"
        fed = feed(fed, "enter" if key == "⏎" else key, keymap)
    return fed


def pitch(keys: str, bats: str = "R") -> Pitch:
    fed = typed(keys, bats)
    assert isinstance(fed, Done)
    assert fed.note == ""
    return fed.pitch


def draft(keys: str, bats: str = "R") -> Draft:
    fed = typed(keys, bats)
    assert isinstance(fed, Draft)
    return fed


def command(keys: str) -> tuple[str, dict[str, object]]:
    fed = typed(keys)
    assert isinstance(fed, Command)
    return fed.name, dict(fed.said)


@pytest.mark.parametrize("keys", ["4cF643g", "F6434cg", "F643\n4cg", "4F643,cg"])
def test_fielders_may_be_said_anywhere_before_the_play(keys: str) -> None:
    if keys == "F6434cg":  # a sign after positions is one more position: Enter ends them
        assert pitch(keys).fielders == "6-4-3-4"
        return
    said = pitch(keys)
    assert (said.fielders, said.pitch, said.cell, said.play) == (
        "6-4-3",
        "changeup",
        "down-right",
        "double play",
    )


@pytest.mark.parametrize(
    ("keys", "bats", "flight", "spray"),
    [
        ("Fz6 3o", "R", "ground", "pull"),
        ("Fzo", "L", "ground", "opposite"),
        ("Fwy", "R", "fly", "middle"),
        ("FAo", "R", "line", "foul ground"),
        ("FWo", "L", "pop", "middle"),
    ],
)
def test_a_place_right_after_the_key_says_how_it_flew_and_where(
    keys: str, bats: str, flight: str, spray: str
) -> None:
    said = pitch(keys.replace(" ", ""), bats)
    assert (said.flight, said.spray, said.cell) == (flight, spray, "")


def test_where_it_went_is_not_guessed_for_a_hitter_whose_side_is_not_known() -> None:
    said = draft("Fz", bats="")
    assert said.fields == {"flight": "ground"}
    assert "his side is not known" in said.note


def test_a_place_after_the_fielders_is_where_the_pitch_was() -> None:
    said = pitch("F63co")
    assert (said.fielders, said.cell, said.flight) == ("6-3", "down-right", "")


@pytest.mark.parametrize("name", MAPS)
def test_every_tell_that_is_seen_takes_two_keys_on_every_map(name: str) -> None:
    keymap = KEYMAPS[name]
    by_key = keymap.tells()
    assert list(by_key.values()) == [tell.name for tell in TELLS.values() if tell.how == "seen"]
    assert not any(act and act.kind == "result" for act in map(keymap.act, by_key))
    for prefix, field in (("tell", "tells"), ("no tell", "tells_watched")):
        for key, tell in by_key.items():
            fed = typed(keymap.key("prefix", prefix) + key, keymap=keymap)
            assert isinstance(fed, Draft)
            assert (dict(fed.fields), fed.pending) == ({field: (tell,)}, ())


def test_a_tell_said_again_is_taken_off_and_one_seen_was_not_missed() -> None:
    assert draft("Y1Y2").fields["tells"] == ("arm slows", "body slows")
    assert draft("Y1Y1").fields == {}
    assert dict(draft("Y1K1").fields) == {"tells_watched": ("arm slows",)}


@pytest.mark.parametrize(
    ("keys", "name", "said"),
    [
        ("M13", "move", {"base": "1", "to": "3"}),
        ("M42", "move", {"base": "b", "to": "2"}),
        ("M34", "move", {"base": "3", "to": "home"}),
        ("M20", "move", {"base": "2", "to": "out"}),
        ("B47\n", "pitch count", {"pitches": 47}),
        ("L2", "there", {"pitch": "curveball"}),
        ("+F63\n", "amend", {"fielders": "6-3"}),
        ("+Y1", "amend", {"tell": "arm slows", "seen": True}),
        ("+K2", "amend", {"tell": "body slows", "seen": False}),
        ("J", "insert", {}),
        ("V", "next three", {}),
    ],
)
def test_what_is_said_of_the_last_pitch_and_of_tonight(
    keys: str, name: str, said: dict[str, object]
) -> None:
    assert command(keys) == (name, said)


def test_an_official_count_not_ended_is_kept_before_the_pitch() -> None:
    fed = typed("B47b")
    assert isinstance(fed, Done) and fed.first is not None
    assert (fed.first.name, dict(fed.first.said)) == ("pitch count", {"pitches": 47})


@pytest.mark.parametrize("keys", ["F", "Y", "K", "M", "M1", "B", "L", "+F", "+F6", "+Y"])
def test_none_of_them_swallows_a_pitch(keys: str) -> None:
    fed = typed(keys + "b")
    assert isinstance(fed, Done) and fed.first is None
    assert fed.pitch.result == "ball" and "not finished" in fed.note


@pytest.mark.parametrize("keys", ["M5", "M15", "L0", "Fo"])
def test_a_key_that_means_nothing_there_is_told(keys: str) -> None:
    fed = typed(keys)
    assert fed.note if isinstance(fed, Draft | Done) else fed
