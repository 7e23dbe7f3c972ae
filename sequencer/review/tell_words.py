"""How tells, types and counts of them are said."""

from typing import Final

#: Types whose plural is not the word and an s.
_PLURALS: Final = {"off-speed": "off-speed pitches", "other": "of his other pitches"}


def told(tell: str) -> str:
    """Return a tell as a sentence begins with it."""
    return tell[:1].upper() + tell[1:]


def plural(pitch: str) -> str:
    """Return several pitches of a type."""
    return _PLURALS.get(pitch, f"{pitch}s")


def others(number: int) -> str:
    """Return a number of the pitcher's other pitches."""
    return f"{number} other pitch{'' if number == 1 else 'es'}"


def needs_more(number: int, pitch: str) -> str:
    """Say how many more of a type have to be watched, rounded as one would say it."""
    rounded = number if number <= 10 else 5 * -(-number // 5)
    many = pitch if rounded == 1 else plural(pitch)
    return f"needs about {rounded} more {many} watched."
