"""How far apart two colours are to an eye, and to eyes that see fewer.

Contrast is WCAG 2.2's: relative luminance as in w3c.github.io/wcag/guidelines/relative-luminance
.html (threshold .04045), ratio (L1 + .05) / (L2 + .05), 4.5 for text of usual size (success
criterion 1.4.3). Two kinds of colour blindness are simulated by the matrices of Machado, Oliveira
and Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency (IEEE
Transactions on Visualization and Computer Graphics 15, 2009), severity 1, in linear RGB; their
numbers were read in several public copies that agree, not in the paper itself.
"""

from typing import Final

RGB = tuple[float, float, float]
Matrix = tuple[RGB, RGB, RGB]
EYES: Final[dict[str, Matrix]] = {
    "usual": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}
#: Least contrast of text.
TEXT: Final = 4.5


def linear(colour: tuple[int, int, int]) -> RGB:
    """Return a colour of 8 bits a channel in linear light."""
    red, green, blue = (_linear(part / 255) for part in colour)
    return red, green, blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def seen(colour: tuple[int, int, int], eye: str) -> RGB:
    """Return a colour as an eye sees it, in linear light."""
    light = linear(colour)
    red, green, blue = (
        min(max(sum(a * b for a, b in zip(row, light, strict=True)), 0.0), 1.0) for row in EYES[eye]
    )
    return red, green, blue


def contrast(one: tuple[int, int, int], other: tuple[int, int, int], eye: str = "usual") -> float:
    """Return the contrast of two colours, 1 to 21."""
    light = sorted(_luminance(seen(colour, eye)) for colour in (one, other))
    return (light[1] + 0.05) / (light[0] + 0.05)


def _luminance(light: RGB) -> float:
    return 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
