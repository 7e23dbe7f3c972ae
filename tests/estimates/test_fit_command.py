"""`sequencer fit` as a user runs it."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from sequencer.cli import main
from sequencer.cli.fit import command
from sequencer.estimates.league import load
from tests.estimates.simulated import season


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("fit") / "season.csv"
    frame = season(320, level="17-18", seed=13)
    frame.to_csv(path, index=False)
    return path


def test_fit_writes_a_file_that_a_plan_can_use(log: Path, tmp_path: Path) -> None:
    out = tmp_path / "ours.json"
    done = CliRunner().invoke(command, [str(log), "--out", str(out)], catch_exceptions=False)
    assert done.exit_code == 0
    assert "swing" in done.output and str(out) in done.output
    league = load("17-18", out)
    assert np.isfinite(league.steps("fast", 0.0, 0.0, 0, 0, 1).swing)


def test_fit_answers_in_json_alone(log: Path, tmp_path: Path) -> None:
    out = tmp_path / "ours.json"
    done = CliRunner().invoke(
        command, [str(log), "--out", str(out), "--json"], catch_exceptions=False
    )
    answer = json.loads(done.output)
    assert answer["pitches"] + answer["left_out"] > 1000
    assert answer["level"] == "17-18"
    steps = {step["step"]: step for step in answer["steps"]}
    assert steps["swing"]["rows"] > 1000
    assert steps["swing"]["loss_after"] <= steps["swing"]["loss_before"]


def test_an_unknown_level_is_one_sentence(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["fit", str(log), "--level", "moon"])
    assert stop.value.code == 1
    said = capsys.readouterr().err
    assert "moon" in said and "Traceback" not in said


def test_a_file_that_is_not_there_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["fit", str(tmp_path / "none.csv")])
    assert stop.value.code == 1
    assert "none.csv" in capsys.readouterr().err
