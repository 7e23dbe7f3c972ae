"""The log of the dugout: the last entries that fit, or those up to a marked pitch."""

from rich.text import Text
from textual.widget import Widget

from tui.dugout_words import log_window

#: Which pitch a line is (0: none), and the side he hit from.
Marks = tuple[tuple[int, str], ...]


class LogLines(Widget):
    """Lines of the log; how many is told by its height whenever it is drawn."""

    def __init__(self) -> None:
        super().__init__(id="entries")
        self._entries: tuple[str, ...] = ()
        self._marks: Marks = ()
        self._marked = 0

    def show(self, entries: tuple[str, ...], marks: Marks, marked: int) -> None:
        """Take the entries, and the pitch that is marked (0: none)."""
        self._entries, self._marks, self._marked = entries, marks, marked
        self.refresh()

    def render(self) -> Text:
        """Draw the lines that fit; a marked one is told by a letter and reversed."""
        rows = max(self.content_size.height, 1)
        lines = Text(no_wrap=True, overflow="ellipsis")
        window = log_window(self._entries, self._marks, self._marked, rows)
        for row, (words, marked) in enumerate(window):
            lines.append("\n" if row else "")
            lines.append("▸" + words[1:] if marked else words, "reverse" if marked else "")
        return lines
