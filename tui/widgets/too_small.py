"""A sentence in place of a screen that there is no room to draw."""

from typing import Final

from textual.widgets import Static

#: Least columns and rows a place is drawn in.
ROOM: Final = (80, 24)


def too_small_words(width: int, height: int, title: str) -> str:
    """Say how large the window is and has to be, over what is most wanted of the place."""
    return (
        f"{title}\n\nThis window has {width} columns and {height} rows; {ROOM[0]} by {ROOM[1]} "
        "are needed to draw this place. Make it larger or its letters smaller. Keys go on "
        "working, and what is logged is kept."
    )


class TooSmall(Static):
    """Covers a place while its window is too small."""

    DEFAULT_CSS = """
    TooSmall {
        layer: above; dock: top; width: 100%; height: 100%; padding: 0 1; display: none;
        background: $background; color: $foreground;
    }
    """

    def fit(self, width: int, height: int, title: str) -> None:
        """Cover the place or not, as there is room."""
        self.display = width < ROOM[0] or height < ROOM[1]
        if self.display:
            self.update(too_small_words(width, height, title))
