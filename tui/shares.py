"""What is counted on a picture of the zone, and how counts and shares are said."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final, NamedTuple

from sequencer.baseball.pitches import SWINGS
from sequencer.baseball.zone import CATCHER_COLUMNS, ROWS, Zone, cell_of, centre_of, to_catcher
from sequencer.records.sentences import place_words
from tui.picture_views import Seen

#: Fewer in a cell than this have no shade, only their numbers: of four the interval of a share is
#: at least 49 points wide (assumption).
FEW: Final = 4
SHADES: Final = " ░▒▓█"
#: Words of a bench -> the cell they are drawn in.
_BENCH: Final = {
    "above": "above-middle",
    "below": "below-middle",
    "off-left": "belt-off-left",
    "off-right": "belt-off-right",
}
#: Cells of a picture, row by row.
CELLS: Final = tuple(f"{row}-{column}" for row in ROWS for column in CATCHER_COLUMNS)


class Share(NamedTuple):
    """What is counted of which pitches: its title, words for both, the two questions."""

    title: str
    said: str
    thing: str
    of: Callable[[Seen], bool]
    counts: Callable[[Seen], bool]


def _swing(one: Seen) -> bool:
    return one.result in SWINGS


#: What a hitter does with pitches.
SHARES: Final = (
    Share("swings", "swung at", "pitch", lambda one: True, _swing),
    Share("misses", "missed", "swing", _swing, lambda one: one.result == "swinging strike"),
    Share(
        "hard contact",
        "hit square",
        "ball put in play",
        lambda one: one.result == "in play" and bool(one.contact),
        lambda one: one.contact == "square",
    ),
)


def cell_in_view(row: Mapping[str, Any], zone: Zone) -> str:
    """Return the cell a pitch crossed in, as the catcher saw it; "" when nobody saw it."""
    side, height = row.get("side_in"), row.get("height_in")
    if side is not None and height is not None:
        cell = cell_of(float(side), float(height), zone)
    else:
        cell = to_catcher(row["cell"] or "", row["bats"] or "R")
    return _BENCH.get(cell, "" if cell == "unknown" else cell)


def asked_cell(target: str | None, bats: str | None, zone: Zone) -> str:
    """Return the cell in the middle of a target as the catcher saw it, "" for no target."""
    if not target:
        return ""
    return cell_of(*centre_of(to_catcher(target, bats or "R"), zone), zone)


def named(cell: str, bats: str) -> str:
    """Return a cell in words that begin a sentence; the hitter's where his side is known."""
    words = place_words(cell, bats)
    return words[:1].upper() + words[1:]


def many(n: int, thing: str) -> str:
    """Return how many of a thing in words."""
    return f"{n} {thing if n == 1 else plural(thing)}"


def plural(thing: str) -> str:
    """Return the plural of a thing that is counted here."""
    first, _, rest = thing.partition(" ")
    return f"{first}{'es' if first.endswith('ch') else 's'}{' ' if rest else ''}{rest}"


def in_100(share: float) -> str:
    """Return a share of 100."""
    return f"{100 * share:.0f} in 100"


def span(low: float, high: float) -> str:
    """Return an interval of shares of 100."""
    return f"{100 * low:.0f} to {100 * high:.0f}"


def edges_in_a_line(edges: Sequence[float]) -> str:
    """Return a legend in a line: each shade and from how many of 100 on."""
    return " ".join(f"{SHADES[step]}{edge:.0f}+" for step, edge in enumerate(edges, 1))


def edge_lines(edges: Sequence[int]) -> Iterator[str]:
    """Yield a line of a legend for each shade, from the first edge on."""
    for step, (first, after) in enumerate(zip(edges, [*edges[1:], 0], strict=True), 1):
        yield f"{SHADES[step]} {first} to {after}" if after else f"{SHADES[step]} {first} and more"
