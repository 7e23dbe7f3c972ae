"""Keys and clicks that arrive while the program quits end nothing but what has ended already."""

import asyncio

import pytest
from textual import events
from textual.app import ScreenStackError

from tests.tui.driving import Driven, opened

KEYS = ("b", "y", "R", "question_mark", "f1", "f4", "ctrl+p", "ctrl+t", "ctrl+q", "enter", "escape")


def key(name: str) -> events.Key:
    return events.Key(name, name if len(name) == 1 else None)


async def test_keys_typed_right_after_quitting_raise_nothing(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        quits = asyncio.create_task(driven.app.action_quit())
        await asyncio.sleep(0)
        for name in KEYS * 3:
            driven.app.post_message(key(name))
        await quits


async def test_keys_and_clicks_once_every_screen_is_closed_raise_nothing(two_clubs: str) -> None:
    async with opened(two_clubs, game="tonight") as driven:
        await driven.app.action_quit()
        await _closed(driven)
        for name in KEYS:
            await driven.app.on_event(key(name))
        for kind in (events.MouseDown, events.MouseUp):
            await driven.app.on_event(kind(None, 3, 3, 0, 0, 1, False, False, False))


async def _closed(driven: Driven) -> None:
    """Close the screens as the program does in the end."""
    await driven.app._close_all()
    with pytest.raises(ScreenStackError):
        _ = driven.app.screen
