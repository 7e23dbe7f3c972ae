"""Words on a screen of cells: cut by cells, and with nothing in them that moves the cursor."""

import unicodedata
from functools import lru_cache
from typing import Final

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

#: Characters that turn the direction of what follows them (Unicode Standard Annex 9): one left
#: open in a name would turn the rest of the line. Letters of right-to-left scripts need none.
_TURNS: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def cut(words: str, cells: int) -> str:
    """Return words in at most so many cells, the last an ellipsis where something was cut off.

    A wide character takes two cells, a mark on a letter none; neither is cut in two.
    """
    return words if cell_len(words) <= cells else set_cell_size(words, cells - 1).rstrip() + "…"


@lru_cache(maxsize=4096)
def harmless(words: str) -> str:
    """Return words without control characters and characters that turn what follows."""
    if words.isprintable():
        return words
    return "".join(c for c in words if unicodedata.category(c) != "Cc" and c not in _TURNS)


class Harmless(LineFilter):
    """Draws every line without what could move the cursor, ring or turn the line.

    Names come from files and from people; what they hold is shown, never obeyed. All that is
    left out takes no cell, so nothing moves.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments of a line with their words made harmless."""
        if all(text.isprintable() for text, *_ in segments):
            return segments
        return [
            segment if segment.control else Segment(harmless(segment.text), segment.style)
            for segment in segments
        ]
