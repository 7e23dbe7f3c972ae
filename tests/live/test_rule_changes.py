"""Rules of one game: given when it is new, changed when it is in the book."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sequencer.cli.log import command
from sequencer.errors import BadInput, IllegalEntry
from sequencer.live.rule_changes import change_rules
from sequencer.live.session import Session
from sequencer.records.game import Game
from sequencer.records.store import open_book

HOME_RUN = "fastball, belt-middle, in play, play=home run"


def log(folder: Path, *lines: str, rules: tuple[str, ...] = ()) -> Result:
    args = ["opener", "--plain", "--us", "Herons", "--them", "Owls", "--pitcher", "Vela"]
    args += ["--book", str(folder / "club.db")]
    for rule in rules:
        args += ["--rule", rule]
    return CliRunner().invoke(command, args, input="\n".join(lines), catch_exceptions=False)


def game_of(folder: Path) -> Game:
    with open_book(folder / "club.db") as book:
        return book.games()[0]


def test_a_half_ends_at_the_runs_a_rule_of_the_game_allows(tmp_path: Path) -> None:
    done = log(tmp_path, *[HOME_RUN] * 5, "state", rules=("half_run_limit=5", "innings=6"))
    assert done.stderr == ""
    assert "top of inning 2; 0 outs" in done.stdout.splitlines()[-1]
    assert "Owls 5" in done.stdout.splitlines()[-1]
    assert game_of(tmp_path).rule_edits == {"half_run_limit": "5", "innings": "6"}


def test_without_the_rule_the_half_goes_on(tmp_path: Path) -> None:
    done = log(tmp_path, *[HOME_RUN] * 5, "state")
    assert "top of inning 1; 0 outs" in done.stdout.splitlines()[-1]


def test_rules_of_a_game_in_the_book_are_changed_and_told(tmp_path: Path) -> None:
    log(tmp_path, HOME_RUN)
    done = log(tmp_path, "state", rules=("half_run_limit=5", "placed_runner_from_inning=8"))
    assert done.stderr == (
        "Rules of opener: half_run_limit is 5 (was none), "
        "placed_runner_from_inning is 8 (was none).\n"
    )
    assert "inning 1" in done.stdout
    log(tmp_path, rules=("half_run_limit=none",))
    assert game_of(tmp_path).rule_edits == {"placed_runner_from_inning": "8"}
    assert log(tmp_path, rules=("placed_runner_from_inning=8",)).stderr == ""


def test_a_change_that_moves_the_game_says_where_it_stands_now(tmp_path: Path) -> None:
    log(tmp_path, *[HOME_RUN] * 3)
    done = log(tmp_path, "state", rules=("half_run_limit=2",))
    assert "By them it is the top of inning 2, 0 outs; Herons 0, Owls 3." in done.stderr


def test_a_bad_rule_makes_no_game(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="half_run_limit is a number"):
        log(tmp_path, rules=("half_run_limit=lots",))
    assert not (tmp_path / "club.db").exists()


def test_a_rule_by_which_the_log_could_not_have_happened_is_refused(tmp_path: Path) -> None:
    done = log(tmp_path, "at 7 R", HOME_RUN, "at 9 R", "sub #8 for #7", "sub #7 for #8")
    assert all(line.startswith("ok") for line in done.stdout.splitlines())
    with open_book(tmp_path / "club.db") as book:
        session = Session(book, book.games()[0])
        with pytest.raises(IllegalEntry, match="stay as they were"):
            change_rules(session, {"re_entry": "none"})
        assert book.games()[0].rule_edits == {}


def test_all_the_edits_of_a_game_may_be_given_instead_of_those_it_has(tmp_path: Path) -> None:
    log(tmp_path, rules=("half_run_limit=5",))
    with open_book(tmp_path / "club.db") as book:
        session = Session(book, book.games()[0])
        told = change_rules(session, {"run_rule": "12 after 4"}, instead=True)
        assert session.state.rules.run_rule == ((12, 4),)
        assert session.state.rules.half_run_limit is None
        assert told.startswith("Rules of opener: run_rule is 12 after 4 (was")
        assert json.loads(json.dumps(session.game.rule_edits)) == {"run_rule": "12 after 4"}


@pytest.mark.parametrize(("asked", "name"), [([], "high-school"), (["youth-46"], "youth-46")])
def test_the_rules_are_listed_with_value_and_source(asked: list[str], name: str) -> None:
    shown = CliRunner().invoke(command, ["--list-rules", *asked])
    assert shown.exit_code == 0
    assert shown.output.startswith(f"{name}: ")
    assert "\nhalf_run_limit=none\n    common practice, no source" in shown.output
    assert max(map(len, shown.output.splitlines())) <= 80
