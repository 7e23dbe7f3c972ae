"""The set list of a bullpen: what a review sent there, one line of the bullpen's note each.

A line reads `2 x changeup low-away, fastball in | pair drill | what to do, in words`; whatever
else a note says stays words and is no set.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sequencer.baseball.pitches import TYPES
from sequencer.baseball.zone import TARGETS
from sequencer.review.fixes import SETS, THROWS, Fix

#: Throws in a set when the list does not say: as practice of a habit has it.
USUAL_SET: Final = THROWS
_LINE: Final = re.compile(r"(\d+) x ([^|]*)\| ([^|]*)\|(.*)")


@dataclass(frozen=True, slots=True)
class Step:
    """Some sets of the list.

    Attributes
    ----------
    sets : int
    throws : tuple of (pitch, target)
        One set, in order, targets in hitter words; empty where the words alone say what to do.
    drill : str
    says : str
    """

    sets: int
    throws: tuple[tuple[str, str], ...]
    drill: str
    says: str

    @property
    def line(self) -> str:
        """The step as a line of a note."""
        throws = ", ".join(f"{pitch} {target}" for pitch, target in self.throws)
        return f"{self.sets} x {throws} | {self.drill} | {' '.join(self.says.split())}"

    @property
    def here(self) -> str:
        """What to do in the bullpen; what to change in games is left out."""
        return self.says.partition(" In games:")[0].removeprefix("Bullpen: ")


def step_of(fix: Fix) -> Step:
    """Return what a habit's cure asks for in a bullpen."""
    return Step(fix.sets, fix.throws, fix.drill, fix.says)


def in_words(says: str) -> Step:
    """Return a step of words alone, such as the cure of a tell."""
    return Step(SETS, (), "", says)


def steps_of(note: str) -> tuple[Step, ...]:
    """Read the steps of a note, in order."""
    found = (_LINE.fullmatch(line.strip()) for line in note.splitlines())
    return tuple(
        Step(int(m[1]), tuple(_throws(m[2])), m[3].strip(), m[4].strip())
        for m in found
        if m and int(m[1]) > 0
    )


def _throws(words: str) -> Iterable[tuple[str, str]]:
    for part in words.split(","):
        pitch, _, target = part.strip().rpartition(" ")
        if pitch in TYPES and target in TARGETS:
            yield pitch, target


def at_set(steps: Iterable[Step], set_no: int) -> tuple[int, Step | None]:
    """Return which step a set belongs to, and the step; past the list there is none."""
    before = 0
    for place, step in enumerate(steps):
        before += step.sets
        if set_no <= before:
            return place, step
    return -1, None
