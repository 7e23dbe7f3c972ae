"""The one door from the commands to the terminal UI."""

import sys
from collections.abc import Callable

from sequencer.errors import CoachError


def open_tui(
    book: str,
    *,
    game: str | None = None,
    place: str = "",
    prepare: Callable[[], None] | None = None,
) -> None:
    """Open the terminal UI on a book and return when the person leaves it.

    Parameters
    ----------
    book : str
        The file to open; made when it is not there.
    game : str, optional
        A game (name or id) to open in the dugout.
    place : str
        Where to begin (scouting, plan, dugout, review, games); empty lets the book decide.
    prepare : callable, optional
        What must be done before the book is opened; done after the first paint.

    Raises
    ------
    CoachError
        When there is no terminal to draw on, or the book cannot be opened.
    """
    need_terminal()
    from tui.app import SequencerApp

    problem = SequencerApp(book, game, place, prepare=prepare).run()
    if problem is not None:
        raise problem


def need_terminal() -> None:
    """Raise a `CoachError` when there is no terminal to draw on."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise CoachError(
            "There is no terminal here to draw on: log without a screen with "
            "`sequencer log GAME --plain`, or see `sequencer --help`."
        )
