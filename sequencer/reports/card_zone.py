"""A picture of the zone with the places a plan asks for, as SVG: in and away are the hitter's."""

from collections.abc import Sequence
from typing import Final

from sequencer.baseball.zone import target_uv

#: Units of the picture: half the zone; how far off it a ball is aimed; one line of words.
_HALF: Final = 50.0
_REACH: Final = 76.0
_LINE: Final = 17.0


def zone_svg(targets: Sequence[str]) -> str:
    """Return the zone with its thirds and a spot for every target, named beside it.

    Parameters
    ----------
    targets : sequence of str
        Words of `zone.TARGETS`; away is drawn to the right, whichever side he hits from.
    """
    words = sorted(dict.fromkeys(targets), key=lambda word: (-target_uv(word)[1], word))
    tall = max(2.0 * _REACH + _LINE, _LINE * (len(words) + 1))
    spots = "".join(_spot(word, _LINE * (k - (len(words) - 1) / 2)) for k, word in enumerate(words))
    thirds = "".join(
        f'<path d="M{at:.1f} -50V50M-50 {at:.1f}H50"/>' for at in (-_HALF / 3, _HALF / 3)
    )
    below = f'y="{_REACH:.0f}" font-size="13"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-_REACH} {-tall / 2} '
        f'{2 * _REACH + 96} {tall}" role="img" class="zone"><g fill="none" stroke="black">'
        f'<rect x="-50" y="-50" width="100" height="100" stroke-width="3"/>{thirds}</g>'
        f'<text x="-50" {below}>in</text><text x="50" {below} text-anchor="end">away</text>'
        f"{spots}</svg>"
    )


def _spot(word: str, beside: float) -> str:
    """Return a target's spot, and its word at the right at a height of its own."""
    u, v = target_uv(word)
    x, y = u * _HALF, -v * _HALF
    return (
        f'<path d="M{x:.1f} {y:.1f}L{_REACH:.0f} {beside:.1f}" stroke="black" stroke-width="0.7"/>'
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5"/>'
        f'<text x="{_REACH + 4:.0f}" y="{beside + 4.5:.1f}" font-size="13">{word}</text>'
    )
