"""The strike zone: hitter-relative words, the catcher's frame, inches, and how finely to aim.

Raw inches are the catcher's view: `side_in` from the middle of the plate, positive to the
catcher's right; `height_in` above the ground. A right-handed hitter stands on the catcher's left,
so what is in to him is left to the catcher.
"""

from math import pi
from typing import TYPE_CHECKING, Final, NamedTuple, overload

from sequencer.errors import BadInput

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

# Official Baseball Rules 2.02: the front of the plate is 17 inches wide.
PLATE_HALF_WIDTH_IN: Final = 8.5
# Official Baseball Rules 3.01: a ball is 9 to 9 1/4 inches around; the mean is used.
BALL_RADIUS_IN: Final = (9.0 + 9.25) / 2 / (2 * pi)
#: Half the width of the zone for the ball's centre: a ball that touches the plate is over it.
HALF_WIDTH_IN: Final = PLATE_HALF_WIDTH_IN + BALL_RADIUS_IN

ROWS: Final = ("above", "up", "belt", "down", "below")
COLUMNS: Final = ("off-in", "in", "middle", "away", "off-away")
CATCHER_COLUMNS: Final = ("off-left", "left", "middle", "right", "off-right")
#: What a bench can see of a pitch off the plate.
BENCH_WORDS: Final = ("above", "below", "off-in", "off-away", "unknown")

#: Beyond these a location is a slip of the pen, not a pitch (assumption).
MAP_SIDE_IN: Final = 60.0
MAP_HEIGHT_IN: Final = (-24.0, 120.0)

_HALVES: Final = ("in", "away", "high", "low")
_QUARTERS: Final = ("high-in", "high-away", "low-in", "low-away")
_SPOTS: Final = tuple(f"{row}-{column}" for row in ROWS[1:4] for column in COLUMNS[1:4])
_RING: Final = (
    "above-in",
    "above-middle",
    "above-away",
    *(f"{row}-{column}" for row in ROWS[1:4] for column in ("off-in", "off-away")),
    "below-in",
    "below-middle",
    "below-away",
)
_STEPS: Final = {
    "middle": ("middle",),
    "half": ("middle", *_HALVES),
    "quarter": ("middle", *_QUARTERS),
    "spot": _SPOTS,
    "ring": (*_SPOTS, *_RING),
}
#: How finely a target may be called, coarsest first.
LADDER: Final = tuple(_STEPS)

#: The 25 cells in hitter words.
CELLS: Final = tuple(f"{row}-{column}" for row in ROWS for column in COLUMNS)
#: Every word a target may be, in hitter words.
TARGETS: Final = ("middle", *_HALVES, *_QUARTERS, *CELLS)
#: Every word a cell may be, in hitter words: the 25 cells and what a bench can see.
CELL_WORDS: Final = (*CELLS, *BENCH_WORDS)
#: Every location word there is, in hitter words.
WORDS: Final = (*TARGETS, *BENCH_WORDS)

_TO_CATCHER: Final = {
    "R": {"in": "left", "away": "right"},
    "L": {"in": "right", "away": "left"},
}
_TO_HITTER: Final = {
    bats: {catcher: hitter for hitter, catcher in swap.items()}
    for bats, swap in _TO_CATCHER.items()
}

# Centres in (u, v): thirds of the zone reach from -1 to 1; a ring cell is as wide as a third.
_U_OF_COLUMN: Final = {
    "off-in": -4 / 3,
    "in": -2 / 3,
    "middle": 0.0,
    "away": 2 / 3,
    "off-away": 4 / 3,
}
_V_OF_ROW: Final = {"above": 4 / 3, "up": 2 / 3, "belt": 0.0, "down": -2 / 3, "below": -4 / 3}
_UV: Final = {
    "middle": (0.0, 0.0),
    "in": (-0.5, 0.0),
    "away": (0.5, 0.0),
    "high": (0.0, 0.5),
    "low": (0.0, -0.5),
    "high-in": (-0.5, 0.5),
    "high-away": (0.5, 0.5),
    "low-in": (-0.5, -0.5),
    "low-away": (0.5, -0.5),
    "above": (0.0, 4 / 3),
    "below": (0.0, -4 / 3),
    "off-in": (-4 / 3, 0.0),
    "off-away": (4 / 3, 0.0),
    **{
        f"{row}-{column}": (u, v)
        for row, v in _V_OF_ROW.items()
        for column, u in _U_OF_COLUMN.items()
    },
}


class Zone(NamedTuple):
    """Top and bottom of one hitter's zone, inches above the ground."""

    top_in: float
    bottom_in: float

    @property
    def middle_in(self) -> float:
        """Height of the middle of the zone, inches."""
        return (self.top_in + self.bottom_in) / 2

    @property
    def half_height_in(self) -> float:
        """Half the height of the zone, inches."""
        return (self.top_in - self.bottom_in) / 2

    @property
    def centre_half_height_in(self) -> float:
        """Half its height for the ball's centre, inches: a ball that touches the zone is in it.

        Models divide by it, as they do by `HALF_WIDTH_IN`; cells are thirds of the zone as named.
        """
        return self.half_height_in + BALL_RADIUS_IN


def zone_of(top_in: float, bottom_in: float) -> Zone:
    """Return a zone, or refuse a top that is not above the bottom.

    Raises
    ------
    BadInput
        If the edges are not 0 < bottom < top < 80 inches.
    """
    if not 0 < bottom_in < top_in < 80:
        raise BadInput(
            f"A strike zone from {bottom_in:g} to {top_in:g} inches cannot be: "
            "give the bottom and the top in inches above the ground."
        )
    return Zone(top_in, bottom_in)


def _swap(word: str, swaps: dict[str, str], known: frozenset[str], example: str) -> str:
    if word not in known:
        raise BadInput(f"'{word}' is not a place: use words such as {example}.")
    return "-".join(swaps.get(part, part) for part in word.split("-"))


def _side(bats: str) -> str:
    if bats not in _TO_CATCHER:
        raise BadInput(f"'{bats}' is not a hitter's side: use R or L.")
    return bats


_HITTER_KNOWN: Final = frozenset(WORDS)
_CATCHER_KNOWN: Final = frozenset(
    "-".join(_TO_CATCHER["R"].get(part, part) for part in word.split("-")) for word in WORDS
)


def to_catcher(word: str, bats: str) -> str:
    """Turn a hitter-relative place (``down-away``) into the catcher's frame (``down-right``).

    Parameters
    ----------
    word : str
        A word of `WORDS`; an empty word stays empty. A word already in the catcher's frame is
        returned as it is.
    bats : str
        R or L, the side he hits from.

    Raises
    ------
    BadInput
        If the word or the side is unknown.
    """
    side = _side(bats)
    if not word or word in _CATCHER_KNOWN:
        return word
    return _swap(word, _TO_CATCHER[side], _HITTER_KNOWN, "down-away or high-in")


def to_hitter(word: str, bats: str) -> str:
    """Turn a place in the catcher's frame (``down-right``) into hitter words (``down-away``).

    Parameters and errors as in `to_catcher`; a word already the hitter's is returned as it is.
    """
    side = _side(bats)
    if not word or word in _HITTER_KNOWN:
        return word
    return _swap(word, _TO_HITTER[side], _CATCHER_KNOWN, "down-right or high-left")


def targets(step: str) -> tuple[str, ...]:
    """Return the targets of one step of `LADDER`, in hitter words, the middle first or among them.

    Raises
    ------
    BadInput
        If the step is not on the ladder.
    """
    if step not in _STEPS:
        raise BadInput(f"'{step}' is no step of aiming: use one of {', '.join(LADDER)}.")
    return _STEPS[step]


def away_sign(bats: str) -> float:
    """Return +1 if away is the catcher's right (a right-handed hitter), -1 if it is his left."""
    return 1.0 if _side(bats) == "R" else -1.0


@overload
def normalise(side_in: float, height_in: float, zone: Zone, bats: str) -> tuple[float, float]: ...
@overload
def normalise(
    side_in: "Numbers", height_in: "Numbers", zone: Zone, bats: str
) -> "tuple[Numbers, Numbers]": ...
def normalise(side_in, height_in, zone, bats):  # type: ignore[no-untyped-def]
    """Turn catcher's inches into (u, v): u away from the middle, v up from it, 1 at each edge.

    Takes numbers or arrays of one shape; u counts from the hitter's side and allows for the
    ball's radius at the sides. The edges are of the zone as named, as cells are: what asks a model
    divides by `Zone.centre_half_height_in`.
    """
    u = away_sign(bats) * side_in / HALF_WIDTH_IN
    return u, (height_in - zone.middle_in) / zone.half_height_in


@overload
def denormalise(u: float, v: float, zone: Zone, bats: str) -> tuple[float, float]: ...
@overload
def denormalise(u: "Numbers", v: "Numbers", zone: Zone, bats: str) -> "tuple[Numbers, Numbers]": ...
def denormalise(u, v, zone, bats):  # type: ignore[no-untyped-def]
    """Turn (u, v) back into catcher's inches; numbers or arrays of one shape."""
    return away_sign(bats) * u * HALF_WIDTH_IN, zone.middle_in + v * zone.half_height_in


def check_location(side_in: float, height_in: float) -> None:
    """Refuse a location that is off the map.

    Raises
    ------
    BadInput
        If it is more than 60 inches from the middle of the plate, or not -24 to 120 inches high.
    """
    low, high = MAP_HEIGHT_IN
    if not (abs(side_in) <= MAP_SIDE_IN and low <= height_in <= high):
        raise BadInput(
            f"A pitch at {side_in:g} inches to the side and {height_in:g} inches up is off the "
            f"map: the side goes from -{MAP_SIDE_IN:g} to {MAP_SIDE_IN:g}, the height from "
            f"{low:g} to {high:g} inches."
        )


def cell_of(side_in: float, height_in: float, zone: Zone) -> str:
    """Return the cell, in the catcher's frame, a pitch crossed in (``down-right``).

    The zone is cut in thirds; what is outside it is above, below, off-left or off-right. An edge
    belongs to the cell nearer the middle.

    Raises
    ------
    BadInput
        If the location is off the map.
    """
    check_location(side_in, height_in)
    across = side_in / HALF_WIDTH_IN
    up = (height_in - zone.middle_in) / zone.half_height_in
    return f"{ROWS[4 - _fifth(up)]}-{CATCHER_COLUMNS[_fifth(across)]}"


def _fifth(value: float) -> int:
    """Return 0..4: beyond -1, to -1/3, the middle third, to 1, beyond 1."""
    size = abs(value)
    # Rounding must not push a pitch on the very edge off the plate.
    ring = 0 if size <= 1 / 3 + 1e-9 else 1 if size <= 1 + 1e-9 else 2
    return 2 + (ring if value > 0 else -ring)


def centre_of(word: str, zone: Zone) -> tuple[float, float]:
    """Return (side_in, height_in), catcher's view, of the centre of a place in the catcher's frame.

    A cell off the zone has its centre one third of the half zone beyond the edge.

    Raises
    ------
    BadInput
        If the word is no place in the catcher's frame, or is ``unknown``.
    """
    if word in _HITTER_KNOWN - _CATCHER_KNOWN:
        raise BadInput(f"'{word}' depends on the hitter's side: say where it is to the catcher.")
    # Away is the catcher's right for a right-handed hitter, so his words measure it unflipped.
    place = to_hitter(word, "R")
    if place not in _UV:
        raise BadInput(f"'{word}' is not a place that can be drawn: say a cell, half or quarter.")
    return denormalise(*_UV[place], zone, "R")


def target_uv(word: str) -> tuple[float, float]:
    """Return (u, v) of a place in hitter words, as in `normalise`.

    Raises
    ------
    BadInput
        If the word is no place in hitter words, or is ``unknown``.
    """
    if word not in _UV:
        raise BadInput(f"'{word}' is no place to aim at: use words such as down-away.")
    return _UV[word]


def aim_uv(word: str, zone: Zone) -> tuple[float, float]:
    """Return (u, v) of a place in hitter words as models have it: 1 where the ball only touches.

    Errors as in `target_uv`.
    """
    u, v = target_uv(word)
    return u, v * zone.half_height_in / zone.centre_half_height_in
