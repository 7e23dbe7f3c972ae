"""`sequencer card` as its user calls it: on a demo book, and from a file of hitters alone."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from sequencer.baseball.count import CARD_ROWS
from sequencer.cli import sequencer
from sequencer.errors import BadInput
from sequencer.reports.lines import WIDTH

TEAM = ("--hitters", "Osier Bend Wrens", "--pitcher", "Ilo Brandt", "--game", "2026-06-06-wrens")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = str(tmp_path_factory.mktemp("card") / "demo.db")
    made = CliRunner().invoke(sequencer, ["demo", "--into", path], catch_exceptions=False)
    assert made.exit_code == 0
    return path


@pytest.fixture
def line_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, ...]:
    """Words for two hitters of a file and a pitcher of no book."""
    monkeypatch.delenv("SEQUENCER_BOOK", raising=False)
    monkeypatch.setattr("sequencer.places.default_book", lambda: str(tmp_path / "no.db"))
    file = tmp_path / "line_up.csv"
    file.write_text("hitter,hitter_no,bats\nKit Fen,7,R\nTam Oakes,12,L\n", encoding="utf-8")
    arsenal = ("--level", "13-14", "--arsenal", "fastball,changeup")
    return ("--hitters", str(file), "--pitcher", "Somebody", *arsenal)


def _card(*words: str) -> str:
    done = CliRunner().invoke(sequencer, ["card", *words], catch_exceptions=False)
    assert done.exit_code == 0
    return done.stdout


def test_a_card_is_printed_for_a_team_with_the_catchers_side_first(book: str) -> None:
    said = _card("--book", book, *TEAM)
    catcher, coach = said.split("For the coach")
    assert "24  R" in catcher and "Find his number" in catcher
    assert "runs" not in catcher and "%" not in catcher
    assert "Rafe Ostrow" in coach and "runs per 100" in coach
    assert max(map(len, said.splitlines())) <= WIDTH


def test_json_holds_the_shared_plans_and_every_hitters_draw(book: str) -> None:
    told = json.loads(_card("--book", book, *TEAM, "--json"))
    assert 1 <= len(told["plans"]) <= 4
    assert all(set(one["card"]) == set(CARD_ROWS) for one in told["plans"])
    assert len(told["hitters"]) == 9
    assert all(len(calls) == 4 for one in told["hitters"] for calls in one["draw"].values())


def test_a_file_of_hitters_without_a_book_will_do_and_each_side_can_be_had_alone(
    line_up: tuple[str, ...],
) -> None:
    catcher = _card(*line_up, "--catcher-side")
    assert "7  R" in catcher and "12  L" in catcher
    assert "For the coach" not in catcher
    assert "Find his number" not in _card(*line_up, "--coach-side")


def test_the_draw_hangs_on_game_and_seed(line_up: tuple[str, ...]) -> None:
    words = (*line_up, "--json", "--each", "--breaking", "--arsenal", "fastball,curveball")
    first = _card(*words, "--game", "opener")
    assert _card(*words, "--game", "opener") == first
    assert _card(*words, "--game", "opener", "--seed", "1") != first
    other = json.loads(_card(*words, "--game", "second"))["hitters"]
    assert [one["draw"] for one in other] != [one["draw"] for one in json.loads(first)["hitters"]]


def test_a_card_is_written_to_a_file_and_the_file_named(
    line_up: tuple[str, ...], tmp_path: Path
) -> None:
    file = tmp_path / "card.pdf"
    said = _card(*line_up, "--out", str(file), "--each", "--paper", "letter")
    assert said == f"Card written to {file}.\n"
    assert file.read_bytes().startswith(b"%PDF")


def test_trust_and_the_coachs_rules_reach_the_card(line_up: tuple[str, ...]) -> None:
    rules = ("--trust", "0.5", "--never", "changeup", "--rule-for", "Kit Fen", "one-half=away")
    told = json.loads(_card(*line_up, *rules, "--json", "--each"))
    kit, tam = ([c for row in one["card"].values() for c in row] for one in told["hitters"])
    assert {call["pitch"] for call in (*kit, *tam)} == {"fastball"}
    assert all("away" in call["target"] for call in kit)


def test_a_card_that_cannot_be_written_is_one_sentence(
    line_up: tuple[str, ...], tmp_path: Path
) -> None:
    with pytest.raises(BadInput, match=r"end it in one of \.pdf, \.png, \.html, \.txt"):
        _card(*line_up, "--out", str(tmp_path / "card.docx"))
    with pytest.raises(BadInput, match="cannot be written to"):
        _card(*line_up, "--out", str(tmp_path / "nowhere" / "card.txt"))
    assert [file.name for file in tmp_path.iterdir()] == ["line_up.csv"]
