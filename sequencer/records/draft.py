"""What is typed of a pitch so far, and what a key can make of it: a pitch, a command."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sequencer.baseball.pitches import TYPES
from sequencer.records.pitch import Pitch

#: Sign digits before a pitcher sets his own. Common practice for 1 to 4, no source.
DEFAULT_SIGNS: Final[Mapping[str, str]] = {
    "1": "fastball",
    "2": "curveball",
    "3": "slider",
    "4": "changeup",
    "5": "two-seam",
    "6": "cutter",
    "7": "splitter",
    "8": "knuckleball",
    "9": "other",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """The call on the screen: type, target in the catcher's frame, and its words for the log."""

    pitch: str
    target: str
    words: str


@dataclass(frozen=True)
class Draft:
    """The pitch in progress.

    Attributes
    ----------
    signs : Mapping[str, str]
        The pitcher's sign digits -> pitch types.
    shown : Shown or None
        The call on the screen, None while there is none to see.
    fields : Mapping[str, Any]
        Fields of the pitch said so far.
    pending : tuple of str
        A command half typed: its prefix and what followed.
    note : str
        What to tell the person about the last key, empty when it did what it says.
    before : Draft or None
        The draft before the last key, for taking it back.
    bats : str
        The side of who is up, "" when not known: where a ball in play went is told by it.
    """

    signs: Mapping[str, str] = field(default_factory=lambda: DEFAULT_SIGNS)
    shown: Shown | None = None
    fields: Mapping[str, Any] = field(default_factory=dict)
    pending: tuple[str, ...] = ()
    note: str = ""
    before: "Draft | None" = field(default=None, repr=False, compare=False)
    bats: str = ""

    @property
    def empty(self) -> bool:
        """Whether nothing is typed."""
        return not self.fields and not self.pending

    @property
    def meant(self) -> Mapping[str, Any]:
        """The fields as they are meant: a pitch said to be as called was of the type called."""
        called = self.fields.get("called")
        return {"pitch": called, **self.fields} if called else self.fields

    def cleared(self) -> "Draft":
        """Return an empty draft of the same pitcher and call."""
        return Draft(self.signs, self.shown, bats=self.bats)


@dataclass(frozen=True, slots=True)
class Command:
    """Something other than a pitch: its name, what was said with it, and the draft that stays."""

    name: str
    said: Mapping[str, Any]
    draft: Draft


@dataclass(frozen=True, slots=True)
class Done:
    """A finished pitch, what to do before it (a hitter's number typed and not ended), a note."""

    pitch: Pitch
    first: Command | None = None
    note: str = ""


Fed = Draft | Done | Command


def default_signs(arsenal: Iterable[str]) -> dict[str, str]:
    """Return sign digits for what a pitcher throws: 1 his fastball, then the usual digits.

    Parameters
    ----------
    arsenal : iterable of str
        Pitch types he throws, most thrown first; the first fast one becomes sign 1.
    """
    thrown = [pitch for pitch in arsenal if pitch in TYPES]
    signs = dict(DEFAULT_SIGNS)
    fast = [pitch for pitch in thrown if TYPES[pitch] == "fast"]
    if fast:
        signs["1"] = fast[0]
    for digit, pitch in (("2", "breaking ball"), ("4", "off-speed")):
        if pitch in thrown and DEFAULT_SIGNS[digit] not in thrown:
            signs[digit] = pitch
    if "four-seam" in thrown and signs["1"] != "four-seam":
        signs[next(d for d, p in signs.items() if p == fast[0] and d != "1")] = "four-seam"
    return signs
