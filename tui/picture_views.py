"""What pictures of the zone hold: cells with a sentence each, shades, the pitches behind.

Frozen and free of libraries: the thinker makes them, the picture screen draws them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

from tui.views import ZoneView

#: What is counted: what a hitter did with pitches, or where pitches went.
Counted = Literal["hitter", "thrown"]
#: Of 100 pitches of a plan, how many in a cell turn it a shade darker (a chosen scale).
CALL_EDGES: Final = (2, 5, 10, 20)


class Seen(NamedTuple):
    """One pitch of a picture.

    Attributes
    ----------
    cell : str
        Where it crossed, as the catcher saw it; "" when nobody saw it.
    kind : str
        By what pitches are parted: a family, a type.
    side_in, height_in : float or None
        Catcher's inches, where they were measured.
    result, contact : str
    line : str
        The pitch as a line of a list.
    asked : str
        The cell in the middle of where it was asked for, as the catcher saw it; "" where nobody
        charted that.
    """

    cell: str
    kind: str = ""
    side_in: float | None = None
    height_in: float | None = None
    result: str = ""
    contact: str = ""
    line: str = ""
    asked: str = ""


@dataclass(frozen=True, slots=True)
class PicturesAsked:
    """What pictures are asked for.

    Attributes
    ----------
    title : str
    counted : {"hitter", "thrown"}
    seen : tuple of Seen
    top_in, bottom_in : float
    bats : str
        R or L; "" where pitches are to both sides: left and right are then the catcher's.
    numbered : ZoneView or None
        Single pitches by number, a picture of their own before the others.
    numbered_title : str
    numbered_of : int
        How many of the last pitches those are.
    note : str
        What must be said of how the others are drawn.
    thing : str
        What one of them is called.
    """

    title: str
    counted: Counted
    seen: tuple[Seen, ...]
    top_in: float
    bottom_in: float
    bats: str = ""
    numbered: ZoneView | None = None
    numbered_title: str = ""
    numbered_of: int = 0
    note: str = ""
    thing: str = "pitch"


@dataclass(frozen=True, slots=True)
class Cell:
    """What is said of one cell: counted, smoothed, and the pitches behind it (their places)."""

    says: str
    smooth: str = ""
    pitches: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Smooth:
    """A smoothed picture.

    Attributes
    ----------
    rows : tuple of str
        A digit, the step of its shade, for each point of a fine grid, the highest row first.
    legend : tuple of str
        A line for each shade.
    says : str
        Its bandwidth and what it rests on.
    """

    rows: tuple[str, ...]
    legend: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture.

    Attributes
    ----------
    title : str
        What is drawn.
    of : str
        Of which pitches.
    zone : ZoneView
    legend : tuple of str
        A line for each shade.
    rests_on : str
        Sentences on how much or little it rests on.
    cells : mapping of cell -> Cell
    smooth : Smooth or None
    not_smooth : str
        Why it is not smoothed.
    nothing : str
        What is said of a cell without pitches, after its name.
    """

    title: str
    of: str
    zone: ZoneView
    legend: tuple[str, ...] = ()
    rests_on: str = ""
    cells: Mapping[str, Cell] = field(default_factory=dict)
    smooth: Smooth | None = None
    not_smooth: str = ""
    nothing: str = "no pitch of these."


@dataclass(frozen=True, slots=True)
class PictureSet:
    """Pictures to go through, and the pitches behind them, a line each."""

    title: str
    pictures: tuple[Picture, ...]
    pitches: tuple[str, ...] = ()
