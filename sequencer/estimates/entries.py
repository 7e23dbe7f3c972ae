"""As what each pitch was entered: inches that a machine measured, a dot seen by eye, or a cell."""

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.blurred import ANYWHERE, cell, dot
from sequencer.estimates.places import (
    SEEN_ERROR_IN,
    numbers,
    played,
    relative,
    seen_from,
    words,
    zone_of_rows,
)

if TYPE_CHECKING:
    import pandas as pd

#: How a place was seen, in the order of `Entries.seen`.
SEEN_FROM: Final = tuple(SEEN_ERROR_IN)
_CODES: Final = {word: i for i, word in enumerate(SEEN_FROM)}


class Entries(NamedTuple):
    """As what pitches were entered, all of shape (n,).

    Attributes
    ----------
    u, v : zone halves of inches, hitter-relative; nan where there are none
    measured : whether a machine gave both
    column, row : where it stands in `blurred`'s arrays; of no use where it is measured
    seen : how it was seen, a number of `SEEN_FROM`
    """

    u: Floats
    v: Floats
    measured: Bools
    column: Ints
    row: Ints
    seen: Ints

    def take(self, which: Bools | Ints) -> "Entries":
        """Return the entries of a mask or index."""
        parts: list[Any] = [part[which] for part in self]
        return Entries(*parts)

    @property
    def unsure(self) -> int:
        """How many were seen by eye."""
        return int((~self.measured).sum())

    @property
    def lost(self) -> int:
        """How many have no place at all."""
        nowhere = (self.column == ANYWHERE) & (self.row == ANYWHERE)
        return int((nowhere & ~self.measured).sum())


def entries_of(frame: "pd.DataFrame", level_zone: Zone, bats: list[str]) -> Entries:
    """Return as what the pitches of a log were entered.

    Inches one way alone are better than a cell's; the cell says the rest.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log.
    level_zone : Zone
        The zone where the log does not say.
    bats : list of str
        Side each hitter hit from.
    """
    inches = np.column_stack([numbers(frame, "side_in"), numbers(frame, "height_in")])
    edges = played(zone_of_rows(frame, level_zone), level_zone)
    u, v = relative(inches, edges, bats).T
    seen = np.array([_CODES.get(word, _CODES[""]) for word in seen_from(frame)], dtype=np.intp)
    measured = (seen == _CODES["measured"]) & np.isfinite(u) & np.isfinite(v)
    if measured.all():
        return Entries(u, v, measured, seen, seen, seen)
    places = zip(words(frame, "cell"), bats, strict=True)
    cells = np.array([cell(word, side) for word, side in places], dtype=np.intp).reshape(-1, 2)
    return Entries(u, v, measured, _dot_or(u, cells[:, 0]), _dot_or(v, cells[:, 1]), seen)


def _dot_or(x: Floats, otherwise: Ints) -> Ints:
    known = np.isfinite(x)
    return np.where(known, dot(np.where(known, x, 0.0)), otherwise)
