"""What a person chose about the UI itself, kept between runs."""

import contextlib
import datetime as dt
import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, Keymap
from tui.themes import NIGHT, THEMES


@dataclass(frozen=True, slots=True)
class Settings:
    """Theme, key map, and keys a person moved (`{old: new}`, on top of the map)."""

    theme: str = NIGHT.name
    keymap: str = "right-handed"
    moved: tuple[tuple[str, str], ...] = ()


def settings_file() -> Path:
    """Return where settings are kept for this user."""
    from platformdirs import user_config_path

    return user_config_path("sequencer", appauthor=False) / "screen.json"


def load(file: Path | None = None) -> Settings:
    """Return the settings of a file; what is missing or cannot be read keeps its default."""
    try:
        said = json.loads((file or settings_file()).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Settings()
    return _read(said if isinstance(said, dict) else {})


def _read(said: dict[str, Any]) -> Settings:
    settings = Settings()
    if said.get("theme") in {theme.name for theme in THEMES}:
        settings = replace(settings, theme=said["theme"])
    if isinstance(said.get("keymap"), str):
        settings = replace(settings, keymap=said["keymap"])
    moved = said.get("moved")
    if isinstance(moved, dict):
        settings = replace(settings, moved=tuple((str(k), str(v)) for k, v in moved.items()))
    return settings


def save(settings: Settings, file: Path | None = None) -> None:
    """Keep settings; a folder that cannot be written only means they last for this run."""
    where = file or settings_file()
    try:
        where.parent.mkdir(parents=True, exist_ok=True)
        said = {**asdict(settings), "moved": dict(settings.moved)}
        where.write_text(json.dumps(said, indent=1), encoding="utf-8")
    except OSError:
        return


def remember_game(book: Path, game_id: str) -> None:
    """Keep which game of a book is in the dugout, to open it again after a kill."""
    said = {"book": str(book.resolve()), "game": game_id, "at": dt.datetime.now().isoformat()}
    with contextlib.suppress(OSError):
        _last_file().parent.mkdir(parents=True, exist_ok=True)
        _last_file().write_text(json.dumps(said), encoding="utf-8")


def remembered_game(book: Path) -> str:
    """Return the game of a book that was in the dugout in the last day, "" when there is none."""
    try:
        said = json.loads(_last_file().read_text(encoding="utf-8"))
        at = dt.datetime.fromisoformat(said["at"])
        fresh = abs(dt.datetime.now() - at) <= dt.timedelta(days=1)
        return str(said["game"]) if fresh and said["book"] == str(book.resolve()) else ""
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def _last_file() -> Path:
    return settings_file().with_name("last_game.json")


def keymap_of(settings: Settings) -> Keymap:
    """Return the key map of the settings.

    A key moved onto another changes places with it, so that a key which an upgrade brings takes
    nothing from who has moved his own. A move that cannot be made is left out.
    """
    keymap = KEYMAPS.get(settings.keymap, RIGHT_HANDED)
    changes: dict[str, str] = {}
    for old, new in settings.moved:
        if old in keymap.acts and new not in changes.values():
            changes[old] = new
    taken = [new for new in changes.values() if new in keymap.acts and new not in changes]
    left = [old for old in changes if old not in changes.values()]
    return keymap.moved(keymap.name, changes | dict(zip(taken, left, strict=False)))
