"""One tablet's own process, as the server holds it."""

import asyncio
import os
import subprocess
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import Awaitable, Callable
from typing import Any, Final

from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

#: Seconds a process has to end by itself; what was logged is on disk before (assumption).
_PATIENCE_S: Final = 10.0


class Tab(AppService):
    """Runs the UI on a book for one browser tab.

    Parameters
    ----------
    book : str
        The file to open.
    write_bytes, write_str, close : callables
        The tab's websocket.
    """

    def __init__(
        self,
        book: str,
        *,
        write_bytes: Callable[[bytes], Awaitable[None]],
        write_str: Callable[[str], Awaitable[None]],
        close: Callable[[], Awaitable[Any]],
    ) -> None:
        async def closed() -> None:
            await close()

        super().__init__(
            "",
            write_bytes=write_bytes,
            write_str=write_str,
            close=closed,
            download_manager=DownloadManager(),
        )
        self._book = book

    async def _open_app_process(self, width: int = 80, height: int = 24) -> Process:
        """Start the process without a shell, and where Ctrl+C at the server does not reach it."""
        apart: dict[str, Any] = {"start_new_session": True}
        if sys.platform == "win32":
            apart = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
        environment = self._build_environment(width=width, height=height)
        environment["TEXTUAL_DRIVER"] = "tui.serving.driver:TabDriver"
        words = (sys.executable, "-m", "tui.serving.one_tab", os.path.abspath(self._book))
        process = await asyncio.create_subprocess_exec(
            *words, stdin=PIPE, stdout=PIPE, stderr=PIPE, env=environment, **apart
        )
        self._process, self._stdin = process, process.stdin
        return process

    async def run(self) -> None:
        """Carry what the process draws to the tab; when it ends, so does the connection."""
        try:
            await super().run()
            await self._tell_the_rest()
        finally:
            await self.remote_close()

    async def _tell_the_rest(self) -> None:
        """Print what the process said last: why it could not go on."""
        if self._process is not None and self._process.stderr is not None:
            said = await self._process.stderr.read()
            sys.stderr.write(said.decode("utf-8", "replace"))

    async def stop(self) -> None:
        """Ask the process to end, and wait until it has."""
        process = self._process
        if process is None:
            return
        killing = asyncio.get_running_loop().call_later(_PATIENCE_S, _kill, process)
        try:
            await super().stop()
            await process.wait()
        finally:
            killing.cancel()
            _kill(process)


def _kill(process: Process) -> None:
    if process.returncode is None:
        process.kill()
