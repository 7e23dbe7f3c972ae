"""Two processes log one game at once: nothing is lost, nothing doubled."""

from pathlib import Path

from sequencer.live.session import Session
from sequencer.records.store import open_book
from tests.faults.dugout import Dugout


def test_two_processes_on_one_game_keep_every_pitch_once(tmp_path: Path) -> None:
    book = tmp_path / "club.db"
    with Dugout(book) as first, Dugout(book) as second:
        assert first.say("state").startswith("ok 0")
        assert second.say("state").startswith("ok 0")
        for n in range(25):
            first.send(f"fastball, belt-in, foul, note=first {n}")
            second.send(f"slider, belt-in, foul, note=second {n}")
        answers = [dugout.hear() for dugout in (first, second) for _ in range(25)]
        assert first.leave() == second.leave() == 0
    assert [answer for answer in answers if not answer.startswith("ok ")] == []
    with open_book(book) as opened:
        assert len(opened.games()) == 1
        state = Session(opened, opened.games()[0]).state
    notes = [logged.pitch.note for logged in state.log]
    assert len(notes) == 50
    for who in ("first", "second"):
        assert [note for note in notes if note.startswith(who)] == [f"{who} {n}" for n in range(25)]
    assert len({answer.split()[1] for answer in answers}) == 50
