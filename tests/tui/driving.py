"""Driving the app without a terminal: open it on a book, wait for a condition, read its text."""

import asyncio
import os
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from sequencer.errors import CoachError
from tui.app import SequencerApp

SIZES = {"80x24": (80, 24), "120x40": (120, 40)}
GOLDENS = Path(__file__).parent / "goldens"
#: Longest wait for a condition, in steps of a fiftieth of a second.
_PATIENCE = 1500
#: Looks at an unchanged screen before it counts as settled.
_STILL = 5


class Driven:
    """An app under a pilot."""

    def __init__(self, app: SequencerApp, pilot: Pilot[CoachError | None]) -> None:
        self.app, self.pilot = app, pilot

    @property
    def screen(self) -> Any:
        """The screen in front."""
        return self.app.screen

    async def until(self, true: Callable[[], object], what: str = "") -> None:
        """Wait until a condition holds."""
        for _ in range(_PATIENCE):
            if true():
                return
            await asyncio.sleep(0.02)
        pytest.fail(f"waited in vain for {what or true}; the screen shows:\n{self.text()}")

    async def press(self, *keys: str) -> None:
        """Press keys and let the screen settle."""
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def until_place(self, name: str) -> None:
        """Wait until a place is in front."""
        await self.until(lambda: self.app.current_mode == name, name)

    async def until_text(self, words: str) -> None:
        """Wait until words are on the screen."""
        await self.until(lambda: words in self.text(), repr(words))

    async def settled(self) -> str:
        """Return the screen once it has stopped changing and nothing is being worked out."""
        text, same = self.text(), 0
        while same < _STILL:
            await self.pilot.pause(0.02)
            now = self.text()
            busy = any(not worker.is_finished for worker in self.app.workers)
            same = same + 1 if now == text and not busy else 0
            text = now
        return text

    def text(self) -> str:
        """Return the screen as plain text: the compositor's strips joined."""
        strips = self.app.screen._compositor.render_strips()
        lines = ("".join(segment.text for segment in strip).rstrip() for strip in strips)
        return "\n".join(lines) + "\n"


@asynccontextmanager
async def opened(
    book: str,
    size: tuple[int, int] = (80, 24),
    *,
    game: str | None = None,
    place: str = "",
    told: bool = False,
) -> AsyncIterator[Driven]:
    """Open the app on a book and wait until a place is shown; `told`: with notes over a corner."""
    app = SequencerApp(book, game, place)
    async with app.run_test(size=size, notifications=told) as pilot:
        driven = Driven(app, pilot)
        await driven.until(lambda: app.current_mode != "_default" and app.thinker, "a place")
        await driven.until(lambda: getattr(app.screen, "_view", None), "its snapshot")
        yield driven
        await app.action_quit()


def same_as_golden(name: str, text: str) -> None:
    """Compare a screen with the one kept; with UPDATE_GOLDENS set it is kept as it is now."""
    file = GOLDENS / f"{name}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        file.write_text(text, encoding="utf-8")
    assert file.exists(), f"no golden {file.name} yet: run with UPDATE_GOLDENS=1"
    assert text == file.read_text(encoding="utf-8")
