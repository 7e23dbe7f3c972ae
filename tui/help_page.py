"""Help, made of a page of words for each place and the live table of keys."""

from collections.abc import Iterable
from importlib import resources

from sequencer.records.keymaps import Keymap
from tui import keys
from tui.screens import PLACES


def page(place: str, keymap: Keymap) -> str:
    """Return the help of a place in Markdown: its words, its keys, the keys of every place."""
    words = resources.files("tui").joinpath("help", f"{place}.md").read_text(encoding="utf-8")
    parts = [words.rstrip()]
    own = keys.keys_of(place)
    if own:
        title = next(known.title for known in PLACES if known.name == place)
        parts += [f"## Keys in {title}", _table((key.shown, key.says) for key in own)]
    if place == "dugout":
        for title, lines in keys.pitch_keys(keymap):
            parts += [f"## {title}", _table(lines)]
    everywhere = keys.keys_of(keys.EVERYWHERE)
    parts += ["## Keys everywhere", _table((key.shown, key.says) for key in everywhere)]
    return "\n\n".join(parts)


def _table(lines: Iterable[tuple[str, str]]) -> str:
    rows = "\n".join(f"| `{_cell(key)}` | {says} |" for key, says in lines)
    return f"| key | does |\n|---|---|\n{rows}"


def _cell(key: str) -> str:
    return key.replace("|", "\\|")
