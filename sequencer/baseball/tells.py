"""Tells: what an observer can see that gives the pitch away, and the words it is noted in.

Common practice, no source: the list is what coaches watch for. Words of one's own are as good; a
number behind a word (`glove height=31`) is a tell that was measured.
"""

import difflib
import math
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from sequencer.errors import BadInput

SOURCE: Final = "Common practice, no source"
#: How alike two words are before one is taken for a slip of the other (difflib's ratio; chosen
#: here: `glove flair` is `glove flares`, `glove` and `glove height` are two).
ALIKE: Final = 0.85


class Tell(NamedTuple):
    """One tell: its name, how it is noted, what to watch, other names, unit and limits.

    `how` is "seen" (noted where it was seen, and where it was watched for), "measured" (a number)
    or "counted" (a habit that the review finds in the log itself). `least` and `most` bound a
    measured one; outside them is a slip of the pen (assumptions, wider than any pitcher).
    """

    name: str
    how: Literal["seen", "measured", "counted"]
    watch: str
    also: tuple[str, ...] = ()
    unit: str = ""
    least: float = -math.inf
    most: float = math.inf
    source: str = SOURCE


_TABLE: Final = (
    Tell(
        "arm slows",
        "seen",
        "the arm eases up, most often on a change-up",
        ("slow arm", "slower arm", "arm slow", "arm slows down"),
    ),
    Tell(
        "body slows",
        "seen",
        "the whole delivery eases up",
        ("slow body", "slower body", "body slow", "slow delivery"),
    ),
    Tell(
        "digs in the glove",
        "seen",
        "the hand works for a grip: forearm or glove moves",
        ("digging", "digs", "digging in the glove", "dig"),
    ),
    Tell(
        "glove flares",
        "seen",
        "the glove opens wide while he grips",
        ("flare", "flares", "glove flare", "flared glove"),
    ),
    Tell("glove high", "seen", "the glove comes set higher than usual", ("high glove",)),
    Tell("glove low", "seen", "the glove comes set lower than usual", ("low glove",)),
    Tell("grip shows", "seen", "ball or fingers can be seen before he throws", ("shows the grip",)),
    Tell("arm slot drops", "seen", "the hand lets go lower than usual", ("low slot", "drops down")),
    Tell(
        "hump in the curve",
        "seen",
        "the ball jumps up out of the hand before it breaks",
        ("hump", "curve humps"),
    ),
    Tell("long hold", "seen", "he waits longer before he goes", ("holds longer", "longer hold")),
    Tell("quick tempo", "seen", "he works faster than usual", ("fast tempo",)),
    Tell("slow tempo", "seen", "he works slower than usual"),
    Tell(
        "catcher early",
        "seen",
        "the catcher moves before the pitcher does",
        ("catcher moves early", "catcher moving early", "catcher moves", "early catcher"),
    ),
    Tell(
        "long look",
        "seen",
        "a longer look at the card or for the sign",
        ("longer look", "longer look at the card", "long look at the card"),
    ),
    Tell("arm speed", "measured", "a grade, the same scale all season", (), "", 0, 100),
    Tell("glove height", "measured", "where the glove comes set", (), "in", 0, 96),
    Tell("hold", "measured", "from set to the first move", (), "s", 0, 60),
    Tell("tempo", "measured", "from the ball back to the first move", (), "s", 0, 180),
    Tell("time to plate", "measured", "from the first move to the mitt", (), "s", 0.4, 5),
    Tell("look at the card", "measured", "how long he looks for the call", (), "s", 0, 60),
    Tell(
        "no curve with a runner on third",
        "counted",
        "what he will not throw when it could get away; the review counts it in the log",
    ),
)
TELLS: Final = MappingProxyType({tell.name: tell for tell in _TABLE})
_ALSO: Final[Mapping[str, str]] = {
    word: tell.name for tell in _TABLE for word in (tell.name, *tell.also)
}


class Named(NamedTuple):
    """A word as it is counted: `name`, and whether it was taken for a slip of a known one."""

    name: str
    slip: bool


def named(word: str) -> Named:
    """Return the name a noted tell is counted under: of `TELLS`, or the word itself."""
    plain = re.sub(r"\s+", " ", word.strip()).lower()
    if plain in _ALSO:
        return Named(_ALSO[plain], False)
    near = difflib.get_close_matches(plain, list(_ALSO), n=1, cutoff=ALIKE)
    return Named(_ALSO[near[0]], True) if near else Named(plain, False)


def corrections(words: Iterable[str]) -> tuple[str, ...]:
    """Return a sentence for every word that is nearly one of the list, each once."""
    slips = {word: named(word) for word in dict.fromkeys(words)}
    return tuple(
        f"'{word}' is counted as '{meant.name}'." for word, meant in slips.items() if meant.slip
    )


def parse(text: str) -> tuple[str, float | None]:
    """Return a tell's word and its number, None for one that was only seen.

    Raises
    ------
    BadInput
        If there is a = without a word before it or a number behind it, or a measured tell of
        `TELLS` is outside its limits.
    """
    word, equals, number = (piece.strip() for piece in text.partition("="))
    if not equals:
        return word, None
    if not word:
        raise BadInput(f"'{text}' measures nothing; write it as glove height=31")
    try:
        value = math.nan if "_" in number else float(number)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput(f"'{number}' of the tell '{word}' is not a number; write {word}=1.5")
    tell = TELLS.get(named(word).name)
    if tell and not tell.least <= value <= tell.most:
        unit = f" {tell.unit}" if tell.unit else ""
        raise BadInput(
            f"the tell {tell.name}={value:g} cannot be; it is {tell.least:g} to {tell.most:g}{unit}"
        )
    return word, value


def list_of_tells() -> tuple[str, ...]:
    """Return a line for every tell, for help where tells are typed: its name and what to watch."""
    return tuple(
        f"{tell.name}{'=NUMBER' if tell.how == 'measured' else ''}: {tell.watch}"
        + (f" ({tell.unit})" if tell.unit else "")
        for tell in _TABLE
        if tell.how != "counted"
    )
