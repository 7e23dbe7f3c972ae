"""Killed without warning: what was answered is there, and at most one entry more."""

import signal
from pathlib import Path

import pytest

from sequencer.live.session import Session
from sequencer.records.store import open_book
from tests.faults.dugout import PITCH, Dugout


@pytest.mark.parametrize("answered", [1, 7, 23])
def test_after_a_kill_every_answered_pitch_is_there(tmp_path: Path, answered: int) -> None:
    book = tmp_path / "club.db"
    with Dugout(book) as dugout:
        assert dugout.say(PITCH) == "ok 1 1-0"
        for _ in range(40):
            dugout.send(PITCH)
        heard = [dugout.hear() for _ in range(answered)]
        dugout.process.kill()
        assert dugout.process.wait() in (-signal.SIGKILL, 1)
        assert dugout.process.stdout is not None
        heard += dugout.process.stdout.read().split("\n")
    kept = max(int(answer.split()[1]) for answer in heard if answer.startswith("ok "))
    with open_book(book) as opened:
        assert opened.check() == []
        (game,) = opened.games()
        pitches = len(Session(opened, game).state.log)
    assert kept <= pitches <= kept + 1
    with Dugout(book) as again:
        assert again.say("state").startswith(f"ok {pitches} ")
        assert again.say(PITCH).startswith(f"ok {pitches + 1} ")
        assert again.leave() == 0


def test_killed_while_a_game_is_made_it_is_whole_or_not_there(tmp_path: Path) -> None:
    book = tmp_path / "club.db"
    line_up = tmp_path / "owls.csv"
    line_up.write_text("hitter,bats\n" + "".join(f"Hitter {n},R\n" for n in range(9)))
    with Dugout(book, "--line-up", str(line_up)) as dugout:
        dugout.process.kill()
        dugout.process.wait()
    with open_book(book) as opened:
        made = [len(opened.rows(game.id)) for game in opened.games()]
    assert made in ([], [9])


def test_after_a_kill_the_same_call_is_drawn_and_the_advice_kept_is_there(tmp_path: Path) -> None:
    book, allowed = tmp_path / "club.db", ("--rule", "electronic_advice=allowed")
    with Dugout(book, *allowed) as dugout:
        assert dugout.say("at 7 R") == "ok 0 0-0"
        call = dugout.say("call")
        assert call.startswith("call ")
        dugout.process.kill()
        dugout.process.wait()
    with Dugout(book, *allowed) as again:
        assert again.say("call") == call
        assert again.say(PITCH) == "ok 1 1-0"
        again.process.kill()
        again.process.wait()
    with open_book(book) as opened:
        assert opened.check() == []
        (logged,) = Session(opened, opened.games()[0]).state.log
    assert call.startswith(f"call {logged.pitch.advice}; ")
    assert (logged.pitch.called, logged.pitch.target) == ("", "")
