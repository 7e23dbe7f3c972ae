"""The count: what each result does to it, and the names coaches give to counts."""

from typing import Final, Literal, NamedTuple

from sequencer.errors import BadInput

End = Literal[
    "",
    "walk",
    "strikeout",
    "hit by pitch",
    "in play",
    "catcher's interference",
]


class Count(NamedTuple):
    """Balls and strikes before a pitch."""

    balls: int
    strikes: int

    def __str__(self) -> str:
        return f"{self.balls}-{self.strikes}"

    @property
    def legal(self) -> bool:
        """True for the twelve counts a pitch can be thrown on."""
        return 0 <= self.balls <= 3 and 0 <= self.strikes <= 2


class Step(NamedTuple):
    """What a pitch led to: the count of the next pitch, or how the at-bat ended.

    When `end` is not empty the at-bat is over and `count` is the one it ended on.
    """

    count: Count  # type: ignore[assignment]  # the tuple method of this name is never wanted
    end: End


START: Final = Count(0, 0)
#: The counts an at-bat may begin with; leagues short of time begin at 1-1.
STARTS: Final = (Count(0, 0), Count(1, 1))
COUNTS: Final = tuple(Count(balls, strikes) for balls in range(4) for strikes in range(3))

# Names of counts: common practice, no source.
HITTERS_COUNTS: Final = (Count(1, 0), Count(2, 0), Count(3, 0), Count(2, 1), Count(3, 1))
PITCHERS_COUNTS: Final = (Count(0, 1), Count(0, 2), Count(1, 2))
EVEN: Final = (Count(0, 0), Count(1, 1), Count(2, 2))
FULL: Final = (Count(3, 2),)
COUNT_GROUPS: Final = {
    "hitter's": HITTERS_COUNTS,
    "pitcher's": PITCHERS_COUNTS,
    "even": EVEN,
    "full": FULL,
}
#: Rows of a printed card: they do not overlap and together hold all twelve counts.
CARD_ROWS: Final = {
    "first pitch": (Count(0, 0),),
    "ahead or even": (Count(0, 1), Count(1, 1)),
    "behind": (Count(1, 0), Count(2, 0), Count(2, 1)),
    "need a strike": (Count(3, 0), Count(3, 1)),
    "two strikes": (Count(0, 2), Count(1, 2), Count(2, 2)),
    "full": FULL,
}
_ROW_OF: Final = {count: row for row, counts in CARD_ROWS.items() for count in counts}
_GROUP_OF: Final = {count: group for group, counts in COUNT_GROUPS.items() for count in counts}

_BALLS: Final = frozenset({"ball", "automatic ball"})
_STRIKES: Final = frozenset({"called strike", "swinging strike", "foul tip", "automatic strike"})


def legal(balls: int, strikes: int) -> Count:
    """Return the count, or refuse one no pitch can be thrown on.

    Raises
    ------
    BadInput
        If balls are not 0 to 3 or strikes not 0 to 2.
    """
    count = Count(balls, strikes)
    if not count.legal:
        raise BadInput(f"There is no count {count}: balls go from 0 to 3, strikes from 0 to 2.")
    return count


def parse(text: str) -> Count:
    """Read a count such as ``2-1`` (balls, then strikes).

    Raises
    ------
    BadInput
        If the text is not two numbers with a dash between, or the count does not exist.
    """
    balls, dash, strikes = (part.strip() for part in text.partition("-"))
    if not (dash and balls.isascii() and balls.isdigit() and strikes.isascii()) or (
        not strikes.isdigit()
    ):
        raise BadInput(f"'{text}' is not a count: write balls, a dash and strikes, such as 2-1.")
    return legal(int(balls), int(strikes))


def after(count: Count, result: str, *, bunt: bool = False, swung: bool = False) -> Step:
    """Say what a pitch's result does to the count.

    Official Baseball Rules, definitions of terms and 5.09(a): a foul with two strikes keeps the
    count, a bunted one is a strikeout; a foul tip is a strike whatever the count; a pitch that
    hits a hitter who swings at it is a strike.

    Parameters
    ----------
    count : Count
        The count the pitch was thrown on.
    result : str
        A word of `pitches.RESULTS`; "unknown" leaves the count as it is.
    bunt, swung : bool
        The hitter offered a bunt; he swung (needed only for a hit by pitch).

    Raises
    ------
    BadInput
        If the count or the result does not exist.
    """
    legal(*count)
    if result == "hit by pitch":
        return _strike(count) if swung else Step(count, "hit by pitch")
    if result in _BALLS:
        return _ball(count)
    if result in _STRIKES:
        return _strike(count)
    if result == "foul":
        return _strike(count) if bunt or count.strikes < 2 else Step(count, "")
    if result == "in play":
        return Step(count, "in play")
    if result == "catcher's interference":
        return Step(count, "catcher's interference")
    if result == "unknown":
        return Step(count, "")
    raise BadInput(f"'{result}' is not the result of a pitch: use one of the listed result words.")


def _ball(count: Count) -> Step:
    if count.balls == 3:
        return Step(count, "walk")
    return Step(Count(count.balls + 1, count.strikes), "")


def _strike(count: Count) -> Step:
    if count.strikes == 2:
        return Step(count, "strikeout")
    return Step(Count(count.balls, count.strikes + 1), "")


def card_row(count: Count) -> str:
    """Return the row of the card this count is read from, such as ``behind``."""
    return _ROW_OF[Count(*count)]


def group(count: Count) -> str:
    """Return ``hitter's``, ``pitcher's``, ``even`` or ``full``."""
    return _GROUP_OF[Count(*count)]
