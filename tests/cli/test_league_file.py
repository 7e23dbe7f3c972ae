"""From one's own log to a plan: `fit` writes a league, `plan` and `suggest` use it."""

import json
from pathlib import Path

import pytest

from sequencer.cli import main
from tests.estimates.simulated import season

PITCHER = ("--pitcher", "Vela", "--arsenal", "fastball,changeup", "--level", "17-18")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of a league where nothing is missed, and a file of one hitter."""
    folder = tmp_path_factory.mktemp("league")
    log = season(400, level="17-18", seed=3)
    log = log[log["result"] != "swinging strike"]
    log.to_csv(folder / "season.csv", index=False)
    (folder / "owls.csv").write_text("hitter,bats\nAmes,R\n", encoding="utf-8")
    return folder


def said(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        main([*map(str, words)])
    told = capsys.readouterr()
    return int(left.value.code or 0), told.out, told.err


def test_a_fitted_league_is_planned_with(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sequencer.places.default_book", lambda: str(folder / "none.db"))
    league = folder / "club.league.json"
    assert said(capsys, "fit", folder / "season.csv", "--out", league)[0] == 0
    plan = ("plan", "--hitters", folder / "owls.csv", *PITCHER, "--json")
    plans = [said(capsys, *plan, *more) for more in ((), ("--league", league))]
    assert [status for status, *_ in plans] == [0, 0]
    assert plans[0][1] != plans[1][1]
    suggest = ("suggest", "--hitter", "Ames", "--count", "0-2", *PITCHER, "--json")
    usual, ours = (
        json.loads(said(capsys, *suggest, *more)[1])["calls"][0]["runs"]
        for more in ((), ("--league", league))
    )
    assert ours > usual + 0.01  # nobody misses with two strikes: 0-2 is worth less


@pytest.mark.parametrize("content", [None, "hitter,bats\n", "[]", '{"version": 9}', "{}"])
def test_a_file_that_is_no_league_is_one_sentence(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], content: str | None
) -> None:
    league = tmp_path / "league.json"
    if content is not None:
        league.write_text(content, encoding="utf-8")
    plan = ("plan", "--hitters", folder / "owls.csv", *PITCHER, "--league", league)
    status, out, err = said(capsys, *plan)
    assert (status, out) == (1, "")
    assert err.count("\n") == 1 and "league coefficients" in err


def test_a_league_of_other_counts_is_refused(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from sequencer.estimates.coefficients import COMMITTED

    body = json.loads(COMMITTED.read_text(encoding="utf-8"))
    body["take_share"] = body["take_share"][:2]
    league = tmp_path / "short.json"
    league.write_text(json.dumps(body), encoding="utf-8")
    plan = ("plan", "--hitters", folder / "owls.csv", *PITCHER, "--league", league)
    status, _, err = said(capsys, *plan)
    assert status == 1 and "is not a file of league coefficients" in err
