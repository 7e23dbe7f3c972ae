"""Inning, score, bases and who catches on the command line."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from sequencer.cli.plan import command as plan_command
from sequencer.cli.situation import read_bases, read_score, situation
from sequencer.cli.suggest import command as suggest_command
from sequencer.errors import BadInput
from sequencer.planning.stakes import Moment

NOTHING = {"outs": None, "bases": "", "inning": None, "half": None, "score": ""}
WHO = ("--pitcher", "Abel Crane", "--level", "17-18", "--arsenal", "fastball,changeup")
ONE = (*WHO, "--hitter", "Rook Alder", "--count", "1-1")
LATE = ("--outs", "1", "--bases", "3", "--inning", "7", "--half", "bottom", "--score", "3-3")


def run(*args: str) -> str:
    done = CliRunner().invoke(suggest_command, args, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.stdout


def test_a_situation_is_read_from_what_was_said() -> None:
    assert situation(NOTHING) is None
    assert situation({**NOTHING, "outs": 0}) == Moment()
    said = {**NOTHING, "bases": "1-3", "inning": 7, "half": "bottom", "score": "3-5"}
    assert situation(said) == Moment(("on", "", "on"), 0, 7, "bottom", -2)
    assert read_bases("1, 2") == ("on", "on", "")
    assert read_score(" 10 - 2") == (10, 2)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"inning": 7}, "together"),
        ({"score": "3-2"}, "together"),
        ({"half": "top"}, "needs its inning"),
        ({"inning": 7, "score": "three"}, "no score"),
        ({"bases": "4"}, "who is on base"),
    ],
)
def test_what_cannot_be_a_situation_is_told(said: dict[str, object], told: str) -> None:
    with pytest.raises(BadInput, match=told):
        situation({**NOTHING, **said})


def test_late_innings_change_what_is_suggested_and_what_stands_beside_it() -> None:
    usual = json.loads(run(*ONE, "--outs", "1", "--bases", "3", "--json"))
    late = json.loads(run(*ONE, *LATE, "--json"))
    assert late["state"]["inning"] == 7 and late["state"]["score"] == "3-3"
    assert usual["beside"]["by"] == "runs" and late["beside"]["by"] == "win chance"
    assert usual["beside"]["win"] is None and 0.7 < late["beside"]["win"] < 0.95
    assert late["beside"]["walk"] < 0.0 < usual["beside"]["walk"]
    deck = json.loads(run(*ONE, *LATE, "--on-deck", "Moss Pike", "--json"))
    assert deck["state"]["on_deck"] == "Moss Pike"


def test_the_text_says_where_the_game_is_and_what_a_walk_does() -> None:
    text = run(*ONE, *LATE)
    assert "runner on third, bottom 7, us 3-3" in text
    assert "alking him" in text
    assert "in 100 from here; a run here is as much as one run wins" in " ".join(text.split())
    assert max(len(line) for line in text.splitlines()) <= 80


def test_a_poor_catcher_and_a_poor_arm_cost_runs_with_a_runner_on() -> None:
    def plan_value(*more: str) -> float:
        said = json.loads(run(*ONE, "--bases", "1-3", "--json", *more))
        return float(said["beside"]["plan"])

    assert plan_value("--catcher", "poor") > plan_value("--catcher", "good") + 0.001
    assert plan_value("--arm", "poor") >= plan_value("--arm", "good")


def test_a_plan_of_a_situation_says_what_stands_beside_it(tmp_path: Path) -> None:
    hitters = tmp_path / "owls.csv"
    hitters.write_text("hitter,bats\nRook Alder,R\n", encoding="utf-8")
    args = (*WHO, "--hitters", str(hitters), "--json")
    late = CliRunner().invoke(plan_command, (*args, *LATE), catch_exceptions=False)
    usual = CliRunner().invoke(plan_command, args, catch_exceptions=False)
    assert json.loads(late.stdout)["hitters"][0]["beside"]["by"] == "win chance"
    assert json.loads(usual.stdout)["hitters"][0]["beside"] is None
