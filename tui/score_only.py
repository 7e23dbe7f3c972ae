"""Whether advice was hidden in a game: kept, so that it stays hidden when the app starts again."""

import contextlib
import json
from pathlib import Path
from typing import Final

from tui import settings

#: Games whose choice is kept, the newest (assumption: more than a summer's weekend).
_KEPT: Final = 20


def remember(book: Path, game_id: str, hidden: bool) -> None:
    """Keep the choice; a folder that cannot be written only means it lasts for this run."""
    said = _said()
    key = _key(book, game_id)
    said.pop(key, None)
    newest = dict([*said.items(), (key, hidden)][-_KEPT:])
    with contextlib.suppress(OSError):
        _file().parent.mkdir(parents=True, exist_ok=True)
        _file().write_text(json.dumps(newest), encoding="utf-8")


def remembered(book: Path, game_id: str) -> bool | None:
    """Return whether advice was hidden in a game, None where nobody chose."""
    return _said().get(_key(book, game_id))


def _key(book: Path, game_id: str) -> str:
    return f"{book.resolve()} {game_id}"


def _said() -> dict[str, bool]:
    try:
        said = json.loads(_file().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    kept = said.items() if isinstance(said, dict) else ()
    return {str(key): value for key, value in kept if isinstance(value, bool)}


def _file() -> Path:
    return settings.settings_file().with_name("score_only.json")
