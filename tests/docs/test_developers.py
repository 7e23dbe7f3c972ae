"""The tree that DEVELOPERS.md shows is the tree there is."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TREE = re.search(r"```\n(sequencer/.*?)```", TEXT, flags=re.S)


def names_under(room: str) -> set[str]:
    """Return the words of the tree that stand in the lines of one room."""
    assert TREE
    found = re.search(rf"^  {room}/.*?(?=^  \w+/|^\w+/|\Z)", TREE[1], flags=re.S | re.M)
    assert found, room
    return set(re.findall(r"[a-z_]+", found[0]))


def modules_of(folder: Path) -> set[str]:
    files = {path.stem for path in folder.glob("*.py") if path.stem != "__init__"}
    return files | {path.parent.name for path in folder.glob("*/__init__.py")}


def test_every_room_of_the_library_stands_in_the_tree_with_every_module() -> None:
    rooms = [path.parent for path in (ROOT / "sequencer").glob("*/__init__.py")]
    assert len(rooms) >= 8
    for room in rooms:
        if room.name == "cli":  # listed by its own table, COMMANDS
            continue
        missing = modules_of(room) - names_under(room.name)
        assert not missing, f"{room.name}: {sorted(missing)} not in DEVELOPERS.md"


def test_the_top_level_holds_only_what_the_design_allows() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "constraints.txt"}
    allowed |= {"sequencer", "tui", "tests", "demo_scenarios"}
    ignored = {"build", "dist"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    strays = {name for name in found - allowed - ignored if not name.endswith(".egg-info")}
    assert not strays
