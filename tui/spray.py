"""Where a hitter hit the ball: the field seen from home in three parts, ground balls apart."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, Final

from sequencer.review.statistics import wilson
from tui.picture_views import FIELD_PARTS, HEIGHTS, Field
from tui.shares import FEW, span

Row = Mapping[str, Any]
#: Positions, as a scorer numbers fielders, by the part of the field where they stand (common
#: practice, no source: who came first to a ball says where it went).
_STANDS: Final = {
    on: part for part, ons in zip(FIELD_PARTS, ("567", "128", "349"), strict=True) for on in ons
}
_PULLED: Final = {"R": "left", "L": "right"}


def field_of(rows: Sequence[Row], bats: str) -> Field:
    """Return where the balls went that a hitter put in play.

    Parameters
    ----------
    rows : sequence of dict
        Pitches he saw from one side, columns of the pitch log.
    bats : str
        That side.
    """
    played = [row for row in rows if row["result"] == "in play"]
    fair = [row for row in played if row["spray"] != "foul ground"]
    went = Counter((part, how_of(row)) for row in fair if (part := part_of(row, bats)))
    return Field(went, len(played) - len(fair), len(played), bats)


def by_side(rows: Sequence[Row]) -> tuple[Field, ...]:
    """Return where the balls went from each side that he hit from, the right one first."""
    sides = (side for side in _PULLED if any(row["bats"] == side for row in rows))
    return tuple(field_of([row for row in rows if row["bats"] == side], side) for side in sides)


def part_of(row: Row, bats: str) -> str:
    """Return the part of the field a ball went to: as said, else by who fielded it; "" unknown."""
    pulled = _PULLED.get(bats, "")
    said = row["spray"] or ""
    if said == "middle":
        return said
    if said in ("pull", "opposite") and pulled:
        return pulled if said == "pull" else _PULLED["L" if bats == "R" else "R"]
    return "" if said else _STANDS.get((row.get("fielders") or "")[:1], "")


def how_of(row: Row) -> str:
    """Return how a ball went: as said, else by an out's fielders; "" where neither tells.

    An out of one fielder was caught, one of a throw was fielded on the ground (common practice, no
    source); a first baseman alone may have stepped on the bag.
    """
    flight, by = row.get("flight") or "", row.get("fielders") or ""
    if flight:
        return HEIGHTS[flight == "ground"]
    if not by or row["play"] not in ("out", "sacrifice fly"):
        return ""
    return HEIGHTS[1] if "-" in by else "" if by == "3" else HEIGHTS[0]


def where_hit(field: Field) -> str:
    """Say what the picture rests on and where most went, with the interval of its share."""
    if not field.in_play:
        return "Where he hit it: nothing in play yet."
    of = f"{field.told} of {field.in_play} in play told"
    if field.told < FEW:
        return f"Where he hit it: {of}, too few to shade."
    most = max(FIELD_PARTS, key=field.to)
    between = span(*wilson(field.to(most), field.told))
    foul = f" {field.foul} in foul ground." if field.foul else ""
    unsaid = field.told - field.drawn
    rest = f" Of {unsaid} it is not known how they went." if unsaid else ""
    to = f"{field.to(most)} to {_named(most, field.bats)}, {between} in 100"
    return f"Where he hit it: {of}, {to}.{foul}{rest}"


def _named(part: str, bats: str) -> str:
    """Return a part in words, with what it is to him."""
    if part == "middle" or bats not in _PULLED:
        return f"the {part}"
    return f"the {part} (he {'pulls' if _PULLED[bats] == part else 'goes the other way'})"


def table(field: Field) -> tuple[str, ...]:
    """Return every part's balls with the interval of its share of all that are drawn."""
    if not field.drawn:
        return ()
    names = {part: _heading(part, field.bats) for part in FIELD_PARTS}
    head = "".join(f"{names[part]:>18}" for part in FIELD_PARTS)
    lines = [f"{f'{field.drawn} of {field.in_play} in play':<18}{head}"]
    for how in HEIGHTS:
        cells = (field.counts.get((part, how), 0) for part in FIELD_PARTS)
        shares = "".join(f"{f'{n}, {span(*wilson(n, field.drawn))}':>18}" for n in cells)
        lines.append(f"{how:<18}{shares}")
    return (*lines, "Balls known in both, and between what their share of 100 lies.")


def _heading(part: str, bats: str) -> str:
    if part == "middle" or bats not in _PULLED:
        return part
    return f"{part} ({'pull' if _PULLED[bats] == part else 'opposite'})"
