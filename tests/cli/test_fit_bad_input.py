"""`sequencer fit` on logs that cannot be fitted: one sentence, exit 1, and nothing written."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from sequencer.cli import main
from sequencer.estimates import coefficients
from tests.estimates.simulated import season

LOG = season(400, level="17-18", seed=3)
#: Every pitch an at-bat of its own, so that any result may stand in any row.
ALONE = LOG.assign(
    game=[f"g{i // 300}" for i in range(len(LOG))],
    at_bat=np.arange(len(LOG)) % 300 + 1,
    pitch_no=LOG["balls"] + LOG["strikes"] + 1,
    play="",
)
KEPT = "coefficients of before"

Make = Callable[[Path], object]


def as_csv(frame: pd.DataFrame) -> Make:
    return lambda path: frame.to_csv(path, index=False)


def as_bytes(content: bytes) -> Make:
    return lambda path: path.write_bytes(content)


def big(path: Path) -> None:
    """200 MB of nothing, which takes no room on the disk."""
    with path.open("wb") as file:
        file.write(b"game,at_bat\n")
        file.truncate(200_000_000)


def text(frame: pd.DataFrame) -> str:
    return str(frame.to_csv(index=False))


#: What the log is -> (how it is made, what the sentence says).
REFUSED: dict[str, tuple[Make, str]] = {
    "without results": (as_csv(LOG.drop(columns="result")), "has no column result"),
    "without a side": (as_csv(LOG.drop(columns="bats")), "the side its hitter hit from"),
    "without places": (as_csv(LOG.drop(columns=["side_in", "height_in"])), "has a place"),
    "places left empty": (as_csv(LOG.assign(side_in="", height_in="")), "has a place"),
    "speeds of 900": (as_csv(LOG.assign(speed_mph=900)), "line 2: speed_mph 900 cannot be"),
    "speeds of -3": (as_csv(LOG.assign(speed_mph=-3)), "line 2: speed_mph -3 cannot be"),
    "speeds in words": (as_csv(LOG.assign(speed_mph="fast")), "speed_mph 'fast' is not a number"),
    "speeds of nan": (as_csv(LOG.assign(speed_mph="nan")), "speed_mph 'nan' is not a number"),
    "speeds of inf": (as_csv(LOG.assign(speed_mph="inf")), "speed_mph 'inf' is not a number"),
    "off the map": (as_csv(LOG.assign(side_in=4000)), "is off the map"),
    "places of NaN": (as_csv(LOG.assign(side_in="NaN")), "side_in 'NaN' is not a number"),
    "heights of -inf": (as_csv(LOG.assign(height_in="-inf")), "height_in '-inf' is not a number"),
    "an empty file": (as_bytes(b""), "log.csv is empty"),
    "blank lines": (as_bytes(b"\n \n"), "log.csv is empty"),
    "a header alone": (as_csv(LOG.head(0)), "has no pitches"),
    "half a header": (as_bytes(b"game\n"), "has no column balls, strikes"),
    "latin letters": (
        as_bytes(text(LOG).replace("fastball", "fastb\xe4ll").encode("latin-1")),
        "is not UTF-8: byte 121, in line 2",
    ),
    "UTF-16": (as_bytes(text(LOG).encode("utf-16")), "is UTF-16"),
    "a picture": (as_bytes(b"\x89PNG\r\n\x1a\n\x00\x00"), "is not a text file"),
    "a quote left open": (as_bytes(text(LOG.head(3)).encode() + b'"never\n'), "check the quotes"),
    "200 MB of nothing": (big, "is not a text file (a NUL byte in line 2)"),
    "a folder": (Path.mkdir, "name a file"),
    "a column twice": (
        as_bytes(text(LOG).replace("height_in", "side_in", 1).encode()),
        "has the column side_in twice",
    ),
    "no file at all": (lambda path: None, "there is no file"),
}
#: Logs that can lean on the built-in league, and cannot be fitted alone.
THIN: dict[str, tuple[pd.DataFrame, str]] = {
    "balls only": (ALONE.assign(result="ball"), "came out the same way"),
    "strikes only": (ALONE.assign(result="called strike"), "came out the same way"),
    "nothing known": (ALONE.assign(result="unknown"), "at least 30 are needed"),
    "one pitch": (LOG.head(1), "at least 30 are needed"),
    "one type": (LOG.assign(pitch="fastball"), "at least 200 are needed"),
    "one place": (LOG.assign(side_in=0, height_in=30), "the same few places"),
    "one of everything": (
        ALONE.assign(play=LOG["play"], balls=0, strikes=0, pitch_no=1, bats="R", throws="R").assign(
            side_in=0, height_in=30
        ),
        "the same few places",
    ),
}


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A file of coefficients that is there before."""
    path = tmp_path / "out" / "club.json"
    path.parent.mkdir()
    path.write_text(KEPT, encoding="utf-8")
    return path


def said(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        main(["fit", *map(str, words)])
    told = capsys.readouterr()
    return int(left.value.code or 0), told.out, told.err


def untouched(out: Path) -> bool:
    """Whether the file of before stands as it was, alone in its folder."""
    return out.read_text(encoding="utf-8") == KEPT and list(out.parent.iterdir()) == [out]


@pytest.mark.parametrize("what", REFUSED)
def test_a_log_that_cannot_be_read_is_one_sentence(
    what: str, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, sentence = REFUSED[what]
    make(tmp_path / "log.csv")
    status, told, error = said(capsys, tmp_path / "log.csv", "--out", out)
    assert (status, told) == (1, "")
    assert error.startswith("sequencer: ") and error.count("\n") == 1
    assert sentence in error
    assert untouched(out)


@pytest.mark.soak
@pytest.mark.parametrize("what", THIN)
def test_a_log_too_thin_to_stand_alone_is_one_sentence_and_may_lean(
    what: str, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log, sentence = THIN[what]
    log.to_csv(tmp_path / "log.csv", index=False)
    status, told, error = said(capsys, tmp_path / "log.csv", "--out", out, "--alone")
    assert (status, told) == (1, "")
    assert error.startswith("sequencer: ") and error.count("\n") == 1
    assert sentence in error
    assert untouched(out)
    status, _, error = said(capsys, tmp_path / "log.csv", "--out", out)
    assert (status, error) == (0, "")
    assert np.isfinite(coefficients.read(out).take_share).all()
    assert list(out.parent.iterdir()) == [out]


def test_the_log_itself_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "log.csv"
    LOG.to_csv(path, index=False)
    before = path.read_bytes()
    status, _, error = said(capsys, path, "--out", path)
    assert status == 1 and "is the log itself" in error
    assert path.read_bytes() == before


def test_a_disk_that_is_full_leaves_the_file_of_before(
    out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, *_: object, **__: object) -> int:
        path.touch()
        raise OSError(28, "No space left on device")

    LOG.to_csv(tmp_path / "log.csv", index=False)
    monkeypatch.setattr(Path, "write_text", full)
    status, told, error = said(capsys, tmp_path / "log.csv", "--out", out)
    assert (status, told) == (1, "")
    assert "cannot be written (No space left on device)" in error and error.count("\n") == 1
    assert untouched(out)
