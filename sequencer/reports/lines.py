"""Lines that several pages share: sentences wrapped, and a bar for what is believed of a trait."""

from collections.abc import Iterable
from textwrap import wrap
from typing import Final

WIDTH: Final = 80
#: How many spreads of a level a bar reaches to either side.
_REACH: Final = 2.5


def sentence(words: str) -> str:
    """Return words with a capital and a full stop."""
    return words[:1].upper() + words[1:] + ("" if words.endswith(".") else ".")


def indented(sentences: Iterable[str]) -> list[str]:
    """Return sentences wrapped into lines of a page, two columns in."""
    return [
        line
        for words in sentences
        for line in wrap(
            words[:1].upper() + words[1:],
            WIDTH,
            initial_indent="  ",
            subsequent_indent="  ",
            break_on_hyphens=False,
        )
    ]


def bar(mean: float, sd: float, width: int, pen: str = "-|+o") -> str:
    """Return a bar for a trait, in spreads of a level.

    Parameters
    ----------
    mean, sd : float
    width : int
        Columns, an odd number.
    pen : str
        How unsure it is, the usual hitter, both at once, and where he is believed to be.
    """
    unsure, usual, both, here = tuple(pen)
    middle = width // 2

    def column(x: float) -> int:
        return min(max(round(middle + x / _REACH * middle), 0), width - 1)

    cells = [" "] * width
    for at in range(column(mean - sd), column(mean + sd) + 1):
        cells[at] = unsure
    cells[middle] = both if cells[middle] == unsure else usual
    cells[column(mean)] = here
    return "".join(cells)
