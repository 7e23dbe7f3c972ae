"""What a correction of one pitch writes: a change of its fields, or of who was there."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

from sequencer.errors import IllegalEntry
from sequencer.records.event import Event
from sequencer.records.game import Entry, Row
from sequencer.records.pitch import Pitch
from sequencer.records.state import Logged, State
from sequencer.records.store import Action

#: Corrections of who; everything else is a field of the pitch.
WHO: Final = ("hitter", "bats", "pitcher", "throws", "catcher")


@dataclass(frozen=True, slots=True)
class Act:
    """One row about to be written."""

    action: Action
    entry: Entry | None = None
    target: int | None = None
    changes: Mapping[str, Any] = field(default_factory=dict)

    def row(self, seq: int, *, joined: bool) -> Row:
        """Return the row it will be."""
        entry = self.entry
        return Row(
            seq=seq,
            action=self.action,
            pitch=entry if isinstance(entry, Pitch) else None,
            event=entry if isinstance(entry, Event) else None,
            target=self.target,
            changes=dict(self.changes),
            joined=joined,
        )


def amendments(state: State, logged: Logged, changes: Mapping[str, Any]) -> list[Act]:
    """Return the rows that correct one pitch.

    Raises
    ------
    IllegalEntry
        If nothing is said, or the change cannot be made this way.
    """
    fields = {name: value for name, value in changes.items() if name not in WHO}
    if fields.get("target") and "target_when" not in fields:
        fields["target_when"] = "after"
    acts = [Act("correct", target=logged.seq, changes=fields)] if fields else []
    if "hitter" in changes or "bats" in changes:
        acts += _of_hitter(state, logged, changes)
    for name in ("pitcher", "catcher"):
        if name in changes:
            event = Event(event=name, who=changes[name], side=logged.before.pitching)
            acts.append(Act("insert", event, target=logged.seq))
    if "throws" in changes:
        acts.append(_of_hand(state, logged, changes["throws"]))
    if not acts:
        raise IllegalEntry("Say what to correct.")
    return acts


def _of_hitter(state: State, logged: Logged, changes: Mapping[str, Any]) -> list[Act]:
    """Return the rows that correct who was up in the pitch's at-bat, or the side he hit from.

    Whenever he was said to be up in it, the correction holds.
    """
    was = logged.before
    who: str = changes.get("hitter", was.hitter)
    bats: Literal["", "R", "L"] = changes.get("bats", "")
    said = [
        happened
        for happened in state.happened
        if happened.event.event == "at"
        and (happened.event.at_bat or happened.before.at_bat) == was.at_bat
        and happened.who == was.hitter
    ]
    corrected = {"who": who, "bats": bats}
    acts = [Act("correct", target=happened.seq, changes=corrected) for happened in said]
    first = next(
        other
        for other in state.log
        if other.before.at_bat == was.at_bat and other.before.hitter == was.hitter
    )
    if said and said[0].after_n < first.n:
        return acts
    if first.before.pitch_no == 1 or who == was.hitter:
        event = Event(event="at", who=who, bats=bats)
        return [Act("insert", event, target=first.seq), *acts]
    return acts or [_of_pinch_hitter(state, logged, who)]


def _of_hand(state: State, logged: Logged, throws: str) -> Act:
    """Return the row that corrects the hand the pitch's at-bat was thrown with.

    A hand said in the middle of an at-bat holds for all of it, unless the other was hurt.
    """
    was = logged.before
    said = [
        happened
        for happened in state.happened
        if happened.event.event == "throws"
        and happened.before.at_bat == was.at_bat
        and happened.before.pitcher == was.pitcher
    ]
    before = [happened for happened in said if happened.after_n < logged.n]
    holds = before[-1:] or [happened for happened in said[:1] if not happened.event.reason]
    if holds:
        return Act("correct", target=holds[0].seq, changes={"throws": throws})
    event = Event.model_validate({"event": "throws", "throws": throws})
    return Act("insert", event, target=logged.seq)


def _of_pinch_hitter(state: State, logged: Logged, who: str) -> Act:
    for happened in reversed(state.happened):
        event = happened.event
        if event.event == "substitution" and happened.who == logged.before.hitter:
            return Act("correct", target=happened.seq, changes={"who": who})
    raise IllegalEntry(
        f"{state.label(logged.before.hitter)} came up in the middle of that at-bat: "
        "undo back to there, then log who came up."
    )
