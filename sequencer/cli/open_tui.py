"""The one door from the commands to the terminal UI."""

import sys
from collections.abc import Callable
from importlib.util import find_spec

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


def serve_tui(
    book: str,
    host: str,
    port: int,
    sessions: int,
    told: Callable[[str], None],
    *,
    certificate: str = "",
    key: str = "",
) -> None:
    """Serve the terminal UI on a book to browsers until Ctrl+C.

    Parameters
    ----------
    book : str
        The file to open; made when it is not there.
    host, port : str, int
        Where to listen.
    sessions : int
        How many tablets at once.
    told : callable
        Told the address to open, and before it who can reach it where others can.
    certificate, key : str
        Files to encrypt with; without a certificate nothing is encrypted.

    Raises
    ------
    CoachError
        When the book cannot be opened, the serve extra is not installed, nothing can be served at
        this host and port, or the files cannot be used to encrypt.
    """
    if find_spec("textual_serve") is None:
        raise CoachError(
            "serving to a browser needs the serve extra; run: pip install 'sequencer[serve]'"
        )
    from sequencer.records.store import open_book
    from tui.serving.address import who_reaches
    from tui.serving.server import serve, tls_of

    tls = tls_of(certificate, key) if certificate else None
    open_book(book).close()

    def listening(address: str) -> None:
        if warning := who_reaches(host, encrypted=tls is not None):
            told(warning)
        told(f"Open {address} in a browser; Ctrl+C here ends it.")

    serve(book, host, port, sessions, listening, tls)
