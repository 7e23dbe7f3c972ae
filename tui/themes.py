"""Themes of our own. Colour only repeats what letters, digits and shade blocks already say."""

from typing import Final

from textual.theme import Theme

NIGHT: Final = Theme(
    name="night",
    dark=True,
    primary="#9dbf9e",
    secondary="#d8b26e",
    accent="#e3c27d",
    foreground="#dcd8cc",
    background="#14181a",
    surface="#1b2123",
    panel="#232b2e",
    success="#9dbf9e",
    warning="#e3c27d",
    error="#e39a7d",
)
BRIGHT_SUN: Final = Theme(
    name="bright sun",
    dark=False,
    primary="#1f4d2b",
    secondary="#4a2f00",
    accent="#4a2f00",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#ece8dc",
    success="#1f4d2b",
    warning="#4a2f00",
    error="#7a1f00",
)
HIGH_CONTRAST: Final = Theme(
    name="high contrast",
    dark=True,
    primary="#ffffff",
    secondary="#ffe14d",
    accent="#ffe14d",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    success="#ffffff",
    warning="#ffe14d",
    error="#ffe14d",
)
THEMES: Final = (NIGHT, BRIGHT_SUN, HIGH_CONTRAST)
