"""Smoothed pictures with their legends, and what they say at the middle of every cell."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.review.statistics import Z95, wilson
from tui.picture_views import Seen, Smooth
from tui.shares import CELLS, FEW, Share, edge_lines, in_100, many, plural, span
from tui.smoothing import LEAST, Kernels, grid, middles, ninth, steps

#: Shares of 100 at which a smoothed share turns a shade darker.
_QUARTERS: Final = (0, 25, 50, 75)
#: Pitches of 100 on a ninth of the zone at which a smoothed picture turns a shade darker: pitches
#: spread evenly over the zone alone would lie 11 on each.
DENSE: Final = (2, 5, 10, 20)
#: A smoothed picture, what it says cell by cell, and why there is none.
Smoothed = tuple[Smooth | None, Mapping[str, str], str]


def smooth_where(seen: Sequence[Seen], zone: Zone, thing: str) -> Smoothed:
    """Return where pitches went, smoothed."""
    placed = [one for one in seen if one.cell]
    if len(placed) < LEAST:
        return None, {}, too_few(len(placed), thing)
    kernels = Kernels.of(placed, zone)
    per = 100.0 * ninth(zone)
    rows = steps(per * kernels.density(*grid(zone)), DENSE)
    at = kernels.density(*middles(zone))
    half = Z95 * kernels.density_error(at)
    lows, highs = per * np.maximum(at - half, 0.0), per * (at + half)
    values = zip(CELLS, (per * at).ravel(), lows.ravel(), highs.ravel(), strict=True)
    said = {
        cell: f"Smoothed: about {value:.0f} of 100 {plural(thing)} on a ninth of the zone here "
        f"({low:.0f} to {high:.0f})."
        for cell, value, low, high in values
    }
    legend = ("of 100, on a ninth:", *edge_lines(DENSE))
    return Smooth(rows, legend, bandwidth_says(kernels, len(placed), thing)), said, ""


def smooth_share(seen: Sequence[Seen], share: Share, zone: Zone) -> Smoothed:
    """Return a share of those it is asked of, smoothed: blank where too few are near."""
    placed = [one for one in seen if one.cell]
    if len(placed) < LEAST:
        return None, {}, too_few(len(placed), share.thing)
    kernels = Kernels.of(placed, zone)
    counted = np.array([float(share.counts(one)) for one in placed])
    near, value = kernels.near(*grid(zone), counted)
    rows = steps(np.where(near >= FEW, 100.0 * value, -1.0), _QUARTERS)
    near, value = kernels.near(*middles(zone), counted)
    said = {
        cell: _share_says(share, one, of)
        for cell, one, of in zip(CELLS, value.ravel().tolist(), near.ravel().tolist(), strict=True)
    }
    legend = ("in 100:", *edge_lines(_QUARTERS), f"blank: under {FEW} near")
    return Smooth(rows, legend, bandwidth_says(kernels, len(placed), share.thing)), said, ""


def _share_says(share: Share, value: float, near: float) -> str:
    if near < FEW:
        return f"Smoothed: too few {plural(share.thing)} near to say."
    low, high = wilson(value * near, near)
    return (
        f"Smoothed: about {in_100(value)} here ({span(low, high)}); what is near counts as "
        f"{many(round(near), share.thing)} at this very place."
    )


def bandwidth_says(kernels: Kernels, n: int, thing: str) -> str:
    """Say how wide the kernel is and on how many it rests."""
    side, height = kernels.bandwidth
    return f"Smoothed from {many(n, thing)}: bandwidth {side:.1f} in across, {height:.1f} in up."


def too_few(n: int, thing: str) -> str:
    """Say that there are too few to smooth."""
    return f"{many(n, thing)} with a place: under {LEAST} nothing is smoothed."
