"""Invented clubs to try the tool on: a story, a book, a game to log and what should be found.

Everyone and everything in them is made up; `python -m demo_scenarios.make` writes them anew.
"""

import json
from pathlib import Path

from sequencer.errors import BadInput, BookError
from sequencer.places import demo_folder

FIRST = "lamplighters"


def scenarios() -> dict[str, str]:
    """Return the scenarios: name -> the first line of the story."""
    stories = sorted(demo_folder().glob("*/story.md"))
    return {
        story.parent.name: story.read_text(encoding="utf-8").splitlines()[0].lstrip("# ")
        for story in stories
    }


def folder(name: str | None) -> Path:
    """Return a scenario's folder, the first scenario's when no name is given."""
    place = demo_folder() / (name or FIRST)
    if not (place / "story.md").is_file():
        raise BadInput(f"no demo scenario is called {name!r}: there are {', '.join(scenarios())}")
    return place


def tonight(name: str | None) -> str:
    """Return the name of the scenario's game to log."""
    game = json.loads((folder(name) / "expected.json").read_text(encoding="utf-8"))["tonight"]
    return str(game["game"])


def lay_out(name: str | None, book_path: Path) -> None:
    """Make the scenario's book in a new file."""
    from sequencer.records.readers import import_folder
    from sequencer.records.store import open_book

    if book_path.exists():
        raise BookError(f"{book_path} exists already: name a new file for the demo book")
    with open_book(str(book_path)) as book:
        import_folder(book, folder(name) / "book")
