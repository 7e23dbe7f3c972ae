"""The dugout grammar: single keys, any order, the result commits.

`feed` is pure: a draft and a key give a new draft, a finished pitch, or a command. A result key
always finishes the pitch, whatever was typed before it; no prefix takes it for itself.
"""

from dataclasses import replace

from sequencer.baseball.situation import RUNNER_OUTS
from sequencer.errors import IllegalEntry
from sequencer.records.draft import (
    DEFAULT_SIGNS,
    Command,
    Done,
    Draft,
    Fed,
    Shown,
    default_signs,
)
from sequencer.records.event import Event
from sequencer.records.keymaps import KEYMAPS, RIGHT_HANDED, Act, Keymap
from sequencer.records.pitch import Pitch
from sequencer.records.prefixes import (
    CONTINUE,
    changed,
    command_before,
    complete,
    pending_words,
    sign_said,
    with_tell,
)
from sequencer.records.sentences import event_sentence, place_words, sentence

__all__ = [
    "DEFAULT_SIGNS",
    "KEYMAPS",
    "RIGHT_HANDED",
    "Act",
    "Command",
    "Done",
    "Draft",
    "Fed",
    "Keymap",
    "Shown",
    "default_signs",
    "event_sentence",
    "feed",
    "place_words",
    "runner_events",
    "sentence",
    "with_tell",
]


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
        went_on = CONTINUE[draft.pending[0]](draft, key, act, keymap)
        if went_on is not None:
            return went_on
        dropped = replace(draft, pending=(), note="")
        ended = complete(draft) and command_before(draft) is None
        told = "" if ended else f"{pending_words(draft.pending)} was not finished"
        fed = _begin(dropped, key, act)
        return replace(fed, note=fed.note or told) if isinstance(fed, Draft) else fed
    return _begin(draft, key, act)


def _edit(draft: Draft, act: Act) -> Draft:
    if act.value == "clear":
        return draft.cleared()
    if draft.before is None:
        return replace(draft, note="nothing is typed; undo takes back the last entry")
    return replace(draft.before, shown=draft.shown, bats=draft.bats, note="")


def _begin(draft: Draft, key: str, act: Act | None) -> Draft | Command:
    if act is None:
        return replace(draft, note=f"{key} means nothing here; ? shows the keys")
    if act.kind == "command":
        return Command(act.value, {}, replace(draft, note=""))
    if act.kind == "prefix":
        return changed(draft, pending=(act.value,))
    if act.kind == "sign":
        return sign_said(draft, act.value, "pitch")
    if act.kind == "shown":
        return _as_shown(draft)
    if act.value == "bunt" and draft.fields.get("bunt"):
        return changed(draft, fields={k: v for k, v in draft.fields.items() if k != "bunt"})
    return changed(draft, fields={**draft.fields, **act.fields})


def _as_shown(draft: Draft) -> Draft:
    if draft.shown is None:
        return replace(draft, note="no call is shown to agree with")
    call = {"called": draft.shown.pitch, "target": draft.shown.target, "target_when": "before"}
    return changed(draft, fields={**draft.fields, **call})


def _commit(draft: Draft, act: Act) -> Done:
    advice = {"advice": draft.shown.words} if draft.shown else {}
    pitch = Pitch(**{**draft.meant, **act.fields, **advice})
    if complete(draft):
        return Done(pitch, first=command_before(draft))
    note = f"{pending_words(draft.pending)} was not finished" if draft.pending else ""
    return Done(pitch, note=note)


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
