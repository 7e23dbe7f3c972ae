"""The dugout grammar: single keys, any order, the result commits.

`feed` is pure: a draft and a key give a new draft, a finished pitch, or a command. A result key
always finishes the pitch, whatever was typed before it; no prefix takes it for itself.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from sequencer.baseball.pitches import TYPES
from sequencer.baseball.situation import RUNNER_OUTS
from sequencer.errors import IllegalEntry
from sequencer.records.event import Event
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, RUNNER_KEYS, Act, Keymap
from sequencer.records.pitch import Pitch
from sequencer.records.sentences import event_sentence, place_words, sentence

__all__ = [
    "DEFAULT_SIGNS",
    "KEYMAPS",
    "RIGHT_HANDED",
    "Act",
    "Command",
    "Done",
    "Draft",
    "Keymap",
    "Shown",
    "default_signs",
    "event_sentence",
    "feed",
    "place_words",
    "runner_events",
    "sentence",
]

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
_NO_TYPE: Final = "0"
_LONGEST_NUMBER: Final = 3


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
    """

    signs: Mapping[str, str] = field(default_factory=lambda: DEFAULT_SIGNS)
    shown: Shown | None = None
    fields: Mapping[str, Any] = field(default_factory=dict)
    pending: tuple[str, ...] = ()
    note: str = ""
    before: "Draft | None" = field(default=None, repr=False, compare=False)

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
        return Draft(self.signs, self.shown)


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


def feed(draft: Draft, key: str, keymap: Keymap = RIGHT_HANDED) -> Fed:
    """Return what a key makes of the draft.

    Parameters
    ----------
    draft : Draft
        What is typed so far.
    key : str
        A character, or `space`, `backspace`, `escape`, `enter`.
    keymap : Keymap
        Which key means what.

    Returns
    -------
    Draft, Done or Command
        A draft to go on with, a pitch to log, or a command to carry out. Never raises: a key that
        means nothing leaves the draft as it was and says so in `note`.
    """
    act = keymap.act(key)
    if act is not None and act.kind == "result":
        return _commit(draft, act)
    if act is not None and act.kind == "edit":
        return _edit(draft, act)
    if draft.pending:
        went_on = _CONTINUE[draft.pending[0]](draft, key, act, keymap)
        if went_on is not None:
            return went_on
        dropped = replace(draft, pending=(), note="")
        told = f"{_pending_words(draft.pending)} was not finished"
        fed = _begin(dropped, key, act)
        return replace(fed, note=fed.note or told) if isinstance(fed, Draft) else fed
    return _begin(draft, key, act)


def _edit(draft: Draft, act: Act) -> Draft:
    if act.value == "clear":
        return draft.cleared()
    if draft.before is None:
        return replace(draft, note="nothing is typed; undo takes back the last entry")
    return replace(draft.before, shown=draft.shown, note="")


def _begin(draft: Draft, key: str, act: Act | None) -> Draft | Command:
    if act is None:
        return replace(draft, note=f"{key} means nothing here; ? shows the keys")
    if act.kind == "command":
        return Command(act.value, {}, replace(draft, note=""))
    if act.kind == "prefix":
        return _next(draft, pending=(act.value,))
    if act.kind == "sign":
        return _sign(draft, act.value, "pitch")
    if act.kind == "shown":
        return _as_shown(draft)
    if act.value == "bunt" and draft.fields.get("bunt"):
        return _next(draft, fields={k: v for k, v in draft.fields.items() if k != "bunt"})
    return _next(draft, fields={**draft.fields, **act.fields})


def _next(draft: Draft, **changes: Any) -> Draft:
    return replace(draft, **{"pending": (), "note": "", "before": draft, **changes})


def _sign(draft: Draft, digit: str, name: str) -> Draft:
    if digit == _NO_TYPE:
        return _next(draft, fields={k: v for k, v in draft.fields.items() if k != name})
    if digit not in draft.signs:
        return replace(draft, pending=(), note=f"{digit} is not one of his signs")
    return _next(draft, fields={**draft.fields, name: draft.signs[digit]})


def _as_shown(draft: Draft) -> Draft:
    if draft.shown is None:
        return replace(draft, note="no call is shown to agree with")
    call = {"called": draft.shown.pitch, "target": draft.shown.target, "target_when": "before"}
    return _next(draft, fields={**draft.fields, **call})


def _commit(draft: Draft, act: Act) -> Done:
    advice = {"advice": draft.shown.words} if draft.shown else {}
    pitch = Pitch(**{**draft.meant, **act.fields, **advice})
    if draft.pending[:1] == ("hitter",) and len(draft.pending) > 1:
        return Done(pitch, first=_at(draft, ""))
    note = f"{_pending_words(draft.pending)} was not finished" if draft.pending else ""
    return Done(pitch, note=note)


def _pending_words(pending: tuple[str, ...]) -> str:
    return {
        "hitter": "#" + "".join(pending[1:]),
        "count": "the umpire's count",
        "half": "ending the half",
        "walk": "the intentional walk",
        "amend": "adding to the last pitch",
    }.get(pending[0], f"the {pending[0]}")


def _digit(key: str, act: Act | None) -> str:
    if act is not None and act.kind == "sign":
        return act.value
    return key if len(key) == 1 and key in "0123456789" else ""


def _again(value: str, act: Act | None) -> bool:
    return act is not None and act.kind == "prefix" and act.value == value


def _command(draft: Draft, name: str, **said: Any) -> Command:
    return Command(name, said, replace(draft, pending=(), note=""))


def _runner(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if _again("runner", act):
        return _next(draft, pending=(*draft.pending, "behind"))
    if key not in RUNNER_KEYS:
        return None
    return _command(draft, "runner", event=RUNNER_KEYS[key][0], nth=len(draft.pending) - 1)


def _target(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if act is not None and act.kind == "place":
        said = {"target": act.value, "target_when": "before"}
        return _next(draft, fields={**draft.fields, **said})
    if act is not None and act.kind == "sign":
        return _sign(draft, act.value, "called")
    return None


def _hitter(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    digit = _digit(key, act)
    if digit and len(draft.pending) <= _LONGEST_NUMBER:
        return _next(draft, pending=(*draft.pending, digit))
    if len(draft.pending) > 1 and key in ("R", "L", "enter"):
        return _at(draft, "" if key == "enter" else key)
    return None


def _at(draft: Draft, bats: str) -> Command:
    return _command(draft, "at", number="".join(draft.pending[1:]), bats=bats)


def _count(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    digit = _digit(key, act)
    if not digit:
        return None
    if len(draft.pending) == 1:
        return _next(draft, pending=(*draft.pending, digit))
    return _command(draft, "count", balls=int(draft.pending[1]), strikes=int(digit))


def _half(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    return _command(draft, "half ended") if _again("half", act) else None


def _walk(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    return _command(draft, "intentional walk") if _again("walk", act) else None


def _amend(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if act is None or act.kind not in ("sign", "place", "note"):
        return None
    if act.kind != "sign":
        return _command(draft, "amend", **act.fields)
    pitch = "unknown" if act.value == _NO_TYPE else draft.signs.get(act.value)
    if pitch is None:
        return replace(draft, pending=(), note=f"{act.value} is not one of his signs")
    return _command(draft, "amend", pitch=pitch)


_Continue = Callable[[Draft, str, "Act | None", Keymap], "Draft | Command | None"]
_CONTINUE: Final[Mapping[str, _Continue]] = {
    "runner": _runner,
    "target": _target,
    "hitter": _hitter,
    "count": _count,
    "half": _half,
    "walk": _walk,
    "amend": _amend,
}


def runner_events(event: str, nth: int, bases: tuple[str, str, str]) -> tuple[Event, ...]:
    """Return the events of a runner command on these bases.

    Parameters
    ----------
    event : str
        A runner event; a balk moves every runner, the lead runner first.
    nth : int
        0 for the lead runner, 1 for the one behind him.
    bases : tuple of three str
        Runners on first, second, third; empty for none.

    Raises
    ------
    IllegalEntry
        If there is no such runner.
    """
    on = [base for base in (3, 2, 1) if bases[base - 1]]
    chosen = on if event == "balk" else on[nth : nth + 1]
    if not chosen:
        who = "runner on base" if nth == 0 else "runner behind the lead runner"
        raise IllegalEntry(f"There is no {who} for a {event}.")
    return tuple(_runner_event(event, base) for base in chosen)


def _runner_event(event: str, base: int) -> Event:
    to = "out" if event in RUNNER_OUTS else "home" if base == 3 else str(base + 1)
    return Event.model_validate({"event": event, "base_from": str(base), "base_to": to})
