"""A screen over a place that closes once, and loses no key typed while it closes."""

from typing import TypeVar

from textual import events
from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen

T = TypeVar("T")


class Dialog(ModalScreen[T]):
    """A modal screen for a quick typist.

    Keys already on their way to a dialog when it closes are meant for what is behind it; a second
    Esc must not close that too.
    """

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        """Close with a result; a dialog that is closed stays so."""
        return super().dismiss(result) if self.is_active else AwaitComplete()

    async def on_event(self, event: events.Event) -> None:
        """Pass a key on to the screen in front once this one is closed."""
        if isinstance(event, events.Key) and not self.is_active:
            self.app.screen.post_message(events.Key(event.key, event.character))
        else:
            await super().on_event(event)
