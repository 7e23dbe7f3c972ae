"""A picture of the zone with the places a plan asks for, as SVG: in and away are the hitter's."""

from collections.abc import Sequence
from typing import Final

from sequencer.baseball.zone import target_uv

#: Units of the picture from the middle of the zone to its edge, and to the edge of the picture.
_HALF: Final = 50.0
_REACH: Final = 105.0


def zone_svg(targets: Sequence[str]) -> str:
    """Return the zone with its thirds and a named spot for every target.

    Parameters
    ----------
    targets : sequence of str
        Words of `zone.TARGETS`; away is drawn to the right, whichever side he hits from.
    """
    spots = "".join(_spot(word) for word in dict.fromkeys(targets))
    thirds = "".join(
        f'<path d="M{at:.1f} -50V50M-50 {at:.1f}H50" stroke-width="1"/>'
        for at in (-_HALF / 3, _HALF / 3)
    )
    size = f"{-_REACH} {-_REACH} {2 * _REACH} {2 * _REACH}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{size}" role="img" class="zone">'
        '<g fill="none" stroke="black">'
        f'<rect x="-50" y="-50" width="100" height="100" stroke-width="3"/>{thirds}</g>'
        '<text x="-100" y="4" font-size="14">in</text>'
        '<text x="100" y="4" font-size="14" text-anchor="end">away</text>'
        f"{spots}</svg>"
    )


def _spot(word: str) -> str:
    u, v = target_uv(word)
    x, y = u * _HALF, -v * _HALF
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5"/>'
        f'<text x="{x:.1f}" y="{y - 8:.1f}" font-size="12" text-anchor="middle" '
        f'stroke="white" stroke-width="4" paint-order="stroke">{word}</text>'
    )
