"""`sequencer fit` and `sequencer score` on logs that hold parts of at-bats, and some bad rows."""

from pathlib import Path

import numpy as np
import pytest

from sequencer.cli import main
from sequencer.errors import BadInput
from sequencer.records.frames import read_log
from tests.estimates.simulated import season

TAKES = season(300, level="17-18", seed=5).query("result in ('ball', 'called strike')")
#: Takes alone, numbered anew: no count follows from the pitch before.
LOG = TAKES.assign(game="all", at_bat=np.arange(len(TAKES)) // 3 + 1, pitch_no=1, play="")


def _run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(word) for word in words])
    return int(left.value.code or 0)


def test_takes_alone_in_any_order_are_fitted(tmp_path: Path) -> None:
    LOG.to_csv(tmp_path / "takes.csv", index=False)
    with pytest.raises(BadInput, match="line"):
        read_log(tmp_path / "takes.csv")
    frame = read_log(tmp_path / "takes.csv", each_alone=True)
    assert len(frame) == len(LOG)
    np.testing.assert_array_equal(np.sort(frame["balls"]), np.sort(LOG["balls"]))
    assert _run("fit", tmp_path / "takes.csv", "--out", tmp_path / "ours.json") == 0
    assert (tmp_path / "ours.json").exists()


def test_bad_rows_are_left_out_when_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = LOG.astype({"side_in": object}).copy()
    log.loc[log.index[4], "side_in"] = "left of it"
    log.to_csv(tmp_path / "takes.csv", index=False)
    assert _run("fit", tmp_path / "takes.csv", "--out", tmp_path / "ours.json") == 1
    assert "line 6" in capsys.readouterr().err
    assert not (tmp_path / "ours.json").exists()
    for command in (("fit", "--out", tmp_path / "ours.json"), ("score",)):
        assert _run(command[0], tmp_path / "takes.csv", "--keep-good", *command[1:]) == 0
    assert f"{len(LOG) - 1:,}" in capsys.readouterr().out.replace("\n", " ")


@pytest.mark.soak
def test_a_league_fitted_alone_on_a_chart_is_said_to_be_blurred(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = season(700, level="17-18", seed=6)
    chart = whole.assign(side_in=whole["side_in"].round(), height_in=whole["height_in"].round())
    chart.to_csv(tmp_path / "chart.csv", index=False)
    season(150, level="17-18", seed=7).assign(game="g2").to_csv(tmp_path / "new.csv", index=False)
    words = ("score", tmp_path / "new.csv", "--train", tmp_path / "chart.csv", "--level", "17-18")
    assert _run(*words) == 0
    assert "edges come out blurred" in " ".join(capsys.readouterr().out.split())
