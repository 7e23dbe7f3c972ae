"""What pictures hold: the zone and the field, cells with a sentence each, the pitches behind.

Frozen and free of libraries: the thinker makes them, the picture screen draws them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

#: What is counted: what a hitter did with pitches, or where pitches went.
Counted = Literal["hitter", "thrown"]
#: Of 100 pitches of a plan, how many in a cell turn it a shade darker (a chosen scale).
CALL_EDGES: Final = (2, 5, 10, 20)


@dataclass(frozen=True, slots=True)
class Spot:
    """One pitch on the zone picture: catcher's inches, what is drawn, how loud."""

    side_in: float
    height_in: float
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class ZoneView:
    """A zone picture.

    Attributes
    ----------
    top_in, bottom_in : float
        The zone, inches above the ground.
    bats : str
        R or L draws the hitter's side; "" neither.
    spots : tuple of Spot
        Single pitches.
    cells : Mapping[str, tuple[int, str]]
        Cell in the catcher's frame -> step of its shade (0 none to 4), what is written on it.
    outline : tuple of (float, float)
        Points of a line drawn under the pitches, catcher's inches.
    legend : str
        What the shades stand for, in one short line; "" where there are none.
    """

    top_in: float = 41.0
    bottom_in: float = 19.0
    bats: str = ""
    spots: tuple[Spot, ...] = ()
    cells: Mapping[str, tuple[int, str]] = field(default_factory=dict)
    outline: tuple[tuple[float, float], ...] = ()
    legend: str = ""


#: Parts of the field as seen from home.
FIELD_PARTS: Final = ("left", "middle", "right")
#: How a ball went; the first is drawn farther out.
HEIGHTS: Final = ("in the air", "on the ground")
#: Sides of the plate in words.
SIDES: Final = {"R": "right", "L": "left"}


class Field(NamedTuple):
    """Where balls in play went.

    Attributes
    ----------
    counts : mapping of (part of the field, how it went or "") -> balls
    foul, in_play : int
        Caught in foul ground; all of them.
    bats : str
        The side he hit from: it says which part he pulls to.
    """

    counts: Mapping[tuple[str, str], int] = MappingProxyType({})
    foul: int = 0
    in_play: int = 0
    bats: str = ""

    @property
    def told(self) -> int:
        """Fair balls of which the part is known."""
        return sum(self.counts.values())

    def to(self, part: str) -> int:
        """Return the balls to a part."""
        return sum(n for (where, _), n in self.counts.items() if where == part)

    @property
    def drawn(self) -> int:
        """Fair balls of which it is known too how they went."""
        return sum(n for (_, how), n in self.counts.items() if how)


#: Of someone who has put nothing in play.
NO_FIELD: Final = Field()


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
