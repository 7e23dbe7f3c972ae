"""Quick marking: number, letters, next number; each mark is kept before it is shown."""

from collections.abc import Awaitable, Callable
from typing import Final, NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from tui.quick_marks import MARK_KEYS, mark_lines
from tui.screens.dialog import Dialog

#: Keeps a mark ("" for his side) of a number: kind, number, mark or side; returns a sentence.
Keep = Callable[[str, str, str], Awaitable[str]]
_LINES: Final = 3
_MARKS: Final = {letter: mark for mark, letter in MARK_KEYS.items()}
_FOOT: Final = "Again: more often. R or L his side. Backspace undoes. Esc ends."


class _Kept(NamedTuple):
    """A mark kept, to be taken back."""

    number: str
    mark: str


class QuickMarksScreen(Dialog[bool]):
    """Marks by number; gives whether any was kept.

    Parameters
    ----------
    team : str
    keep : callable
        Keeps one mark or side and returns the sentence to show.
    """

    def __init__(self, team: str, keep: Keep) -> None:
        super().__init__()
        self._team, self._keep = team, keep
        self._number, self._marked = "", False
        self._kept: list[_Kept] = []
        self._told: list[str] = []

    def compose(self) -> ComposeResult:
        """Lay out the letters, what was kept, the number being typed."""
        with Vertical(classes="dialog"):
            title = f"Quick marks: {self._team or 'no team yet'}"
            yield Static(title, classes="dialog-title", markup=False)
            yield Static("\n".join(mark_lines()), markup=False)
            yield Static(id="told", markup=False)
            yield Static(id="number", markup=False)
            yield Static(_FOOT, classes="dim", markup=False)

    def on_mount(self) -> None:
        """Ask for a number."""
        self._draw()

    def _draw(self) -> None:
        self.query_one("#told", Static).update("\n".join(self._told[-_LINES:]))
        self.query_one("#number", Static).update(f"> #{self._number or ' whose number?'}")

    async def on_key(self, event: events.Key) -> None:
        """Take a digit, a mark, a side, or the last thing back."""
        key = event.character or ""
        event.stop()
        if event.key in ("escape", "enter"):
            self.dismiss(bool(self._told))
        elif key.isascii() and key.isdigit():
            self._number = key if self._marked else (self._number + key)[:2]
            self._marked = False
        elif event.key == "backspace":
            await self._back()
        elif key in _MARKS:
            await self._say("mark", _MARKS[key])
        elif key in ("R", "L"):
            await self._say("side", key)
        if self.is_active:
            self._draw()

    async def _say(self, kind: str, what: str) -> None:
        if not self._number:
            self._told.append("Whose? Type his number first.")
            return
        self._told.append(await self._keep(kind, self._number, what))
        self._marked = True
        if kind == "mark":
            self._kept.append(_Kept(self._number, what))

    async def _back(self) -> None:
        """Take the last digit back, else the last mark."""
        if self._number and not self._marked:
            self._number = self._number[:-1]
        elif self._kept:
            number, mark = self._kept.pop()
            self._told.append(await self._keep("back", number, mark))
