"""What the README shows is what the program does."""

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

from sequencer.baseball import runs

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```\w*\n(.*?)^```", README, flags=re.S | re.M)


def shown_commands() -> list[str]:
    lines = [line for block in BLOCKS for line in block.splitlines()]
    return [line for line in lines if line.startswith("sequencer ")]


def run(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    words = shlex.split(line)
    stdin = None
    if "<" in words:
        words, stdin = words[: words.index("<")], words[words.index("<") + 1]
    environment = os.environ | {"PYTHONUTF8": "1", "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-m", *words],
        cwd=folder,
        input=(folder / stdin).read_text(encoding="utf-8") if stdin else None,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environment,
        timeout=120,
    )


def test_the_first_block_holds_the_two_commands_and_nothing_else() -> None:
    first = BLOCKS[0].splitlines()
    assert len(first) == 2
    assert first[0].endswith("sequencer demo")
    assert first[1].endswith("-m pytest")


def test_every_command_shown_does_what_it_says_in_the_order_shown(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "demo_scenarios", tmp_path / "demo_scenarios")
    commands = shown_commands()
    assert len(commands) >= 10
    for line in commands:
        done = run(line, tmp_path)
        assert done.returncode == 0, f"{line}\n{done.stdout[-500:]}\n{done.stderr}"
        assert not re.search(r"^no ", done.stdout, flags=re.M), f"{line}\n{done.stdout}"


def test_the_notice_of_the_open_sequences_stands_in_the_readme() -> None:
    assert " ".join(runs.NOTICE.split()) in " ".join(README.replace("\n  ", " ").split())


def test_every_picture_shown_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert len(pictures) >= 4
    for picture in pictures:
        assert (ROOT / picture).stat().st_size > 1000
