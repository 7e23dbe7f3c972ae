"""A real browser without a window, driven by its own protocol: taps, keys, pictures."""

import asyncio
import base64
import itertools
import shutil
from asyncio.subprocess import DEVNULL
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any

import aiohttp
import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""
#: A tablet lying on its side, and one standing.
LANDSCAPE, PORTRAIT = (1024, 768), (768, 1024)
_STEPS, _STEP_S = 1500, 0.02
#: Reads the words on the screen out of the terminal, which draws them on a canvas: the page's
#: websocket is listened to, and what it was sent is kept.
_LISTEN = """
(() => {
  window.heard = "";
  const Plain = window.WebSocket, decoder = new TextDecoder();
  window.WebSocket = class extends Plain {
    constructor(address) {
      super(address);
      this.addEventListener("message", (event) => {
        if (typeof event.data !== "string") window.heard += decoder.decode(event.data);
      });
    }
  };
})();
"""


class Page:
    """One page of the browser."""

    def __init__(self, ws: aiohttp.ClientWebSocketResponse) -> None:
        self._ws, self._numbers = ws, itertools.count(1)
        self.requested: list[str] = []
        self.complaints: list[str] = []

    async def ask(self, method: str, **said: Any) -> dict[str, Any]:
        """Send a command of the protocol; returns its answer."""
        number = next(self._numbers)
        await self._ws.send_json({"id": number, "method": method, "params": said})
        while True:
            answer = await self._ws.receive_json(timeout=20)
            if answer.get("id") == number:
                assert "error" not in answer, (method, answer["error"])
                return dict(answer["result"])
            self._note(answer.get("method", ""), answer.get("params", {}))

    def _note(self, event: str, said: dict[str, Any]) -> None:
        if event == "Network.requestWillBeSent":
            self.requested.append(said["request"]["url"])
        if event == "Log.entryAdded":
            self.complaints.append(said["entry"]["text"])

    async def run(self, script: str) -> Any:
        """Return what a script gives."""
        answer = await self.ask("Runtime.evaluate", expression=script, returnByValue=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    async def open(self, address: str) -> None:
        """Go to an address."""
        await self.ask("Page.navigate", url=address)

    async def until(self, script: str) -> None:
        """Wait until a script gives something true."""
        for _ in range(_STEPS):
            with suppress(AssertionError):
                if await self.run(script):
                    return
            await asyncio.sleep(_STEP_S)
        pytest.fail(f"waited in vain for {script}; last heard: {(await self.heard())[-2000:]}")

    async def until_heard(self, words: str) -> None:
        """Wait until the terminal has been sent words since it was last cleared."""
        await self.until(f"window.heard.includes({words!r})")

    async def heard(self) -> str:
        """Return what the terminal was sent."""
        return str(await self.run("window.heard"))

    async def type(self, *keys: str) -> None:
        """Press keys as a keyboard would: characters, or names of the protocol."""
        for key in keys:
            for event, text in (("keyDown", key if len(key) == 1 else ""), ("keyUp", "")):
                await self.ask(
                    "Input.dispatchKeyEvent", type=event, key=key, text=text, **_code(key)
                )

    async def tap(self, selector: str) -> None:
        """Touch the middle of what a selector finds."""
        box = await self.run(
            f"(() => {{const b = document.querySelector({selector!r}).getBoundingClientRect();"
            "return [b.x + b.width / 2, b.y + b.height / 2, b.width, b.height]})()"
        )
        assert box[2] >= 30 and box[3] >= 30, f"{selector} is too small for a finger: {box}"
        await self.touch(box[0], box[1])

    async def tap_key(self, sends: str) -> None:
        """Touch the button that sends a key and is on the screen."""
        found = (
            "[...document.querySelectorAll('.panel.-shown .tap')]"
            f".find((b) => JSON.parse(b.dataset.sends) === {sends!r})"
        )
        await self.run(f"{found}.id = 'tapped'")
        await self.tap("#tapped")
        await self.run("document.querySelector('#tapped').id = ''")

    async def touch(self, x: float, y: float) -> None:
        """Touch a point and let go; a page behind another one feels nothing."""
        await self.ask("Page.bringToFront")
        await self.ask(
            "Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}]
        )
        await self.ask("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    async def picture(self, file: Path) -> None:
        """Keep what the page shows."""
        answer = await self.ask("Page.captureScreenshot")
        file.write_bytes(base64.b64decode(answer["data"]))


def _code(key: str) -> dict[str, Any]:
    codes = {"Escape": 27, "Enter": 13, "Backspace": 8, "F3": 114, "F4": 115, "F6": 117}
    if key in codes:
        return {"code": key, "windowsVirtualKeyCode": codes[key]}
    return {}


class Browser:
    """A running browser."""

    def __init__(self, session: aiohttp.ClientSession, port: int) -> None:
        self._session, self._at = session, f"http://127.0.0.1:{port}"

    async def page(self, size: tuple[int, int] = LANDSCAPE, *, touch: bool = True) -> Page:
        """Open an empty page of a size, of a tablet or of a desk."""
        async with self._session.put(f"{self._at}/json/new?about:blank") as answer:
            address = (await answer.json(content_type=None))["webSocketDebuggerUrl"]
        page = Page(await self._session.ws_connect(address, max_msg_size=0))
        for part in ("Page", "Network", "Log", "Runtime"):
            await page.ask(f"{part}.enable")
        width, height = size
        await page.ask(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=touch,
        )
        if touch:
            await page.ask("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=5)
        await page.ask("Page.addScriptToEvaluateOnNewDocument", source=_LISTEN)
        return page


@asynccontextmanager
async def browser(folder: Path, *more: str) -> AsyncIterator[Browser]:
    """Run a browser with a folder of its own; `more` are options of its command line."""
    process = await asyncio.create_subprocess_exec(
        CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
        "--no-first-run", "--disable-background-networking", "--remote-debugging-port=0",
        f"--user-data-dir={folder}", *more, "about:blank",
        stdin=DEVNULL, stdout=DEVNULL, stderr=DEVNULL,
    )  # fmt: skip
    try:
        async with aiohttp.ClientSession() as session:
            yield Browser(session, await _port(folder / "DevToolsActivePort"))
    finally:
        process.terminate()
        await process.wait()


async def _port(file: Path) -> int:
    for _ in range(_STEPS):
        if file.exists() and (lines := file.read_text().splitlines()):
            return int(lines[0])
        await asyncio.sleep(_STEP_S)
    pytest.fail("the browser did not start")
