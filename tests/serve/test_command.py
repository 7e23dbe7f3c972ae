"""`sequencer serve`: what it says, and what it says when it cannot."""

import socket
from pathlib import Path

import pytest

from sequencer.cli import main, open_tui
from sequencer.records.keymaps import KEYMAPS, Keymap
from tui import keys
from tui.serving import server
from tui.serving.taps import tap_panels


def failed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """Run a command that cannot be done; returns its one sentence."""
    with pytest.raises(SystemExit) as stop:
        main(["serve", *arguments])
    assert stop.value.code == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    return said.err


def test_a_port_in_use_is_one_clear_sentence(book: str, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        said = failed(capsys, "--book", book, "--port", str(port))
    assert f"port {port}" in said
    assert "--port" in said


def test_an_address_that_is_not_ours_is_one_clear_sentence(
    book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    said = failed(capsys, "--book", book, "--host", "203.0.113.1", "--port", "0")
    assert "no address of this machine" in said


def test_without_the_library_the_extra_is_named(
    book: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(open_tui, "find_spec", lambda name: None)
    assert "pip install 'sequencer[serve]'" in failed(capsys, "--book", book)


def test_a_book_that_cannot_be_opened_is_said_before_anything_is_served(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "note.db").write_text("no book")
    failed(capsys, "--book", str(tmp_path / "note.db"), "--port", "0")


@pytest.mark.parametrize(("host", "lines"), [("127.0.0.1", 1), ("0.0.0.0", 2)])
def test_the_address_is_one_line_and_who_else_reaches_it_one_before_it(
    book: str, host: str, lines: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(server, "serve", lambda *a: a[4]("http://bench:8421/?start=x"))
    open_tui.serve_tui(book, host, 8421, 4, said.append)
    assert len(said) == lines
    assert said[-1].startswith("Open http://")


@pytest.mark.parametrize("keymap", KEYMAPS.values(), ids=list(KEYMAPS))
def test_every_key_of_the_dugout_has_a_button_on_every_map(keymap: Keymap) -> None:
    taps = [tap for panel in tap_panels(keymap) for group in panel.groups for tap in group.taps]
    sent = {tap.sends for tap in taps}
    plain = {"space": " ", "escape": "\x1b[27u", "backspace": "\x7f"}
    seldom = {keymap.key("sign", n) for n in "789"}
    assert not {plain.get(key, key) for key in keymap.acts} - sent - seldom


def test_the_place_buttons_lie_as_the_catcher_sees_the_plate() -> None:
    pitch = tap_panels(KEYMAPS["right-handed"])[0]
    places = {tap.sends: tap.at for g in pitch.groups if g.name == "place" for tap in g.taps}
    assert (places["q"], places["s"], places["c"]) == ("r1 c1", "r2 c2", "r3 c3")
    assert (places["Q"], places["X"], places["D"]) == ("r0 c0", "r4 c2", "r2 c4")


def test_every_key_at_the_foot_of_the_screen_has_a_button() -> None:
    (places,) = (
        group for group in tap_panels(KEYMAPS["azerty"])[2].groups if group.name == "places"
    )
    shown = [key for key in keys.keys_of(keys.EVERYWHERE) if key.short]
    assert [tap.says for tap in places.taps] == [key.short for key in shown]
    assert len({tap.sends for tap in places.taps}) == len(shown)


def test_every_character_another_place_takes_has_a_button() -> None:
    panels = tap_panels(KEYMAPS["right-handed"])
    sent = {tap.sends for panel in panels for group in panel.groups for tap in group.taps}
    taken = {keys.first_key(key) for key in keys.KEYS if key.place != keys.EVERYWHERE}
    assert {name for name in taken if len(name) == 1} <= sent
