"""Which key means what while a pitch is logged: one table, and maps that move every key.

The place block lies as the catcher sees the plate (up-left at the upper left); the same key
shifted is off the plate that way. Signs are the pitcher's own digits. Letters are mnemonics of
our own; nothing but convenience stands behind them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

from sequencer.baseball.tells import TELLS

Kind = Literal["sign", "place", "result", "note", "shown", "prefix", "command", "edit"]
#: The kinds whose keys say something of the pitch itself, in the order help shows them.
PITCH_KINDS: Final[tuple[Kind, ...]] = ("sign", "place", "result", "note", "shown")


@dataclass(frozen=True, slots=True)
class Act:
    """What one key does: its kind, the word it stands for, what help says, the fields it sets."""

    kind: Kind
    value: str
    says: str
    fields: Mapping[str, Any] = field(default_factory=dict)


def _place(word: str) -> Act:
    return Act("place", word, word, {"cell": word, "entered": "catcher"})


def _result(word: str, says: str, **more: str) -> Act:
    return Act("result", more.get("play", word), says, {"result": word, **more})


def _play(word: str, says: str, **more: str) -> Act:
    return _result("in play", says, play=word, **more)


def _note(name: str, value: str | bool, says: str) -> Act:
    return Act("note", name, says, {name: value})


_PLACES: Final = {
    "q": "up-left",
    "w": "up-middle",
    "e": "up-right",
    "a": "belt-left",
    "s": "belt-middle",
    "d": "belt-right",
    "z": "down-left",
    "x": "down-middle",
    "c": "down-right",
    "Q": "above-off-left",
    "W": "above-middle",
    "E": "above-off-right",
    "A": "belt-off-left",
    "D": "belt-off-right",
    "Z": "below-off-left",
    "X": "below-middle",
    "C": "below-off-right",
}
_ACTS: Final[dict[str, Act]] = {
    **{str(n): Act("sign", str(n), f"his sign {n}") for n in range(1, 10)},
    "0": Act("sign", "0", "type not seen"),
    **{key: _place(word) for key, word in _PLACES.items()},
    "space": Act("shown", "shown", "called as shown"),
    "b": _result("ball", "ball"),
    "l": _result("called strike", "called strike (looking)"),
    "m": _result("swinging strike", "missed"),
    "f": _result("foul", "foul"),
    "t": _result("foul tip", "foul tip"),
    "h": _result("hit by pitch", "hit by pitch"),
    "o": _play("out", "in play, out"),
    "p": _play("out", "foul, caught", spray="foul ground", flight="pop"),
    "y": _play("single", "single"),
    "u": _play("double", "double"),
    "i": _play("triple", "triple"),
    "r": _play("home run", "home run"),
    "g": _play("double play", "double play"),
    "G": _play("triple play", "triple play"),
    "n": _play("error", "error"),
    "v": _play("fielder's choice", "fielder's choice"),
    "j": _play("sacrifice bunt", "sacrifice bunt"),
    "k": _play("sacrifice fly", "sacrifice fly"),
    ";": _result("catcher's interference", "catcher's interference: he gets first"),
    "(": _result("automatic ball", "automatic ball, nothing thrown"),
    ")": _result("automatic strike", "automatic strike, nothing thrown"),
    ",": _note("contact", "weak", "weak contact"),
    ".": _note("contact", "fair", "fair contact"),
    "/": _note("contact", "square", "square contact"),
    "[": _note("timing", "early", "early on it"),
    "\\": _note("timing", "on time", "on time"),
    "]": _note("timing", "late", "late on it"),
    "-": _note("bunt", True, "bunted"),
    "'": _note("third_strike", "dropped", "third strike dropped"),
    "F": Act("prefix", "fielders", "then the fielders, 6 3; a place before them: where it went"),
    "Y": Act("prefix", "tell", "then a tell: it was seen on this pitch"),
    "K": Act("prefix", "no tell", "then a tell: it was watched for and not seen"),
    "T": Act("prefix", "target", "then a place or sign: what was asked for"),
    "#": Act("prefix", "hitter", "then his number and R or L: who is up"),
    "R": Act("prefix", "runner", "then what the lead runner does; R again for the one behind"),
    "S": Act("prefix", "switch", "then who comes in, or what else changes: the keys come up"),
    "U": Act("prefix", "count", "then balls, strikes: the umpire's count"),
    "H": Act("prefix", "half", "twice: the half is over"),
    "I": Act("prefix", "walk", "twice: intentional walk"),
    "M": Act("prefix", "move", "then from and to, 1 3: where a runner went on the last pitch"),
    "+": Act("prefix", "amend", "then a sign, place, note, F, Y or K: adds it to the last pitch"),
    "B": Act("prefix", "pitch count", "then a number, Enter: the official book's pitch count"),
    "L": Act("prefix", "there", "then a sign: not there in the warm-up, or there again"),
    "<": Act("command", "undo", "take back the last entry"),
    ">": Act("command", "redo", "bring it back"),
    "J": Act("command", "insert", "the next pitch goes in before the last, or the one marked"),
    "V": Act("command", "next three", "the next three hitters and their at-bats tonight"),
    "P": Act("command", "pitcher", "another pitcher"),
    "N": Act("command", "draw", "draw the next call from the mix, and show it large"),
    "O": Act("command", "score only", "score only: hide or show advice"),
    ":": Act("command", "line", "type an entry as a line"),
    "backspace": Act("edit", "back", "take back the last key"),
    "escape": Act("edit", "clear", "clear what is typed"),
}
#: The second key of `runner`: the event, what help says.
RUNNER_KEYS: Final[Mapping[str, tuple[str, str]]] = {
    "S": ("steal", "steals"),
    "K": ("caught stealing", "caught stealing"),
    "F": ("pickoff", "picked off"),
    "O": ("out on bases", "out on the bases"),
    "P": ("passed ball", "passed ball"),
    "L": ("wild pitch", "wild pitch"),
    "V": ("advance", "moves up, or is given the base"),
    "B": ("balk", "balk, everyone moves up"),
}
#: The second key of `switch`: what it does, what help says. A number there hits for who is up.
SWITCH_KEYS: Final[Mapping[str, tuple[str, str]]] = {
    "B": ("runner", "and a number: runs for the lead runner; BB the next; C courtesy"),
    "C": ("catcher", "another catcher"),
    "R": ("throws", "he throws with his right hand"),
    "L": ("throws", "he throws with his left hand"),
    "V": ("visit", "visit to the mound"),
    "A": ("absent", "who is up is absent: his turn is over"),
    "S": ("score", "the board's score, ours first"),
    "N": ("note", "a note, in words"),
}
#: Where a ball in play went, by the place key after `fielders`: its row is how it flew.
FLIGHTS: Final[Mapping[str, str]] = {
    "above": "pop",
    "up": "fly",
    "belt": "line",
    "down": "ground",
    "below": "ground",
}
#: Tells that are seen, in the order of their keys: the signs 1 to 9 and 0, then the place block.
_SEEN: Final = tuple(tell.name for tell in TELLS.values() if tell.how == "seen")
_TELL_ACTS: Final[tuple[tuple[Kind, str], ...]] = (
    *(("sign", digit) for digit in "1234567890"),
    *(("place", _PLACES[key]) for key in "qweasdzxc"),
)
#: A base by its key; home is 4, which is also where the hitter comes from, and 0 is out.
MOVE_FROM: Final[Mapping[str, str]] = {"1": "1", "2": "2", "3": "3", "4": "b"}
MOVE_TO: Final[Mapping[str, str]] = {"1": "1", "2": "2", "3": "3", "4": "home", "0": "out"}


@dataclass(frozen=True)
class Keymap:
    """A table of keys; `moved` makes another from it.

    Attributes
    ----------
    name : str
        How settings name the map.
    acts : Mapping[str, Act]
        Key -> what it does. A key is a character, or `space`, `backspace`, `escape`, `enter`.
    """

    name: str
    acts: Mapping[str, Act]

    def act(self, key: str) -> Act | None:
        """Return what a key does; digits are signs on every map unless it moved them."""
        found = self.acts.get(key)
        if found is None and len(key) == 1 and key in "0123456789":
            return _ACTS[key]
        return found

    def key(self, kind: Kind, value: str) -> str:
        """Return the key of an act, for help and hints.

        Raises
        ------
        KeyError
            If no key does that.
        """
        for key, act in self.acts.items():
            if act.kind == kind and act.value == value:
                return key
        raise KeyError(f"{kind} {value}")

    def tells(self) -> Mapping[str, str]:
        """Return the second keys of the tells: key -> the tell."""
        keys = (self.key(kind, value) for kind, value in _TELL_ACTS)
        return dict(zip(keys, _SEEN, strict=False))

    def tell(self, key: str) -> str:
        """Return the tell of a second key, "" for none."""
        act = self.act(key)
        said = (act.kind, act.value) if act else None
        return next((t for a, t in zip(_TELL_ACTS, _SEEN, strict=False) if a == said), "")

    def moved(self, name: str, changes: Mapping[str, str]) -> "Keymap":
        """Return a map with keys moved (`{old: new}`), every other key where it was.

        Raises
        ------
        ValueError
            If a key is not in the map, or two acts would share one.
        """
        missing = [old for old in changes if old not in self.acts]
        if missing:
            raise ValueError(f"Key map {name}: there is no key {missing[0]!r} to move.")
        acts: dict[str, Act] = {}
        for old, act in self.acts.items():
            new = changes.get(old, old)
            if new in acts:
                raise ValueError(
                    f"Key map {name}: {new!r} would mean both {acts[new].says} and {act.says}."
                )
            acts[new] = act
        return Keymap(name, acts)


RIGHT_HANDED: Final = Keymap("right-handed", _ACTS)
#: Place block under the right hand (u i o / j k l / m , .), results under the left.
LEFT_HANDED: Final = RIGHT_HANDED.moved(
    "left-handed",
    dict(zip("qweasdzxcQWEADZXC", "uiojklm,.UIOJLM<>", strict=True))
    | dict(zip("lmoyuijkn", "csxadwzqe", strict=True))
    | dict(zip(",./[\\]'", "[]\\;/'=", strict=True))
    | dict(zip("<>UIOJLM", "ZXCWAQDE", strict=True))
    | {";": "y"},
)
#: Keyboards with y and z exchanged and letters where brackets are elsewhere.
QWERTZ: Final = RIGHT_HANDED.moved("qwertz", dict(zip("zyZY/[\\]", "yzYZßöüä", strict=True)))
#: Keyboards whose letter rows begin with a z e and q s d, digits on the shift.
AZERTY: Final = RIGHT_HANDED.moved(
    "azerty",
    dict(zip("qweazQWEAZ", "azeqwAZEQW", strict=True))
    | dict(zip("1234567890", "&é\"'(-è_çà", strict=True))
    | dict(zip("./[\\]-'", ";!)$=*ù", strict=True))
    | dict(zip(";()", "./§", strict=True)),
)
KEYMAPS: Final[Mapping[str, Keymap]] = {
    keymap.name: keymap for keymap in (RIGHT_HANDED, LEFT_HANDED, QWERTZ, AZERTY)
}
