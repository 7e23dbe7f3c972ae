"""`sequencer plan` with a coach's rules, questions, reasons and coin flips."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sequencer.cli import main
from sequencer.cli.plan import command
from sequencer.cli.suggest import command as suggest_command
from sequencer.records.people import Person, Team
from sequencer.records.store import open_book

AVERAGE = ("--pitcher", "Abel Crane", "--level", "17-18", "--arsenal", "fastball,changeup")


@pytest.fixture
def hitters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("SEQUENCER_BOOK", str(tmp_path / "none.db"))
    path = tmp_path / "owls.csv"
    path.write_text(
        "hitter,bats,marks\nRook Alder,R,first-pitch swinger:always\nMoss Pike,L,\n", "utf-8"
    )
    return str(path)


def run(*said: str) -> Result:
    return CliRunner().invoke(command, ["--hitters", *said])


def told(*said: str) -> str:
    result = run(*said)
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def test_trust_by_the_book_trusts_each_hitter_as_he_is_known(hitters: str) -> None:
    said = json.loads(run(hitters, *AVERAGE, "--trust", "auto", "--json").output)
    rook, moss = said["hitters"]
    assert said["trust_by"] == "book"
    assert rook["trust"] > 0.0 == moss["trust"]
    assert said["trust"] == pytest.approx(rook["trust"] / 2.0)
    assert json.loads(run(hitters, *AVERAGE, "--json").output)["trust"] == 0.0


@pytest.mark.parametrize("trust", ["0.95", "-1", "much"])
def test_a_trust_out_of_range_is_a_bad_call(hitters: str, trust: str) -> None:
    result = run(hitters, *AVERAGE, "--trust", trust)
    assert result.exit_code == 2
    assert "say auto, or a number from 0 to 0.9" in result.output


def test_a_column_nobody_knows_is_not_planned_from(
    hitters: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path(hitters).write_text("hitter,bats,mark\nRook Alder,R,dives\n", "utf-8")
    with pytest.raises(SystemExit) as left:
        main(["plan", "--hitters", hitters, *AVERAGE])
    assert left.value.code == 1
    assert capsys.readouterr() == (
        "",
        "sequencer: owls.csv has a column nobody knows: 'mark' (did you mean 'marks'?); name it as "
        "one of team, hitter, hitter_no, bats, marks, note, or take it out\n",
    )


def test_rules_are_priced_one_by_one_and_against_one_hitter_alone(hitters: str) -> None:
    text = told(
        hitters, *AVERAGE, "--rule", "no changeup with two strikes", "--no-middle",
        "--rule-for", "moss", "one-half=away",
    )  # fmt: skip
    assert text.count("Your rules cost, in 100 times up:") == 2
    assert text.count("no changeup with two strikes 0.") == 2
    assert text.count("away half only") == 1
    assert text.count("all together") == 2


def test_a_half_can_be_worked_until_he_proves_it(hitters: str) -> None:
    text = told(hitters, *AVERAGE, "--until-proven", "in")
    assert "work in until he proves it" in text


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (("--rule-for", "Nobody", "no-middle"), "Nobody of the hitters is called Nobody: Rook"),
        (("--rule-for", "o", "no-middle"), "More than one of the hitters is called o"),
        (("--rule", "be clever"), "'be clever' is not a rule."),
        (("--what-if", "slider 0-0"), "There is no slider in this plan"),
        (("--what-if", "now"), "does not begin with a pitch type"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(
    hitters: str, said: tuple[str, ...], sentence: str
) -> None:
    result = run(hitters, *AVERAGE, *said)
    assert sentence in str(result.exception)


def test_what_if_is_answered_for_every_hitter_in_text_and_json(hitters: str) -> None:
    asked = ("--what-if", "changeup 0-0", "--what-if", "3 of 10 fastball 2-0")
    text = told(hitters, *AVERAGE, *asked)
    assert text.count("What if changeup 0-0: costs") == 2
    assert text.count("What if 30 in 100 fastball 2-0: costs") == 2
    for one in json.loads(run(hitters, *AVERAGE, *asked, "--json").output)["hitters"]:
        first, second = one["what_if"]
        assert first["cost_known"] >= 0.0
        assert (first["counts"], second["share"]) == (["0-0"], 0.3)


def test_why_stands_under_each_count_and_with_each_call(hitters: str) -> None:
    result = run(hitters, *AVERAGE, "--why")
    assert "a ball costs 0." in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    said = json.loads(run(hitters, *AVERAGE, "--why", "--json").output)
    calls = [c for one in said["hitters"][0]["counts"].values() for c in one["calls"]]
    assert all(call["why"].startswith("he is ") for call in calls)
    plain = json.loads(run(hitters, *AVERAGE, "--json").output)
    assert "why" not in plain["hitters"][0]["counts"]["0-0"]["calls"][0]


@pytest.mark.soak
def test_sensitivity_marks_coin_flips_and_says_what_they_hang_on(hitters: str) -> None:
    result = run(hitters, *AVERAGE, "--sensitivity")
    assert "~ coin flip: which of these calls leads hangs on what is not known" in result.output
    assert "Coin flip at " in result.output
    assert " ~fastball" in result.output or " ~changeup" in result.output
    assert "coin flip" not in run(hitters, *AVERAGE).output


def test_a_suggestion_trusts_by_the_book_when_asked() -> None:
    said = ["--hitter", "Rook", "--count", "1-0", *AVERAGE, "--trust", "auto", "--json"]
    result = CliRunner().invoke(suggest_command, said)
    assert json.loads(result.output)["state"]["trust"] == 0.0


def test_a_game_that_is_not_in_the_book_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    with open_book(path) as book:
        book.add_team(Team(name="Herons", ours=True, level="17-18"))
        book.add_person(Person(id="p", team="Herons", name="Abel Crane", throws="R"))
        book.add_team(Team(name="Owls"))
        book.add_person(Person(id="h", team="Owls", name="Rook Alder", bats="R"))
    said = ("--book", str(path), *AVERAGE, "--today", "Never")
    result = run("Owls", *said)
    assert "No game of the book is called Never." in str(result.exception)
