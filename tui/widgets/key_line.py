"""The keys under a place: its own, in as many lines as they take, and the footer of all places."""

from collections.abc import Callable

from textual.content import Content
from textual.geometry import Size
from textual.widgets import Static

from tui import keys


class HintLine(Static):
    """A place's own keys, made for the width there is: laid out anew they are drawn anew.

    A screen behind another is laid out when the window changes, and not again after.
    """

    def __init__(self, made: Callable[[int], str]) -> None:
        super().__init__(id="hint", markup=False)
        self._made = made

    @property
    def visual(self) -> Content:
        """The keys, as wide as the line is."""
        return Content(self._made(self.content_size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return how many lines they take."""
        return len(self._made(width).split("\n"))


class KeyLine(Static):
    """One line of the keys with a word for the footer."""

    DEFAULT_CSS = """
    KeyLine { dock: bottom; height: 1; background: $panel; color: $foreground; padding: 0 1; }
    KeyLine { link-color: $foreground; link-background: $panel; link-style: none; }
    KeyLine { link-color-hover: $background; link-background-hover: $primary; }
    """

    def __init__(self) -> None:
        super().__init__(key_line(), id="keys")


def key_line() -> str:
    """Return the line as content markup."""
    return "  ".join(
        f"[@click=app.{key.action}][b]{keys.first_key(key)}[/b] {key.short}[/]"
        for key in keys.keys_of(keys.EVERYWHERE)
        if key.short
    )
