"""What the README shows is what the program does."""

import os
import re
import shlex
import shutil
from pathlib import Path
from typing import NamedTuple

import pytest

from sequencer.baseball import runs
from sequencer.cli import main

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```\w*\n(.*?)^```", README, flags=re.S | re.M)
#: Runs per 100 that the README's table of ways may lag behind the program.
LAG = 0.5


class Done(NamedTuple):
    """How a command ended and what it printed."""

    status: object
    out: str
    err: str


def shown_commands() -> list[str]:
    lines = [line for block in BLOCKS for line in block.splitlines()]
    return [line for line in lines if line.startswith("sequencer ")]


def run(line: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> Done:
    """Run a line as the shell would, in this process: each one's own would import all anew."""
    before, _, typed = line.partition(" < ")
    with (
        open(folder / typed if typed else os.devnull, encoding="utf-8") as stdin,
        pytest.MonkeyPatch.context() as patch,
        pytest.raises(SystemExit) as ended,
    ):
        patch.chdir(folder)
        patch.setattr("sys.stdin", stdin)
        main(shlex.split(before)[1:])
    return Done(ended.value.code, *capsys.readouterr())


def rows(text: str) -> dict[str, list[float]]:
    """The ways of the first table of a text with their runs; the first of a name counts."""
    found: dict[str, list[float]] = {}
    for line in text.splitlines():
        match = re.match(r"([a-z][a-z\- ']+?) {2,}([+-]\d.*)$", line)
        if match:
            numbers = [float(cell.rstrip("*")) for cell in match[2].split()]
            found.setdefault(match[1], numbers)
    return found


def test_the_first_block_holds_the_two_commands_and_nothing_else() -> None:
    first = BLOCKS[0].splitlines()
    assert len(first) == 2
    assert first[0].endswith("sequencer demo")
    assert first[1].endswith("-m pytest")


def test_every_command_shown_does_what_it_says_in_the_order_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(ROOT / "demo_scenarios", tmp_path / "demo_scenarios")
    commands = shown_commands()
    assert len(commands) >= 10
    printed = {}
    for line in commands:
        done = run(line, tmp_path, capsys)
        assert done.status == 0, f"{line}\n{done.out[-500:]}\n{done.err}"
        assert not re.search(r"^no ", done.out, flags=re.M), f"{line}\n{done.out}"
        printed[line.split()[1]] = done.out
    section = README.split("### Is it worth it?")[1].split("\n### ")[0]
    table, shown = rows(printed["simulate"]), rows(section)
    assert list(shown) == list(table) != []
    for way, numbers in shown.items():
        assert numbers == pytest.approx(table[way], abs=LAG), way


def test_the_notice_of_the_open_sequences_stands_in_the_readme() -> None:
    assert " ".join(runs.NOTICE.split()) in " ".join(README.replace("\n  ", " ").split())


def test_every_picture_shown_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert len(pictures) >= 4
    for picture in pictures:
        assert (ROOT / picture).stat().st_size > 1000
