"""What the UI draws on and hears in a browser tab."""

from textual import events, messages
from textual.drivers.web_driver import WebDriver


class TabDriver(WebDriver):
    """The web driver for a page that is nothing but this UI.

    The page always counts as having the focus: on a tablet keys come from buttons beside the
    terminal, and a line being typed must not lose its place for it. When the server is gone,
    the UI ends: nobody could see it any more.
    """

    def start_application_mode(self) -> None:
        """Begin drawing, with the focus."""
        super().start_application_mode()
        self._app.call_later(self._app.post_message, events.AppFocus())

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        """Take what the page says of itself, but for its focus."""
        if packet_type != "blur":
            super().on_meta(packet_type, payload)

    def run_input_thread(self) -> None:
        """Hear keys until the UI ends or the server has gone."""
        super().run_input_thread()
        if not self.exit_event.is_set():
            self._app.post_message(messages.ExitApp())
