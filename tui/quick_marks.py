"""Marks by one letter while they take batting practice: his number, his marks, the next number."""

from typing import Final

#: Mark -> its letter: mnemonics of our own, digits left for the number, R and L for his side.
MARK_KEYS: Final = {
    "late on the fastball": "l",
    "out front on soft": "o",
    "sits fastball": "s",
    "first-pitch swinger": "f",
    "takes until a strike": "t",
    "swings at everything": "e",
    "good eye": "g",
    "chases low-away": "c",
    "climbs the ladder": "h",
    "expands with two strikes": "x",
    "shortens up with two strikes": "n",
    "spoils good pitches": "i",
    "pulls off": "z",
    "dives": "d",
    "crowds the plate": "w",
    "stands off the plate": "q",
    "ties up inside": "j",
    "extends": "v",
    "goes the other way": "y",
    "long swing": "a",
    "uppercut": "u",
    "chops down": "m",
    "bails on the curve": "b",
    "freezes on the curve": "r",
    "punishes the hanger": "k",
    "pull hitter": "p",
    "bunts and slaps": "B",
    "runs": "F",
}
_STEPS: Final = ("", "once", "some", "always")


def next_step(how_often: str) -> str:
    """Return how often comes after: nothing, once, some, always, nothing again."""
    return step(how_often, 1)


def step(how_often: str, by: int) -> str:
    """Return how often comes so many steps after (or before, when negative)."""
    return _STEPS[(_STEPS.index(how_often) + by) % len(_STEPS)]


def mark_lines() -> tuple[str, ...]:
    """Return every mark with its letter, two beside each other."""
    said = [f"{letter} {mark}" for mark, letter in MARK_KEYS.items()]
    half = (len(said) + 1) // 2
    beside = [*said[half:], ""][:half]
    return tuple(f"{a:<34}{b}".rstrip() for a, b in zip(said[:half], beside, strict=True))
