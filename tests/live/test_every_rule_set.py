"""Every rule set can be logged by lines: who comes in, who runs, who comes back, early ends."""

import datetime as dt
from pathlib import Path

import pytest

from sequencer.baseball.rules import RULES
from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Person, Team
from sequencer.records.store import open_book

SETS = sorted(RULES)
SINGLE = "fastball, belt-middle, in play, play=single"
OUT = "fastball, belt-middle, in play, play=out"


class Played:
    """A game under one rule set, logged by lines."""

    def __init__(self, path: Path, rules: str, *, hitters: int = 9, both: bool = False) -> None:
        self.rules = RULES[rules]
        book = open_book(path / f"{rules}.db")
        with book.transaction():
            book.add_team(Team(name="Rooks", ours=True))
            book.add_team(Team(name="Terns"))
            for n, bats in ((1, "L"), (2, "R")):
                book.add_person(Person(id=f"p{n}", team="Rooks", name=f"Arm {n}", throws=bats))
            for n in range(1, hitters + 4):
                book.add_person(
                    Person(id=f"h{n}", team="Terns", name=f"Bat {n}", number=str(n), bats="S")
                )
            game = Game(
                id="g",
                game="g",
                date=dt.date(2026, 5, 2),
                us="Rooks",
                them="Terns",
                rules=rules,
                both_halves=both,
            )
            book.add_game(game)
        self.session = Session(book, game)
        self.session.add(Event(event="pitcher", who="p1", side="us"))
        for slot in range(1, hitters + 1):
            self.session.add(Event(event="line-up", who=f"h{slot}", slot=slot, side="them"))
        self.log = PlainLog(self.session)

    def says(self, *lines: str) -> str:
        """Log lines that must be taken; returns the last answer."""
        for line in lines:
            answer = self.log.answer(line)
            assert answer.startswith("ok"), f"{line}: {answer}"
        return answer

    def refuses(self, line: str) -> str:
        """Return why a line is not taken."""
        answer = self.log.answer(line)
        assert answer.startswith("no "), f"{line}: {answer}"
        return answer


@pytest.mark.parametrize("name", SETS)
def test_a_side_bats_around_until_outs_or_the_run_limit_end_the_half(
    tmp_path: Path, name: str
) -> None:
    game = Played(tmp_path, name, hitters=12 if RULES[name].order != "nine" else 9)
    most = game.rules.half_run_limit
    for _ in range(20):
        game.says(SINGLE)
    state = game.session.state
    if most is None:
        assert state.inning == 1 and state.half_runs == 17
        assert state.log[-1].before.hitter == state.log[-1 - len(state.order.slots)].before.hitter
        game.says(OUT, OUT, OUT)
        state = game.session.state
    else:
        assert state.log[most + 2].after.outs == 0 and state.log[most + 3].before.inning == 2
    assert state.inning > 1 and not state.problems


@pytest.mark.parametrize("name", SETS)
def test_courtesy_runners_are_for_whom_the_rules_have_them(tmp_path: Path, name: str) -> None:
    game = Played(tmp_path, name)
    game.says(SINGLE)
    line = 'sub courtesy "Bat 11" for "Bat 1"'
    allowed = game.rules.courtesy_runner
    if allowed == "none":
        assert "no courtesy runner" in game.refuses(line)
        return
    game.says(line)
    state = game.session.state
    assert state.bases[0] == "h11" and "h1" in state.order.slots


@pytest.mark.parametrize("name", SETS)
def test_who_left_comes_back_where_the_rules_let_him(tmp_path: Path, name: str) -> None:
    game = Played(tmp_path, name)
    game.says('sub "Bat 11" for "Bat 1"')
    back = 'sub "Bat 1" for "Bat 11"'
    again = ('sub "Bat 11" for "Bat 1"',)
    if game.rules.re_entry == "none":
        assert "no re-entry" in game.refuses(back)
    elif game.rules.re_entry == "free":
        game.says(back, *again)
    else:
        game.says(back)
        assert "only a starter" in game.refuses(again[0])


@pytest.mark.parametrize("name", SETS)
def test_a_reliever_turns_a_switch_hitter_round_and_has_a_count_of_his_own(
    tmp_path: Path, name: str
) -> None:
    game = Played(tmp_path, name)
    game.says("fastball, belt-in, ball")
    assert game.session.state.log[-1].before.bats == "R"
    game.says('pitcher "Arm 2"', "fastball, belt-in, ball", "at 1 R", "fastball, belt-in, ball")
    state = game.session.state
    assert [logged.before.bats for logged in state.log[1:]] == ["L", "R"]
    assert state.pitch_counts == {"p1": 1, "p2": 2}


@pytest.mark.parametrize("name", SETS)
def test_a_half_may_end_early_and_extra_innings_place_a_runner_where_the_rules_do(
    tmp_path: Path, name: str
) -> None:
    game = Played(tmp_path, name)
    placed = game.rules.placed_runner_from_inning
    game.says(SINGLE, "end half darkness")
    while game.session.state.inning < (placed or game.rules.innings + 1):
        assert game.session.state.bases == ("", "", "")
        game.says(OUT, OUT, OUT)
    assert bool(game.session.state.bases[1]) == (placed is not None)
    game.says(OUT)


@pytest.mark.parametrize("name", SETS)
def test_both_halves_are_logged_when_wanted(tmp_path: Path, name: str) -> None:
    game = Played(tmp_path, name, both=True)
    game.says(OUT, OUT, OUT)
    state = game.session.state
    assert (state.half, state.pitching) == ("bottom", "them")
    game.says("at 21 L", OUT, OUT, OUT)
    state = game.session.state
    assert (state.inning, state.half, state.pitching) == (2, "top", "us")
    assert state.log[-1].before.hitter not in {f"h{n}" for n in range(1, 13)}
