"""The draw: a ready-made random order of calls, so that nobody thinks one up behind the plate.

Every cell is drawn on its own from its row's tenths, so what has been called tells nothing of what
comes next beyond the tenths themselves. That holds as long as each hitter has cells of his own and
the draw is made anew for every game: a card kept for a second game can be written down and read.
"""

import hashlib
from types import MappingProxyType
from typing import Final

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.mix import TENTHS, Card

#: Columns of a printed draw: the hitter's first to fourth time up.
TIMES_UP: Final = 4
#: Every tenth of a draw's random number is one of this many.
_STEPS: Final = 2**64

#: Row of the card -> which of the row's calls, by time up: 0 is the one called most.
Draw = MappingProxyType[str, tuple[int, ...]]


def draw(card: Card, *, hitter: str, game: str, seed: int = 0, times_up: int = TIMES_UP) -> Draw:
    """Draw the order of a hitter's calls for one game.

    The same seed, game and hitter give the same draw on every machine.

    Parameters
    ----------
    card : Card
        His own, or one he shares.
    hitter : str
        Who he is: hitters of one card have draws of their own.
    game : str
        Which game it is for; another gives another draw.
    seed : int
    times_up : int
        Columns.

    Returns
    -------
    mapping of card row -> (times_up,) places among `card.rows[row]`.
    """
    return MappingProxyType(
        {
            row: tuple(
                _place(
                    [tenths for _, tenths in card.rows[row]],
                    _tenth(str(seed), game, hitter, row, str(column)),
                )
                for column in range(times_up)
            )
            for row in CARD_ROWS
        }
    )


def cell(drawn: Draw, row: str, time_up: int, repeat: int = 0) -> int:
    """Return which of a row's calls comes next.

    Parameters
    ----------
    drawn : Draw
    row : str
    time_up : int
        1 for his first time up; after the last column the first comes again.
    repeat : int
        How often the row has been used in this at-bat: each moves one column right.
    """
    places = drawn[row]
    return places[(time_up - 1 + repeat) % len(places)]


def _tenth(*key: str) -> int:
    """Return 0 to 9, each equally likely, from words; alike on every machine.

    Parts are told apart by their lengths, or two hitters might share one key.
    """
    text = "".join(f"{len(part)}:{part}" for part in key)
    number = int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")
    return number * TENTHS // _STEPS


def _place(tenths: list[int], tenth: int) -> int:
    """Return the call of a row that a tenth, 0 to 9, falls on."""
    for place, share in enumerate(tenths):
        if tenth < share:
            return place
        tenth -= share
    raise ValueError("the row's tenths do not make up ten")  # pragma: no cover - cards always do
