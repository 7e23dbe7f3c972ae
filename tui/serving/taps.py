"""The keys a tablet has no keyboard for, as buttons beside the terminal."""

from string import ascii_lowercase
from typing import Final, NamedTuple

from sequencer.baseball.zone import CATCHER_COLUMNS, ROWS
from sequencer.records.keymaps import RUNNER_KEYS, SWITCH_KEYS, Act, Keymap
from tui import keys

#: What a terminal sends for keys that are no character.
_SENDS: Final = {
    "space": " ",
    "backspace": "\x7f",
    "escape": "\x1b[27u",  # not the bare character: the next key would be taken for one with Alt
    "enter": "\r",
    "tab": "\t",
    "up": "\x1b[A",
    "down": "\x1b[B",
    "right": "\x1b[C",
    "left": "\x1b[D",
    "f1": "\x1bOP",
    "f2": "\x1bOQ",
    "f3": "\x1bOR",
    "f4": "\x1bOS",
    "f5": "\x1b[15~",
    "f6": "\x1b[17~",
    "f7": "\x1b[18~",
    "f8": "\x1b[19~",
    "f9": "\x1b[20~",
    "ctrl+p": "\x10",
}
#: Signs that have a button beside the place; seven to nine are among the digits.
_SIGNS: Final = {**dict.fromkeys("123456", ""), "0": "not seen"}
#: Commands that belong beside the pitch.
_AT_HAND: Final = ("draw", "undo")
#: Results so seldom that they stand with all else: beside the pitch they would cost a row of the
#: screen.
_SELDOM: Final = ("catcher's interference", "automatic ball", "automatic strike")
_MOVES: Final = ("up", "down", "left", "right", "tab", "space", "enter", "escape", "backspace")
_SHOWN: Final = {"space": "␣", "backspace": "⌫", "escape": "Esc"}
_EDITS: Final = {"back": "back", "clear": "clear"}


class Tap(NamedTuple):
    """A button: the characters it sends, its key and its word, where it lies in its group."""

    sends: str
    key: str
    says: str
    at: str = ""


class Group(NamedTuple):
    """Buttons that belong together."""

    name: str
    taps: tuple[Tap, ...]


class Panel(NamedTuple):
    """What is shown at once."""

    name: str
    groups: tuple[Group, ...]


def tap_panels(keymap: Keymap) -> tuple[Panel, ...]:
    """Return the panels of buttons: the pitch, everything else of the dugout, moving about.

    Parameters
    ----------
    keymap : Keymap
        The keys as the user has them; a button sends the key that does what it says.
    """
    signs = tuple(Tap(keymap.key("sign", n), n, says) for n, says in _SIGNS.items())
    commands = _of(keymap, "command")
    at_hand = tuple(tap for tap in commands if tap.says in _AT_HAND)
    others = tuple(tap for tap in commands if tap not in at_hand)
    results = _of(keymap, "result")
    seldom = tuple(tap for tap in results if tap.says in _SELDOM)
    pitch = (
        Group("signs", (*signs, *_of(keymap, "shown"), *_of(keymap, "edit"), *at_hand)),
        Group("place", _of(keymap, "place")),
        Group("results", tuple(tap for tap in results if tap not in seldom)),
    )
    more = (
        Group("acts", (*_of(keymap, "prefix"), *others)),
        Group("seldom", seldom),
        Group("notes", _of(keymap, "note")),
        Group("runners", _runner(keymap.key("prefix", "runner"))),
        Group("changes", _changes(keymap.key("prefix", "switch"))),
        Group("digits", tuple(Tap(d, d, "") for d in "123456789") + _sides()),
    )
    return Panel("Pitch", pitch), Panel("More", more), Panel("Go", _going())


def _runner(prefix: str) -> tuple[Tap, ...]:
    """Return what the lead runner does, both keys in one tap; one more prefix: the one behind."""
    events = RUNNER_KEYS.items()
    return tuple(
        Tap(prefix + key, f"{prefix} {key}", says.partition(",")[0]) for key, (_, says) in events
    )


def _changes(prefix: str) -> tuple[Tap, ...]:
    """Return who comes in and what else changes; a number after the prefix hits for who is up."""
    keys = SWITCH_KEYS.items()
    return tuple(
        Tap(prefix + key, f"{prefix} {key}", f"throws {key}" if what == "throws" else what)
        for key, (what, _) in keys
    )


def _sides() -> tuple[Tap, ...]:
    return (Tap("0", "0", ""), Tap("R", "R", "hits right"), Tap("L", "L", "hits left"))


def _going() -> tuple[Group, ...]:
    places = tuple(
        Tap(_SENDS[name], keys.first_key(key), key.short)
        for key in keys.keys_of(keys.EVERYWHERE)
        if key.short and (name := key.keys.split(",")[0])
    )
    moves = tuple(Tap(_SENDS[name], _SHOWN.get(name, name), "", name) for name in _MOVES)
    # Each place says which of these it takes; digits have their own group.
    taken = sorted({name for key in keys.KEYS if len(name := keys.first_key(key)) == 1})
    letters = tuple(
        Tap(letter, letter, "")
        for letter in dict.fromkeys((*ascii_lowercase, *taken))
        if not letter.isdigit()
    )
    return Group("places", places), Group("moves", moves), Group("letters", letters)


def _of(keymap: Keymap, kind: str) -> tuple[Tap, ...]:
    return tuple(
        Tap(_SENDS.get(key, key), _SHOWN.get(key, key), _word(act), _area(act))
        for key, act in keymap.acts.items()
        if act.kind == kind
    )


def _word(act: Act) -> str:
    """Return the word on a button; help says the whole."""
    if act.kind in ("prefix", "command"):
        return act.value
    if act.kind == "edit":
        return _EDITS[act.value]
    if act.kind == "shown":
        return "as shown"
    says = act.says.removeprefix("in play, ").removesuffix(", nothing thrown")
    return says.partition(" (")[0].partition(": ")[0]


def _area(act: Act) -> str:
    """Return the row and column of a place in the block as the catcher sees it."""
    if act.kind != "place":
        return ""
    row, _, column = act.value.partition("-")
    return f"r{ROWS.index(row)} c{CATCHER_COLUMNS.index(column)}"
