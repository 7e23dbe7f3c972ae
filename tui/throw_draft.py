"""The keys of a throw: the dugout's own keys for type, target, place and tells; pure.

A place, then strike or ball: two keys a throw. The call stays as it was until it is changed.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from sequencer.records.keymaps import Act, Keymap, Kind
from sequencer.records.sentences import place_words

_STRIKE: Final = {"ball": False, "called strike": True}
_PREFIXES: Final = ("target", "tell", "no tell", "amend")
#: What may follow a key that begins something.
FOLLOWS: Final = {
    "target": "a place: where it is asked for; a sign: what is called",
    "tell": "a tell: it was seen on this throw (? lists them)",
    "no tell": "a tell: watch for it from now on, or no longer",
    "amend": "a sign, a place, strike or ball: mends the marked throw",
    "amend target": "a place: where the marked throw was asked for",
    "amend tell": "a tell: seen on the marked throw, or not",
}


def throw_keys(keymap: Keymap) -> tuple[tuple[str, str], ...]:
    """Return the keys of a throw but for places and signs: the key, what it does."""
    says: dict[tuple[Kind, str], str] = {
        ("result", "called strike"): "strike: keeps the throw",
        ("result", "ball"): "ball: keeps the throw",
        ("shown", "shown"): "strike or ball as the place has it",
        ("prefix", "target"): "then a place: the target",
        ("prefix", "tell"): "then a tell: seen on this throw",
        ("prefix", "no tell"): "then a tell: watch for it, or no longer",
        ("prefix", "amend"): "then a sign, place, strike or ball: mends",
        ("command", "undo"): "take the last throw back",
        ("command", "redo"): "bring it back",
    }
    return tuple((keymap.key(*act), words) for act, words in says.items())


@dataclass(frozen=True)
class ThrowDraft:
    """The throw in progress.

    Attributes
    ----------
    said : mapping
        What was typed: `pitch`, `called`, `target`, `cell`, `tells`.
    pending : str
        What a key has begun, one of `FOLLOWS`; "" for nothing.
    note : str
        What to tell the person about the last key.
    before : ThrowDraft or None
        Before the last key, for taking it back.
    """

    said: Mapping[str, Any] = field(default_factory=dict)
    pending: str = ""
    note: str = ""
    before: "ThrowDraft | None" = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Work:
    """Something to do in the book: `throw`, `correct`, `undo`, `redo` or `watch`; what was said."""

    name: str
    said: Mapping[str, Any] = field(default_factory=dict)


def feed_throw(
    draft: ThrowDraft, key: str, keymap: Keymap, signs: Mapping[str, str]
) -> ThrowDraft | Work | None:
    """Return what a key makes of a throw.

    Parameters
    ----------
    draft : ThrowDraft
    key : str
        As the entry grammar names it.
    keymap : Keymap
    signs : mapping of digit to pitch type

    Returns
    -------
    ThrowDraft, Work or None
        None for a key that is no business of a throw.
    """
    act = keymap.act(key)
    if act is None:
        return None
    if draft.pending in ("tell", "no tell", "amend tell") and act.kind in ("sign", "place"):
        return _tell(draft, keymap.tell(key))
    if act.kind == "edit":
        return ThrowDraft() if act.value == "clear" else draft.before or ThrowDraft()
    if act.kind == "result":
        return _result(draft, act, keymap)
    if act.kind == "shown":
        return _by_place(draft)
    if act.kind == "place":
        return said_place(draft, act.value)
    if act.kind == "sign":
        return _sign(draft, act.value, signs)
    if act.kind == "prefix" and act.value in _PREFIXES:
        began = f"amend {act.value}" if draft.pending == "amend" else act.value
        return replace(draft, pending=began if began in FOLLOWS else "", note="", before=draft)
    if act.kind == "command" and act.value in ("undo", "redo"):
        return Work(act.value)
    return None


def _result(draft: ThrowDraft, act: Act, keymap: Keymap) -> ThrowDraft | Work:
    if act.value not in _STRIKE:
        ball, strike = (keymap.key("result", each) for each in _STRIKE)
        return replace(draft, note=f"In a bullpen {strike} is a strike and {ball} a ball.")
    said = {"strike": _STRIKE[act.value]}
    if draft.pending == "amend":
        return Work("correct", said)
    return Work("throw", {**draft.said, **said})


def _by_place(draft: ThrowDraft) -> ThrowDraft | Work:
    if "cell" not in draft.said:
        return replace(draft, note="Where did it go? A place first, or strike or ball.")
    return Work("throw", draft.said)


def said_place(draft: ThrowDraft, word: str) -> ThrowDraft | Work:
    """Take a place, typed or clicked: where it went, or what a key before it asks for."""
    if draft.pending == "amend":
        return Work("correct", {"cell": word})
    if draft.pending == "amend target":
        return Work("correct", {"target": word})
    name = "target" if draft.pending == "target" else "cell"
    return ThrowDraft({**draft.said, name: word}, before=replace(draft, pending=""))


def _sign(draft: ThrowDraft, digit: str, signs: Mapping[str, str]) -> ThrowDraft | Work:
    pitch = "unknown" if digit == "0" else signs.get(digit)
    if pitch is None:
        return replace(draft, pending="", note=f"{digit} is not one of his signs.")
    if draft.pending == "amend":
        return Work("correct", {"pitch": pitch})
    name = "called" if draft.pending == "target" else "pitch"
    return ThrowDraft({**draft.said, name: pitch}, before=replace(draft, pending=""))


def _tell(draft: ThrowDraft, tell: str) -> ThrowDraft | Work:
    if not tell:
        return replace(draft, pending="", note="That key is no tell: ? lists them.")
    if draft.pending == "amend tell":
        return Work("correct", {"tell": tell})
    if draft.pending == "no tell":
        return Work("watch", {"tell": tell})
    seen = tuple(dict.fromkeys((*draft.said.get("tells", ()), tell)))
    return ThrowDraft({**draft.said, "tells": seen}, before=replace(draft, pending=""))


def asked_words(pitch: str, target: str, bats: str) -> str:
    """Say what is asked for, the target (the catcher's frame) as the hitter's side has it."""
    where = place_words(target, bats).replace(", ", " ").replace(" and ", "-") if target else ""
    return f"{pitch} {where}".strip()


def draft_words(draft: ThrowDraft, bats: str) -> str:
    """Say what is typed so far."""
    said = draft.said
    parts = [
        said.get("pitch", ""),
        f"called {said['called']}" if "called" in said else "",
        f"asked {place_words(said['target'], bats)}" if "target" in said else "",
        f"went {place_words(said['cell'], bats)}" if "cell" in said else "",
        ", ".join(said.get("tells", ())),
    ]
    words = ", ".join(filter(None, parts))
    return f"{words} {draft.pending}_".strip() if draft.pending else words
