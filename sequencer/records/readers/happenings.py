"""From a line of an events file to the event, in the situation it happened in."""

from typing import Any, Final

from sequencer.baseball import count
from sequencer.records.event import RUNNER_EVENTS, Event
from sequencer.records.readers.cells import Cells, exported, number_of, text_of
from sequencer.records.readers.roster import Roster
from sequencer.records.state import State

_HITTING: Final = frozenset({*RUNNER_EVENTS, "at", "absent", "intentional walk", "line-up"})
_NUMBERS: Final = ("slot", "at_bat", "balls", "strikes", "score_us", "score_them", "pitches")


def event_of(roster: Roster, state: State, cells: Cells) -> Event:
    """Return the event of a row; its people are looked for on the side they must be on.

    Raises
    ------
    BadInput
        If a name means two people.
    """
    fields: dict[str, Any] = {name: number_of(cells, name) for name in _NUMBERS}
    said = {"reason": text_of(cells, "reason")}
    if text_of(cells, "event") == "count":
        fields, said = _count(cells, fields)
    imported = cells.get("imported")
    return Event(
        event=text_of(cells, "event"),
        who=_person(roster, state, cells, "who"),
        for_whom=_person(roster, state, cells, "for"),
        base_from=text_of(cells, "from"),
        base_to=text_of(cells, "to"),
        side=text_of(cells, "side"),
        bats=text_of(cells, "bats"),
        throws=text_of(cells, "throws"),
        imported=True if imported is None else bool(imported),
        **fields,
        **said,
    )


def _count(cells: Cells, fields: dict[str, Any]) -> tuple[dict[str, Any], dict[str, str]]:
    """Read the umpire's count, from its own columns or as 2-1 in the reason."""
    reason = text_of(cells, "reason")
    if fields["balls"] is None and fields["strikes"] is None and not exported(cells):
        balls, strikes = count.parse(reason)
        return fields | {"balls": balls, "strikes": strikes}, {}
    same = reason == f"{fields['balls']}-{fields['strikes']}"
    return fields, {} if same else {"reason": reason}


def _person(roster: Roster, state: State, cells: Cells, name: str) -> str:
    text = text_of(cells, name)
    if not text or text.startswith(f"{state.game.id}?"):
        return text
    return roster.named(_teams(state, cells), text).id


def _teams(state: State, cells: Cells) -> tuple[str, str]:
    """Return the teams a person of an event may be of, the likelier first."""
    by_side = {"us": state.game.us, "them": state.game.them}
    side = text_of(cells, "side")
    if not side:
        side = state.hitting if text_of(cells, "event") in _HITTING else state.pitching
    other = "them" if side == "us" else "us"
    return by_side[side], by_side[other]
