"""Hands and sides: which side a pitcher's hand favours, and a pitcher who has two."""

from typing import Final

#: Who throws with both hands, and who hits from both sides.
BOTH: Final = "S"


def same_side(throws: str, bats: str) -> bool:
    """Whether a pitcher throws from the side a hitter hits from.

    One who throws with both hands takes that one: common practice, no source.

    Parameters
    ----------
    throws : str
        R, L or S (both); "" where it is not known.
    bats : str
        R or L.
    """
    return throws in (BOTH, bats)
