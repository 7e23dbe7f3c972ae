"""The words of one pitch: types and families, results, plays, and what an observer can note."""

from types import MappingProxyType
from typing import Final, Literal

Family = Literal["fast", "breaking", "off-speed", "unknown"]

#: Pitch type -> family. Coarse chart words (fastball, breaking ball, off-speed) are types too.
TYPES: Final = MappingProxyType[str, Family](
    {
        "fastball": "fast",
        "four-seam": "fast",
        "two-seam": "fast",
        "cutter": "fast",
        "changeup": "off-speed",
        "curveball": "breaking",
        "slider": "breaking",
        "splitter": "off-speed",
        "knuckleball": "off-speed",
        "breaking ball": "breaking",
        "off-speed": "off-speed",
        "other": "unknown",
        "unknown": "unknown",
    }
)
#: The three families a hitter can look for, in the order every array uses.
FAMILIES: Final[tuple[Family, ...]] = ("fast", "breaking", "off-speed")

RESULTS: Final = (
    "ball",
    "called strike",
    "swinging strike",
    "foul",
    "foul tip",
    "in play",
    "hit by pitch",
    "catcher's interference",
    "automatic ball",
    "automatic strike",
    "unknown",
)
PLAYS: Final = (
    "out",
    "double play",
    "triple play",
    "sacrifice bunt",
    "sacrifice fly",
    "fielder's choice",
    "error",
    "single",
    "double",
    "triple",
    "home run",
)
INTENTS: Final = ("pitch-out", "intentional ball")
THIRD_STRIKES: Final = ("caught", "dropped")
TIMINGS: Final = ("early", "on time", "late")
CONTACTS: Final = ("weak", "fair", "square")
FLIGHTS: Final = ("ground", "line", "fly", "pop")
SPRAYS: Final = ("pull", "middle", "opposite", "foul ground")
SEEN_FROM: Final = ("behind plate", "dugout", "video", "measured")
#: Results on which the hitter swung (a hit by pitch is a swing only when a swing was noted).
SWINGS: Final = frozenset({"swinging strike", "foul", "foul tip", "in play"})


def family(pitch: str) -> Family:
    """Return the family of a pitch type.

    Parameters
    ----------
    pitch : str
        A word of `TYPES`.

    Raises
    ------
    KeyError
        If the word is not a pitch type.
    """
    return TYPES[pitch]
