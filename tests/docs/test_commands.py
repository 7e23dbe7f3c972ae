"""The commands: help in a blink, exit codes, one sentence for bad input."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from sequencer.cli import COMMANDS, main, sequencer

HEAVY = ("numpy", "pandas", "scipy", "sklearn", "textual", "pydantic", "sqlalchemy")


def loaded_by(*arguments: str) -> set[str]:
    program = (
        "import sys\n"
        "from sequencer.cli import main\n"
        "try:\n"
        f"    main({list(arguments)!r})\n"
        "except SystemExit:\n"
        "    pass\n"
        "import json\n"
        "sys.stderr.write(json.dumps(sorted({name.split('.')[0] for name in sys.modules})))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(json.loads(done.stderr))


@pytest.mark.parametrize("arguments", [("--help",), ("--version",)])
def test_help_and_version_load_no_heavy_library(arguments: tuple[str, ...]) -> None:
    assert not loaded_by(*arguments) & set(HEAVY)


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_with_an_example_and_loads_nothing_heavy_for_it(name: str) -> None:
    shown = CliRunner().invoke(sequencer, [name, "--help"])
    assert shown.exit_code == 0
    assert "Example: sequencer" in shown.output
    assert not loaded_by(name, "--help") & set(HEAVY)


def test_the_table_of_commands_says_of_each_what_it_does() -> None:
    shown = CliRunner().invoke(sequencer, ["--help"]).output
    for name, listed in COMMANDS.items():
        assert name in shown
        assert listed.says.split()[0] in shown


def status(arguments: list[str]) -> int:
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    code = stop.value.code
    assert isinstance(code, int)
    return code


@pytest.mark.parametrize(
    "arguments",
    [["nonsense"], ["--nonsense"], ["plan"], ["export"], ["suggest", "--count"]],
)
def test_a_bad_call_exits_with_two(arguments: list[str]) -> None:
    assert status(arguments) == 2


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "--book", "{folder}/no.db"],
        ["review", "{folder}/no.csv"],
        ["import", "{folder}/no.csv", "--book", "{folder}/b.db"],
        ["plan", "--hitters", "{folder}/no.csv", "--pitcher", "X", "--book", "{folder}/no.db"],
        ["restore", "{folder}/no.db", "--book", "{folder}/b.db"],
        ["demo", "no-such-scenario", "--into", "{folder}/d.db"],
        ["--book", "{folder}", "check"],
        ["fit", "{folder}/no.csv"],
    ],
)
def test_what_cannot_be_done_is_one_sentence_and_exit_one(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status([word.format(folder=tmp_path) for word in arguments]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("sequencer: ")
    assert "Traceback" not in said.err
    assert len(said.err.strip().splitlines()) == 1


def test_the_terminal_ui_without_a_terminal_says_what_to_do_instead(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert status(["--book", str(tmp_path / "b.db")]) == 1
    assert "--plain" in capsys.readouterr().err


def test_bench_prints_ratios_as_json() -> None:
    shown = CliRunner().invoke(sequencer, ["bench", "--only", "pitch", "--json"])
    (row,) = json.loads(shown.output)
    assert row["what"] == "one pitch on disk"
    assert row["ratio"] == pytest.approx(row["ours"] / row["other"])
