"""The line an entry is typed into; what is pasted is put up to be confirmed, never logged."""

from collections.abc import Callable, Mapping
from typing import Final

from textual import events
from textual.widgets import Input


def pasted(text: str) -> tuple[str, str]:
    """Return the one line that was pasted, and why it is not taken when it is not one."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) == 1:
        return lines[0], ""
    if not lines:
        return "", "Nothing was pasted that could be an entry."
    return "", (
        f"Not taken: {len(lines)} lines were pasted and none was logged. One entry at a time; "
        "a whole file: Ctrl+P, import FILE."
    )


class EntryLine(Input):
    """A line for one entry.

    It takes its keys from its screen and never has the focus: keys typed quickly would else reach
    screen and line out of order, and what follows Enter would be lost with the line.
    """

    can_focus = False

    def begin(self, words: str = "") -> None:
        """Open the line with some words in it, the cursor after them."""
        self.value, self.display = words, True
        self.cursor_position = len(words)
        # The cursor is drawn where the focus is said to be.
        self.has_focus = True

    def take(self, event: events.Key) -> bool:
        """Take one key; returns whether it was one of a line's."""
        if event.is_printable and event.character:
            self.insert_text_at_cursor(event.character)
            return True
        edit = _EDITS.get(event.key)
        if edit is not None:
            edit(self)
        return edit is not None


_EDITS: Final[Mapping[str, Callable[[EntryLine], None]]] = {
    "backspace": EntryLine.action_delete_left,
    "delete": EntryLine.action_delete_right,
    "left": EntryLine.action_cursor_left,
    "right": EntryLine.action_cursor_right,
    "home": EntryLine.action_home,
    "end": EntryLine.action_end,
    "ctrl+u": EntryLine.action_delete_left_all,
    "ctrl+w": EntryLine.action_delete_left_word,
}
