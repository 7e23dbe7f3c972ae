"""A server in the test's own loop, and tablets without a browser."""

import asyncio
import json
import ssl
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from urllib.parse import urlsplit

import aiohttp
import pytest

from tui.serving.server import TabletServer

_STEPS, _STEP_S = 1500, 0.02


async def until(true: Callable[[], object], what: str = "") -> None:
    """Wait until a condition holds."""
    for _ in range(_STEPS):
        if true():
            return
        await asyncio.sleep(_STEP_S)
    pytest.fail(f"waited in vain for {what or true}")


class Start:
    """A start address and what it tells: where the server is, the token."""

    def __init__(self, start: str) -> None:
        self.start = start
        parts = urlsplit(start)
        self.at = f"{parts.scheme}://{parts.netloc}"
        self.ws = f"{parts.scheme.replace('http', 'ws')}://{parts.netloc}/ws"
        self.token = start.rpartition("=")[2]


class Served(Start):
    """A running server of this test."""

    def __init__(self, server: TabletServer, start: str) -> None:
        super().__init__(start)
        self.server = server


@asynccontextmanager
async def served(
    book: str, *, seats: int = 4, wait_s: float = 5.0, tls: ssl.SSLContext | None = None
) -> AsyncIterator[Served]:
    """Serve a book at a free port of this machine until the block is left."""
    server = TabletServer(book, "127.0.0.1", 0, seats, wait_s, tls)
    said: list[str] = []
    running = asyncio.create_task(server.run(said.append))
    try:
        await until(lambda: said or running.done(), "the server")
        if running.done():
            await running
        yield Served(server, said[0])
    finally:
        server.stopping.set()
        await running


@asynccontextmanager
async def browsing(
    trusts: ssl.SSLContext | None = None,
) -> AsyncIterator[aiohttp.ClientSession]:
    """Be a browser as far as cookies go, and certificates where some are trusted."""
    jar = aiohttp.CookieJar(unsafe=True)
    connector = aiohttp.TCPConnector(ssl=trusts or True)
    async with aiohttp.ClientSession(cookie_jar=jar, connector=connector) as session:
        yield session


class Tablet:
    """A tablet without a browser: what it was sent, and keys to send."""

    def __init__(self, ws: aiohttp.ClientWebSocketResponse) -> None:
        self._ws, self.heard = ws, ""
        self._listening = asyncio.create_task(self._listen())

    async def _listen(self) -> None:
        async for message in self._ws:
            if message.type is aiohttp.WSMsgType.BINARY:
                self.heard += message.data.decode("utf-8", "replace")

    @property
    def closed(self) -> bool:
        """Whether the server has ended the connection."""
        return self._listening.done()

    async def until_heard(self, words: str) -> None:
        """Wait until words have been drawn since `heard` was last cleared."""
        await until(lambda: words in self.heard, repr(words))

    async def tap(self, keys: str) -> None:
        """Send keys as a button does."""
        await self._ws.send_str(json.dumps(["stdin", keys]))

    async def close(self) -> None:
        """Leave."""
        await self._ws.close()
        await self._listening


@asynccontextmanager
async def tablet(
    to: Start, width: int = 100, trusts: ssl.SSLContext | None = None
) -> AsyncIterator[Tablet]:
    """Let a tablet in and open the UI on it."""
    async with browsing(trusts) as session:
        async with session.get(to.start) as page:
            assert page.status == 200
        ws = await session.ws_connect(f"{to.ws}?width={width}&height=30", origin=to.at)
        opened = Tablet(ws)
        try:
            yield opened
        finally:
            await opened.close()
