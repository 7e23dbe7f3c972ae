"""`sequencer score` and `sequencer gate` as a coach runs them."""

import json
import time
from dataclasses import replace
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner

from sequencer.cli import main, sequencer
from sequencer.estimates import coefficients
from sequencer.estimates.coefficients import STEPS
from tests.estimates.test_scoring import games_of


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a log of 4,000 pitches, one of one game, and a season to train on."""
    folder = tmp_path_factory.mktemp("score")
    log = games_of(1000, seed=3)
    log.to_csv(folder / "june.csv", index=False)
    log[log["game"] == "g2"].to_csv(folder / "one.csv", index=False)
    games_of(520, seed=9).assign(date="2026-05-01").to_csv(folder / "may.csv", index=False)
    return folder


@cache
def ran(*arguments: str | Path) -> str:
    """Run a command once for all who ask for the same of the same file."""
    done = CliRunner().invoke(sequencer, [str(a) for a in arguments], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def refused(capsys: pytest.CaptureFixture[str], *arguments: str | Path, status: int = 1) -> str:
    with pytest.raises(SystemExit) as stop:
        main([str(a) for a in arguments])
    assert stop.value.code == status
    said = capsys.readouterr()
    assert "Traceback" not in said.err and "nan" not in said.out
    if status == 1:
        assert said.err.startswith("sequencer: ") and len(said.err.strip().splitlines()) == 1
    return said.err


def test_four_thousand_pitches_are_scored_in_a_few_seconds_on_a_page_of_80_columns(
    folder: Path,
) -> None:
    start = time.process_time()
    page = ran("score", folder / "june.csv", "--reliability")
    assert time.process_time() - start < 12.0
    assert max(map(len, page.splitlines())) <= 80
    for word in ("strike called", "swing", "miss", "foul", "ball in play", "hit by pitch"):
        assert any(line.startswith(word) for line in page.splitlines()), word
    assert "well calibrated" in page and "The next pitch" in page
    assert "nan" not in page and "None" not in page and "inf" not in page


def test_the_reader_grows_trees_where_they_are_asked_for(folder: Path) -> None:
    plain, trees = (
        json.loads(ran("score", folder / "may.csv", "--json", *more))
        for more in ((), ("--boosted",))
    )
    assert trees["steps"] == plain["steps"]
    one, other = trees["next_pitch"]["all"], plain["next_pitch"]["all"]
    assert one["constant_nats"] == other["constant_nats"] and one["nats"] != other["nats"]


def test_json_holds_every_step_and_pitcher(folder: Path) -> None:
    body = json.loads(ran("score", folder / "may.csv", "--json"))
    assert [step["step"] for step in body["steps"]] == list(STEPS)
    assert body["pitches"] + body["left_out"] > 1800 and body["trees_from"] == "other games"
    for step in body["steps"]:
        assert step["ratio"] == pytest.approx(step["loss"] / step["trees"])
        assert step["skill"] == pytest.approx(1 - step["loss"] / step["base"])
        assert sum(b["pitches"] for b in step["reliability"]) == step["pitches"]
        assert step["verdict"] and step["slope_se"] > 0
    (one,) = body["next_pitch"]["pitchers"]
    assert one["pitcher"] == "Ames" and one["gain"] == pytest.approx(
        one["constant_nats"] - one["nats"]
    )


def test_one_game_has_null_where_trees_would_be(folder: Path) -> None:
    body = json.loads(ran("score", folder / "one.csv", "--json"))
    assert body["trees_from"] is None and body["games"] == 1
    for step in body["steps"]:
        assert step["trees"] is None and step["ratio"] is None and step["cannot"]


@pytest.mark.soak
def test_a_league_fitted_on_other_games_is_scored(folder: Path) -> None:
    body = json.loads(ran("score", folder / "june.csv", "--train", folder / "may.csv", "--json"))
    assert body["trees_from"] == "training log" and "may.csv alone" in body["league"]
    swing = body["steps"][STEPS.index("swing")]
    assert swing["loss"] < 0.8 * swing["base"]
    assert 0.7 < swing["slope"] < 1.3


def test_a_league_of_a_file_and_another_level_are_used(folder: Path) -> None:
    plain, pro = (
        json.loads(ran("score", folder / "one.csv", "--json", *more))
        for more in ((), ("--level", "pro", "--league", coefficients.COMMITTED))
    )
    assert (plain["level"], pro["level"]) == ("17-18", "pro")
    assert "league_pro.json" in pro["league"]
    assert plain["steps"][2]["loss"] != pro["steps"][2]["loss"]


def test_a_league_fitted_on_the_log_itself_is_told_to_flatter_itself(
    folder: Path, tmp_path: Path
) -> None:
    found = coefficients.read()
    for name, warned in (("one.csv", True), ("may.csv", False)):
        path = tmp_path / f"{name}.json"
        coefficients.save(
            replace(found, data={"name": "built in", "leaning": {"name": name}}), path
        )
        page = " ".join(ran("score", folder / "one.csv", "--league", path).split())
        assert f"fitted on {name}" in page
        assert ("flatters itself" in page) is warned


def test_a_training_log_that_holds_the_answers_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = refused(capsys, "score", folder / "one.csv", "--train", folder / "june.csv")
    assert "june.csv too" in said


def test_league_and_train_together_are_a_bad_call(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = folder / "one.csv"
    assert "not both" in refused(capsys, "score", log, "--train", log, "--league", log, status=2)


def test_what_cannot_be_scored_is_one_sentence(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = pd.read_csv(folder / "one.csv", keep_default_na=False)
    alike = log.assign(
        at_bat=range(1, len(log) + 1), pitch_no=1, balls=0, strikes=0, result="ball", play=""
    )
    bad = {
        "no places": (log.drop(columns=["side_in", "height_in"]), "has a place"),
        "no sides": (log.drop(columns=["bats"]), "has a place"),
        "no results": (log.drop(columns=["result"]), "no column result"),
        "no rows": (log.head(0), "has no pitches"),
        "three": (log.head(3), "Nothing of this log can be scored"),
        "one class": (alike, "Nothing of this log can be scored"),
        "too fast": (log.assign(speed_mph=9000), "9000"),
        "too far": (log.assign(side_in=1e6), "off the map"),
    }
    for name, (frame, why) in bad.items():
        path = tmp_path / f"{name}.csv"
        frame.to_csv(path, index=False)
        assert why in refused(capsys, "score", path), name
    assert "none.csv" in refused(capsys, "score", tmp_path / "none.csv")
    assert "moon" in refused(capsys, "score", folder / "one.csv", "--level", "moon")
    assert "Nobody" in refused(capsys, "score", folder / "one.csv", "--pitcher", "Nobody")
    assert "sequencer fit" in refused(
        capsys, "score", folder / "one.csv", "--league", folder / "may.csv"
    )


def test_the_built_in_league_passes_the_gate_count_by_count() -> None:
    page = ran("gate")
    assert "It passes" in page and "too far" not in page
    body = json.loads(ran("gate", "--json"))
    assert body["ok"] and len(body["counts"]) == 12
    for count in body["counts"].values():
        assert abs(count["value"] - count["counted"]) <= 0.01 and count["ok"]
    assert abs(body["walks"]["value"] - body["walks"]["counted"]) <= 0.02
    assert abs(body["strikeouts"]["value"] - body["strikeouts"]["counted"]) <= 0.02


def test_a_league_that_does_not_pass_exits_with_one_and_says_by_how_much(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = coefficients.read()
    miss = found.steps["miss"]
    easier = replace(miss, count=miss.count - 1.0)
    coefficients.save(replace(found, steps=found.steps | {"miss": easier}), tmp_path / "bad.json")
    said = refused(capsys, "gate", "--league", tmp_path / "bad.json")
    assert "does not pass the gate" in said and "strikeouts" in said
    with pytest.raises(SystemExit):
        main(["gate", "--league", str(tmp_path / "bad.json"), "--json"])
    shown = capsys.readouterr().out
    assert json.loads(shown)["strikeouts"]["ok"] is False
    assert "no-such" in refused(capsys, "gate", "--league", tmp_path / "no-such.json")
