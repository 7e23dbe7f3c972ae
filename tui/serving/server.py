"""The server: the page, its files, and a websocket with a process of its own for every tablet."""

import asyncio
import contextlib
import errno
import logging
import signal
import ssl
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import textual_serve
from aiohttp import WSCloseCode, web
from jinja2 import Environment, FileSystemLoader
from textual_serve.server import Server

from sequencer.errors import CoachError
from tui import settings as kept
from tui.serving.guard import Guard
from tui.serving.tab import Tab
from tui.serving.taps import tap_panels

_PAGE: Final = Path(str(files("tui.serving"))) / "page"
_THEIRS: Final = Path(textual_serve.__file__).parent / "static"
#: Seconds a tablet waits for another's place to become free: a page loaded again takes its own.
SEAT_WAIT_S: Final = 5.0
#: Seconds between two signs of life; a tablet out of reach gives up its place after half as many.
_HEARTBEAT_S: Final = 15.0
#: Seconds for a tablet to take leave when the server stops.
_LEAVE_S: Final = 2.0
_LARGEST_MESSAGE: Final = 1 << 20
#: Columns and rows a terminal may ask for.
_NARROWEST, _WIDEST = 20, 500
#: What reading a message that is not as the page sends it may raise.
_UNREADABLE: Final = (ValueError, LookupError, TypeError, AttributeError, AssertionError)
_FULL: Final = "As many tablets as this server takes are open: close one, then open this again."
_STOPPED: Final = "The server has been stopped."


class TabletServer(Server):
    """Serves the UI on a book to a few tablets.

    Parameters
    ----------
    book : str
        The file every tablet opens.
    host, port : str, int
        Where to listen; port 0 lets the system choose.
    seats : int
        How many tablets at once; each has a process.
    seat_wait_s : float
        Seconds a tablet waits for a place.
    tls : ssl.SSLContext, optional
        What it is encrypted with; without one it is not.
    """

    def __init__(
        self,
        book: str,
        host: str,
        port: int,
        seats: int,
        seat_wait_s: float = SEAT_WAIT_S,
        tls: ssl.SSLContext | None = None,
    ) -> None:
        super().__init__("", host=host, port=port, title="sequencer")
        self.book = book
        self.guard = Guard(host, port, encrypted=tls is not None)
        self._tls = tls
        self.stopping = asyncio.Event()
        self._seats = asyncio.Semaphore(seats)
        self._seat_wait_s = seat_wait_s
        self._open: set[web.WebSocketResponse] = set()
        self._page = Environment(loader=FileSystemLoader(_PAGE), autoescape=True)

    async def _make_app(self) -> web.Application:
        """Make the application: page, files and websocket, all behind the guard."""
        app = web.Application()
        self.guard.watch(app)
        app.router.add_get("/", self.handle_index)
        app.router.add_get("/ws", self.handle_websocket)
        app.router.add_static("/static", _THEIRS)
        app.router.add_static("/page", _PAGE)
        app.on_shutdown.append(self.on_shutdown)
        return app

    async def handle_index(self, request: web.Request) -> web.Response:
        """Give the page, with the keys as this user has them."""
        html = self._page.get_template("page.html").render(
            socket=f"{self.guard.socket_at(request.host)}/ws",
            panels=tap_panels(kept.keymap_of(kept.load())),
        )
        return web.Response(text=html, content_type="text/html")

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """Run the UI for one tablet until either side ends it."""
        ws = web.WebSocketResponse(
            heartbeat=_HEARTBEAT_S, timeout=_LEAVE_S, max_msg_size=_LARGEST_MESSAGE
        )
        await ws.prepare(request)
        self._open.add(ws)
        try:
            if await self._seated():
                try:
                    await self._run_tab(ws, request)
                finally:
                    self._seats.release()
            else:
                await ws.close(code=WSCloseCode.TRY_AGAIN_LATER, message=_FULL.encode())
        finally:
            self._open.discard(ws)
        return ws

    async def _seated(self) -> bool:
        try:
            await asyncio.wait_for(self._seats.acquire(), self._seat_wait_s)
        except TimeoutError:
            return False
        return True

    async def _run_tab(self, ws: web.WebSocketResponse, request: web.Request) -> None:
        tab = Tab(self.book, write_bytes=ws.send_bytes, write_str=ws.send_str, close=ws.close)
        try:
            await tab.start(_cells(request, "width", 80), _cells(request, "height", 24))
            await self._process_messages(ws, tab)
        except _UNREADABLE:
            await ws.close(code=WSCloseCode.INVALID_TEXT)
        finally:
            await tab.stop()

    async def on_shutdown(self, app: web.Application) -> None:
        """Take leave of every tablet; each one's process then ends."""
        leaving = [
            ws.close(code=WSCloseCode.GOING_AWAY, message=_STOPPED.encode()) for ws in self._open
        ]
        await asyncio.gather(*leaving)

    async def run(self, listening: Callable[[str], None]) -> None:
        """Serve until `stopping` is set, by Ctrl+C or otherwise.

        Parameters
        ----------
        listening : callable
            Told the start address once the server can be reached.

        Raises
        ------
        CoachError
            If it cannot listen at this host and port.
        """
        runner = web.AppRunner(await self._make_app(), access_log=None)
        await runner.setup()
        try:
            await self._listen(runner)
            with _signals(self.stopping.set):
                listening(self.guard.start_address)
                await self.stopping.wait()
        finally:
            await runner.cleanup()

    async def _listen(self, runner: web.AppRunner) -> None:
        try:
            await web.TCPSite(runner, self.host, self.port, ssl_context=self._tls).start()
        except (OSError, OverflowError) as error:
            raise CoachError(
                f"The page cannot be served at {self.host} port {self.port} "
                f"({_why(error)}): choose another with --port or --host."
            ) from error
        self.port = self.guard.port = int(runner.addresses[0][1])


def tls_of(certificate: str, key: str = "") -> ssl.SSLContext:
    """Return what a certificate encrypts with.

    Parameters
    ----------
    certificate : str
        A PEM file: the certificate, those above it, and the key where that is no file of its own.
    key : str
        The key's file.

    Raises
    ------
    CoachError
        If they cannot be read, or do not belong together.
    """
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    try:
        # A key with a password would ask for it on the terminal: it is refused instead.
        context.load_cert_chain(certificate, key or None, password=lambda: "")
    except (OSError, ValueError) as error:
        files = f"{certificate} and {key}" if key else certificate
        raise CoachError(
            f"{files} cannot be used to encrypt ({_why(error)}): name a certificate in PEM form, "
            "and its key without a password with --key."
        ) from error
    return context


def serve(
    book: str,
    host: str,
    port: int,
    seats: int,
    listening: Callable[[str], None],
    tls: ssl.SSLContext | None = None,
) -> None:
    """Serve the UI on a book until Ctrl+C; see `TabletServer`."""
    # Refused requests and lost tablets are no news to whoever reads the terminal.
    logging.getLogger("aiohttp").setLevel(logging.ERROR)

    async def run() -> None:
        await TabletServer(book, host, port, seats, tls=tls).run(listening)

    # Where signals cannot be caught, Ctrl+C arrives here once everything has been let go.
    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(run())


def _why(error: Exception) -> str:
    number = getattr(error, "errno", None)
    if number == errno.EADDRINUSE:
        return "something else is being served there already"
    if number == errno.EADDRNOTAVAIL:
        return "it is no address of this machine"
    return getattr(error, "strerror", None) or str(error)


def _cells(request: web.Request, name: str, usual: int) -> int:
    said = request.query.get(name, "")
    asked = int(said) if said.isascii() and said.isdigit() else usual
    return min(max(asked, _NARROWEST // 2), _WIDEST)


@contextlib.contextmanager
def _signals(act: Callable[[], Any]) -> Iterator[None]:
    """Have Ctrl+C and a request to end call `act`, where the system can."""
    loop, caught = asyncio.get_running_loop(), []
    for name in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
            loop.add_signal_handler(name, act)
            caught.append(name)
    try:
        yield
    finally:
        for name in caught:
            loop.remove_signal_handler(name)
