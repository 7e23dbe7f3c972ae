"""Something that takes a while, told as it goes; Esc stops it."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tui.screens.dialog import Dialog


class WorkingScreen(Dialog[bool]):
    """Says how far something is, then how it ended; gives whether it was put away while working.

    Parameters
    ----------
    title, words : str
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape,enter,q", "back", "back")]

    def __init__(self, title: str, words: str) -> None:
        super().__init__()
        self._title, self._words = title, words
        self.working, self.may_stop = True, True

    def compose(self) -> ComposeResult:
        """Lay the words out."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            yield Static(id="told", markup=False)
            yield Static(id="foot", classes="dim", markup=False)

    def on_mount(self) -> None:
        """Show what is known by now."""
        self._draw()

    def tell(self, words: str, *, may_stop: bool = True) -> None:
        """Say how far it is; what is being written can no longer be stopped."""
        if self.working:
            self._words, self.may_stop = words, may_stop
            self._draw_if_there()

    def ended(self, words: str) -> None:
        """Say how it ended."""
        self.tell(words)
        self.working = False
        self._draw_if_there()

    def _draw_if_there(self) -> None:
        if self.is_mounted and self.is_attached:
            self._draw()

    def _draw(self) -> None:
        stops = "Esc stops it; nothing is kept then." if self.may_stop else "Being written …"
        self.query_one("#told", Static).update(self._words)
        self.query_one("#foot", Static).update(stops if self.working else "Esc goes back.")

    def action_back(self) -> None:
        """Put it away, which stops what can still be stopped."""
        if self.may_stop or not self.working:
            self.dismiss(self.working)
