"""The process of one tablet: the UI on a book, which also shows what others log."""

import sys
from typing import TYPE_CHECKING, Final

from textual import work

from tui.app import SequencerApp

if TYPE_CHECKING:
    from tui.desk import Desk

#: Seconds between two looks at what other tablets have logged (assumption).
_LOOK_S: Final = 1.0


class TabletApp(SequencerApp):
    """The UI of one tablet among several on the same book."""

    CSS_PATH = "../app.tcss"

    def __init__(self, book: str) -> None:
        super().__init__(book)
        self._looking = False

    def on_mount(self) -> None:
        """Open the book, then look now and then for what others log."""
        self.set_interval(_LOOK_S, self._look)

    @work(group="look")
    async def _look(self) -> None:
        """Draw the dugout anew when another tablet has logged to its game."""
        desk = self.desk
        away = self.current_mode != "dugout" or len(self.screen_stack) > 1
        if desk is None or away or self._looking:
            return
        self._looking = True
        try:
            if await self._at_desk(_behind, desk):
                await self._refresh_place("dugout")
        finally:
            self._looking = False


def _behind(desk: "Desk") -> bool:
    """Return whether the book has entries of the open game that the desk has not read."""
    session = desk.session
    return session is not None and desk.book.last_seq(session.game.id) != session.last_seq


def main(book: str) -> int:
    """Run the UI; returns the exit code, with the reason on standard error."""
    problem = TabletApp(book).run()
    if problem is None:
        return 0
    sys.stderr.write(f"sequencer: {problem}\n")
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
