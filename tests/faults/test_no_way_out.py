"""An output that takes nothing, an input that is not there: one sentence, exit 1, no traceback."""

import subprocess
import sys
from pathlib import Path

import pytest

from sequencer.cli import main
from tests.faults.dugout import MAIN, PITCH, Dugout

FULL = Path("/dev/full")


@pytest.mark.skipif(not FULL.exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("line", ["--help", "log opener --plain"])
def test_a_full_disk_behind_the_output_is_one_sentence(line: str, tmp_path: Path) -> None:
    book = tmp_path / "book.db"
    with Dugout(book) as dugout:
        assert dugout.say(PITCH) == "ok 1 1-0"
    with FULL.open("wb") as out:
        done = subprocess.run(
            [sys.executable, "-c", MAIN, "--book", str(book), *line.split()],
            input=f"{PITCH}\n".encode(),
            stdout=out,
            stderr=subprocess.PIPE,
            check=False,
        )
    said = done.stderr.decode()
    assert done.returncode == 1
    assert said.count("\n") == 1 and "could not be read or written" in said


@pytest.mark.parametrize("missing", ["stdin", "stdout"])
def test_logging_without_an_input_or_output_is_one_sentence(
    missing: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(sys, missing, None)
    with pytest.raises(SystemExit) as left:
        main(["--book", str(tmp_path / "book.db"), "log", "opener", "--plain"])
    assert left.value.code == 1
    assert "standard input and output" in capsys.readouterr().err
