"""The footer: the keys that work everywhere, from the table, each also a click."""

from textual.widgets import Static

from tui import keys


class KeyLine(Static):
    """One line of the keys with a word for the footer."""

    DEFAULT_CSS = """
    KeyLine { dock: bottom; height: 1; background: $panel; color: $foreground; padding: 0 1; }
    KeyLine { link-color: $foreground; link-background: $panel; link-style: none; }
    KeyLine { link-color-hover: $background; link-background-hover: $primary; }
    """

    def __init__(self) -> None:
        super().__init__(key_line(), id="keys")


def key_line() -> str:
    """Return the line as content markup."""
    return "  ".join(
        f"[@click=app.{key.action}][b]{keys.first_key(key)}[/b] {key.short}[/]"
        for key in keys.keys_of(keys.EVERYWHERE)
        if key.short
    )
