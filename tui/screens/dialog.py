"""A screen over a place that closes once, and loses no key typed while it closes."""

import asyncio
from contextlib import suppress
from typing import Any, TypeVar

from textual import events
from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen

T = TypeVar("T")


def styled_by_now(screen: Screen[Any]) -> None:
    """Mark a new screen as styled by the sheets as they are: its widgets are, as they are mounted.

    Textual takes a screen it has not seen for one styled by an older theme, and reads all of its
    sheets again, twice: half of what a first visit takes.
    """
    with suppress(RuntimeError):  # made where there is no app, it is shown in none
        screen._css_update_count = screen.app._css_update_count


class Dialog(ModalScreen[T]):
    """A modal screen for a quick typist.

    Keys already on their way to a dialog when it closes are meant for what is behind it; a second
    Esc must not close that too.
    """

    def __init__(self) -> None:
        super().__init__()
        styled_by_now(self)

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        """Close with a result; a dialog that is closed stays so."""
        return super().dismiss(result) if self.is_active else AwaitComplete()

    async def on_event(self, event: events.Event) -> None:
        """Pass a key on to the screen in front once this one is closed."""
        if isinstance(event, events.Key) and not self.is_active:
            self.app.screen.post_message(events.Key(event.key, event.character))
        else:
            await super().on_event(event)
            await asyncio.sleep(0)
