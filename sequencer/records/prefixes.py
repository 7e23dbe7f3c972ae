"""Commands of two keys and more: what may follow each prefix of the entry grammar."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from sequencer.records.draft import Command, Draft
from sequencer.records.keymaps import (
    FLIGHTS,
    MOVE_FROM,
    MOVE_TO,
    RUNNER_KEYS,
    SWITCH_KEYS,
    Act,
    Keymap,
)

NO_TYPE: Final = "0"
_LONGEST_NUMBER: Final = 3
#: Most fielders of one play that are kept (assumption; a long rundown has fewer).
_MOST_FIELDERS: Final = 9


def changed(draft: Draft, **changes: Any) -> Draft:
    """Return the draft after one more key, with the one before kept."""
    return replace(draft, **{"pending": (), "note": "", "before": draft, **changes})


def sign_said(draft: Draft, digit: str, name: str) -> Draft:
    """Return the draft with a sign of the pitcher under `pitch` or `called`."""
    if digit == NO_TYPE:
        return changed(draft, fields={k: v for k, v in draft.fields.items() if k != name})
    if digit not in draft.signs:
        return replace(draft, pending=(), note=f"{digit} is not one of his signs")
    return changed(draft, fields={**draft.fields, name: draft.signs[digit]})


def pending_words(pending: tuple[str, ...]) -> str:
    """Say which command was half typed."""
    return {
        "hitter": "#" + "".join(pending[1:]),
        "count": "the umpire's count",
        "half": "ending the half",
        "walk": "the intentional walk",
        "switch": "who comes in",
        "amend": "adding to the last pitch",
        "tell": "the tell",
        "no tell": "the tell watched for",
        "pitch count": "the official pitch count",
        "there": "what is there today",
        "move": "the runner's way",
        "fielders": "the play's fielders",
    }.get(pending[0], f"the {pending[0]}")


def complete(draft: Draft) -> bool:
    """Tell whether what is pending says enough to be kept when another key ends it."""
    if draft.pending[:1] == ("switch",):
        return draft.pending[-1].isdigit()
    return len(draft.pending) > 1 and draft.pending[0] in ("hitter", "pitch count", "fielders")


def command_before(draft: Draft) -> Command | None:
    """Return the command of a number typed and not ended, to be carried out before the pitch."""
    if draft.pending[0] == "hitter":
        return _at(draft, "")
    if draft.pending[0] == "switch":
        return _came_in(draft)
    return _said_count(draft) if draft.pending[0] == "pitch count" else None


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
        return changed(draft, pending=(*draft.pending, "behind"))
    if key not in RUNNER_KEYS:
        return None
    return _command(draft, "runner", event=RUNNER_KEYS[key][0], nth=len(draft.pending) - 1)


def _target(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if act is not None and act.kind == "place":
        said = {"target": act.value, "target_when": "before"}
        return changed(draft, fields={**draft.fields, **said})
    if act is not None and act.kind == "sign":
        return sign_said(draft, act.value, "called")
    return None


def _hitter(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    digit = _digit(key, act)
    if digit and len(draft.pending) <= _LONGEST_NUMBER:
        return changed(draft, pending=(*draft.pending, digit))
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
        return changed(draft, pending=(*draft.pending, digit))
    return _command(draft, "count", balls=int(draft.pending[1]), strikes=int(digit))


def _half(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    return _command(draft, "half ended") if _again("half", act) else None


def _walk(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    return _command(draft, "intentional walk") if _again("walk", act) else None


def _fielders(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    """Take positions, and before them one place key: how the ball flew, and where."""
    said = draft.pending[1:]
    if key == "enter":
        return replace(draft, pending=(), note="")
    if act is not None and act.kind == "place" and not said:
        fields, note = _flown(draft, act.value)
        return changed(draft, fields=fields, pending=("fielders", "-"), note=note)
    digit = _digit(key, act)
    if not digit or digit == NO_TYPE or len(said) >= _MOST_FIELDERS:
        return None
    pending = (*draft.pending, digit)
    positions = "-".join(each for each in pending[1:] if each != "-")
    return changed(draft, fields={**draft.fields, "fielders": positions}, pending=pending)


def _flown(draft: Draft, place: str) -> tuple[dict[str, Any], str]:
    """Return the fields with how and where a ball in play went, and what to tell of it."""
    row, _, column = place.partition("-")
    fields = {**draft.fields, "flight": FLIGHTS[row]}
    if column.startswith("off-"):
        return {**fields, "spray": "foul ground"}, ""
    if column == "middle":
        return {**fields, "spray": "middle"}, ""
    if not draft.bats:
        return fields, "his side is not known: how it flew is kept, not where"
    pulled = (column == "left") == (draft.bats == "R")
    return {**fields, "spray": "pull" if pulled else "opposite"}, ""


def _tell(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    tell = keymap.tell(key)
    if not tell:
        return None
    return changed(draft, fields=with_tell(draft.fields, tell, seen=draft.pending[0] == "tell"))


def with_tell(fields: Mapping[str, Any], tell: str, *, seen: bool) -> dict[str, Any]:
    """Return fields of a pitch with a tell seen, or watched for and not; said again it is off."""
    name, other = ("tells", "tells_watched") if seen else ("tells_watched", "tells")
    held = tuple(fields.get(name, ()))
    now = tuple(each for each in held if each != tell) if tell in held else (*held, tell)
    rest = tuple(each for each in fields.get(other, ()) if each != tell)
    kept = {key: value for key, value in fields.items() if key not in (name, other)}
    return kept | ({name: now} if now else {}) | ({other: rest} if rest else {})


def _move(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    digit = _digit(key, act)
    if len(draft.pending) == 1:
        return changed(draft, pending=("move", digit)) if digit in MOVE_FROM else None
    if digit not in MOVE_TO:
        return None
    return _command(draft, "move", base=MOVE_FROM[draft.pending[1]], to=MOVE_TO[digit])


#: Second keys of `switch` that begin a line to go on typing.
_LINES: Final[Mapping[str, str]] = {"score": "score ", "note": "note "}


def _switch(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    """Take a number that hits for who is up, `B` and one that runs, or one more key."""
    said, digit = draft.pending[1:], _digit(key, act)
    number = [each for each in said if each.isdigit()]
    if digit and len(number) < _LONGEST_NUMBER:
        return changed(draft, pending=(*draft.pending, digit))
    if number:
        return _came_in(draft) if key == "enter" else None
    if key == "B" and "C" not in said:
        return changed(draft, pending=(*draft.pending, "B"))
    if said:
        last = key == "C" and "C" not in said
        return changed(draft, pending=(*draft.pending, "C")) if last else None
    if key not in SWITCH_KEYS:
        return None
    what = SWITCH_KEYS[key][0]
    if what in _LINES:
        return _command(draft, "line", begun=_LINES[what])
    return _command(draft, what, throws=key) if what == "throws" else _command(draft, what)


def _came_in(draft: Draft) -> Command:
    """Return who of a number comes in: for who is up, or for a runner counted from the lead."""
    said = draft.pending[1:]
    number = "".join(each for each in said if each.isdigit())
    nth = said.count("B") - 1
    return _command(draft, "sub", number=number, nth=nth, courtesy="C" in said)


def _pitch_count(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    digit = _digit(key, act)
    if digit and len(draft.pending) <= _LONGEST_NUMBER:
        return changed(draft, pending=(*draft.pending, digit))
    return _said_count(draft) if key == "enter" and len(draft.pending) > 1 else None


def _said_count(draft: Draft) -> Command:
    return _command(draft, "pitch count", pitches=int("".join(draft.pending[1:])))


def _there(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if act is None or act.kind != "sign":
        return None
    if act.value not in draft.signs:
        return replace(draft, pending=(), note=f"{act.value} is not one of his signs")
    return _command(draft, "there", pitch=draft.signs[act.value])


#: Prefixes that may follow `amend`.
_AMENDED: Final = ("fielders", "tell", "no tell")


def _amend(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    if len(draft.pending) > 1:
        return _amend_more(draft, key, act, keymap)
    if act is not None and act.kind == "prefix" and act.value in _AMENDED:
        return changed(draft, pending=("amend", act.value))
    if act is None or act.kind not in ("sign", "place", "note"):
        return None
    if act.kind != "sign":
        return _command(draft, "amend", **act.fields)
    pitch = "unknown" if act.value == NO_TYPE else draft.signs.get(act.value)
    if pitch is None:
        return replace(draft, pending=(), note=f"{act.value} is not one of his signs")
    return _command(draft, "amend", pitch=pitch)


def _amend_more(draft: Draft, key: str, act: Act | None, keymap: Keymap) -> Draft | Command | None:
    kind, said = draft.pending[1], draft.pending[2:]
    if kind != "fielders":
        tell = keymap.tell(key)
        return _command(draft, "amend", tell=tell, seen=kind == "tell") if tell else None
    digit = _digit(key, act)
    if key == "enter" and said:
        return _command(draft, "amend", fielders="-".join(said))
    if not digit or digit == NO_TYPE or len(said) >= _MOST_FIELDERS:
        return None
    return changed(draft, pending=(*draft.pending, digit))


_Continue = Callable[[Draft, str, "Act | None", Keymap], "Draft | Command | None"]
CONTINUE: Final[Mapping[str, _Continue]] = {
    "runner": _runner,
    "fielders": _fielders,
    "tell": _tell,
    "no tell": _tell,
    "move": _move,
    "pitch count": _pitch_count,
    "there": _there,
    "target": _target,
    "hitter": _hitter,
    "count": _count,
    "half": _half,
    "switch": _switch,
    "walk": _walk,
    "amend": _amend,
}
