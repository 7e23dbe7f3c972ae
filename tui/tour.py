"""A short tour of the places on demo data: a strip of words over the keys, which never blocks."""

from typing import Final, NamedTuple

from textual.widgets import Static

from sequencer.records.keymaps import Keymap


class Step(NamedTuple):
    """One step: the place it is told in, and its words; a name in braces is that key."""

    place: str
    says: str


STEPS: Final = (
    Step(
        "games",
        "These are games of invented clubs; nothing you do on the tour is kept. Each place has an "
        "F key below, F1 is help for it. Every key works while the tour is on.",
    ),
    Step(
        "scouting",
        "The evening before: mark what you saw of a hitter with 1 2 3, or fast with q, his number "
        "and a letter. The sentences say what sets him apart and how surely.",
    ),
    Step(
        "plan",
        "Calls for each count with their shares in 100, solved against a hitter who replies best. "
        "+ and - trust the book more or less; y says why; k writes the catcher's card.",
    ),
    Step(
        "dugout",
        "Log a pitch: {fastball} the sign, {place} where, {result} what it was; the result alone "
        "is enough. {undo} takes it back. Count, outs, bases and order keep themselves.",
    ),
    Step(
        "review",
        "After the game: which habits another dugout could read, the pitches behind each, what "
        "they are worth, and what to practise.",
    ),
    Step(
        "games",
        "Ctrl+P finds any command, player or game, and reads a file in (import FILE). n here makes "
        "your first game. F9 takes you back to your own book.",
    ),
)
_KEYS: Final = "F8 goes on, F9 ends the tour."


def step_words(at: int, keymap: Keymap) -> str:
    """Return what the strip says at a step, with the keys of the map in use."""
    said = STEPS[at].says.format(
        fastball="1",
        place=keymap.key("place", "belt-middle"),
        result=keymap.key("result", "ball"),
        undo=keymap.key("command", "undo"),
    )
    return f"Tour {at + 1} of {len(STEPS)}. {said} {_KEYS}"


class TourStrip(Static):
    """The strip over a place's own keys; hidden while no tour is on."""

    DEFAULT_CSS = """
    TourStrip {
        layer: above; dock: bottom; height: auto; max-height: 4; margin-bottom: 1; padding: 0 1;
        background: $foreground; color: $background; display: none;
    }
    TourStrip:nocolor { text-style: reverse; }
    """

    def tell(self, words: str) -> None:
        """Show words, or nothing when there are none."""
        self.display = bool(words)
        self.update(words)
