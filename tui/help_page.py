"""Help, made of a page of words for each place and the live table of keys."""

from collections.abc import Iterable
from importlib import resources
from typing import Final

from sequencer.baseball.tells import list_of_tells
from sequencer.records.keymaps import Keymap
from tui import keys
from tui.dugout_lines import lines_block
from tui.quick_marks import mark_lines
from tui.screens import PLACES
from tui.throw_draft import throw_keys

#: Widest line of a block of keys: it fits the help of a screen 80 wide.
_WIDTH: Final = 66
#: The place block as it lies under the fingers: cells by row, blanks where no key is.
_BLOCK: Final = (
    ("above-off-left", "", "above-middle", "", "above-off-right", "above"),
    ("", "up-left", "up-middle", "up-right", "", "up"),
    ("belt-off-left", "belt-left", "belt-middle", "belt-right", "belt-off-right", "belt"),
    ("", "down-left", "down-middle", "down-right", "", "down"),
    ("below-off-left", "", "below-middle", "", "below-off-right", "below"),
)


def page(place: str, keymap: Keymap) -> str:
    """Return the help of a place in Markdown: its words, its keys, the keys of every place."""
    words = resources.files("tui").joinpath("help", f"{place}.md").read_text(encoding="utf-8")
    parts = [words.rstrip()]
    own = keys.keys_of(place)
    if own:
        title = next(known.title for known in PLACES if known.name == place)
        parts += [f"## Keys in {title}", _block((key.shown, key.says) for key in own)]
    if place == "dugout":
        for title, kind, lines in keys.pitch_keys(keymap):
            parts += [f"## {title}", place_block(keymap) if kind == "place" else _block(lines)]
        parts += ["## Every action as a line", lines_block()]
        parts += ["## Tells", "\n".join(f"- {line}" for line in list_of_tells())]
    if place == "bullpen":
        parts += ["## Keys of a throw", _block(throw_keys(keymap)), place_block(keymap)]
        parts += ["## Tells", _block(keymap.tells().items())]
    if place == "scouting":
        parts += ["## Letters of quick marks", "```text\n" + "\n".join(mark_lines()) + "\n```"]
    if place != "games":
        large = ((key.shown, key.says) for key in keys.keys_of(keys.PICTURE))
        parts += ["## Keys in the zone shown large", _block(large)]
    everywhere = keys.keys_of(keys.EVERYWHERE)
    parts += ["## Keys everywhere", _block((key.shown, key.says) for key in everywhere)]
    return "\n\n".join(parts)


def place_block(keymap: Keymap) -> str:
    """Draw the keys of places as the catcher sees the plate; the outer ones are off it."""
    rows = []
    for *cells, name in _BLOCK:
        letters = [f"{keymap.key('place', cell) if cell else '':<4}" for cell in cells]
        rows.append("".join(letters) + name)
    return "```text\n" + "\n".join(rows) + "\n```"


def _block(lines: Iterable[tuple[str, str]]) -> str:
    """Return keys and what they do, two beside each other where they fit."""
    listed = list(lines)
    margin = max(len(key) for key, _ in listed) + 2
    said = [f"{key:<{margin}}{says}" for key, says in listed]
    wide = max(map(len, said)) + 3
    if 2 * wide > _WIDTH:
        return "```text\n" + "\n".join(said) + "\n```"
    half = (len(said) + 1) // 2
    pairs = zip(said[:half], [*said[half:], ""][:half], strict=True)
    return "```text\n" + "\n".join(f"{a:<{wide}}{b}".rstrip() for a, b in pairs) + "\n```"
