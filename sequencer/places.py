"""Where files live on this machine."""

import os
from pathlib import Path


def default_book() -> str:
    """Return the book to open when none is named: SEQUENCER_BOOK, else a file of this user."""
    named = os.environ.get("SEQUENCER_BOOK")
    if named:
        return named
    from platformdirs import user_data_path

    return str(user_data_path("sequencer", appauthor=False) / "book.db")


def demo_folder() -> Path:
    """Return the folder of the demo scenarios, in a clone or an installed copy."""
    return Path(__file__).resolve().parent.parent / "demo_scenarios"
