"""`sequencer fit` as a user runs it."""

import json
from pathlib import Path

import numpy as np
import pandas as pd
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


def _run(log: Path, *options: str) -> str:
    out = str(log.with_suffix(".json"))
    done = CliRunner().invoke(command, [str(log), "--out", out, *options], catch_exceptions=False)
    assert done.exit_code == 0
    return done.output


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


def test_fit_says_what_each_step_may_be_off_by(log: Path, tmp_path: Path) -> None:
    games = tmp_path / "games.csv"
    frame = pd.read_csv(log)
    frame.assign(game=[f"g{at_bat // 20}" for at_bat in frame["at_bat"]]).to_csv(games, index=False)
    answer = json.loads(_run(games, "--json"))
    steps = {step["step"]: step for step in answer["steps"]}
    for step in steps.values():
        cells = step["errors"]
        assert {len(by_cell) for by_cell in cells.values()} == {25}
        assert set(cells) == {"fast", "breaking", "off-speed"}
        assert step["games"] >= 8 and step["cannot"] == "" and step["typical_error"] > 0
        assert step["errors_by"] in ("game", "hitter", "pitch")
    assert 0.01 < steps["swing"]["typical_error"] < 0.2
    assert [one["step"] for one in answer["surprise"]] == ["miss", "foul"]
    said = _run(games)
    assert f"{100 * steps['swing']['typical_error']:.1f} in 100" in said
    assert "surprise: a miss +" in said and "prior .30, this log says" in said
    assert "cannot be known" not in said and "rough" not in said


@pytest.mark.parametrize(
    ("games", "says"),
    [
        (1, "Every step: rests on one game: spread cannot be known."),
        (3, "Every step: rests on 3 games: a rough spread."),
    ],
)
def test_a_log_of_few_games_says_that_its_spread_is_unknown_or_rough(
    games: int, says: str, tmp_path: Path
) -> None:
    path = tmp_path / "short.csv"
    frame = season(150, level="17-18", seed=3)
    game = [f"g{at_bat * games // 151}" for at_bat in frame["at_bat"]]
    frame.assign(game=game).to_csv(path, index=False)
    said = _run(path)
    assert says in said
    assert "nan" not in said and "inf" not in said
    told = json.loads(_run(path, "--json"))["steps"]
    assert all((step["errors"] is None) == (games == 1) for step in told)


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
