"""The next three hitters over the dugout, between innings."""

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from tui.screens.choose import headed
from tui.screens.dialog import Dialog


class NextThreeScreen(Dialog[str]):
    """A page of lines; gives back a key that belongs to the dugout, "" for none.

    Parameters
    ----------
    words : str
        The page.
    shut : str
        The key that opened it, which also closes it.
    hand_back : frozenset of str
        Keys that close it and mean what they mean behind it: a pitch is never swallowed.
    """

    def __init__(self, words: str, shut: str, hand_back: frozenset[str]) -> None:
        super().__init__()
        self._words, self._shut, self._hand_back = words, shut, hand_back

    def compose(self) -> ComposeResult:
        """Lay the page out."""
        with Vertical(classes="sheet"):
            with VerticalScroll():
                yield Static(headed(self._words), markup=False)
            yield Static(f"Esc or {self._shut} goes back; arrows scroll.", classes="dim")

    def on_mount(self) -> None:
        """Let the arrows scroll at once."""
        self.query_one(VerticalScroll).focus()

    def on_key(self, event: events.Key) -> None:
        """Hand a key of the dugout back to it."""
        if event.character in self._hand_back:
            event.stop()
            self.dismiss(event.character)
        elif event.key == "escape" or event.character == self._shut:
            event.stop()
            self.dismiss("")
