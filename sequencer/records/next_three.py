"""Between innings: who hits next, and what he was thrown tonight, an at-bat a line."""

from collections.abc import Callable, Iterable
from typing import Final

from sequencer.baseball.zone import to_hitter
from sequencer.records.line_up import Order
from sequencer.records.state import Logged, State

_NEXT: Final = 3
_BRIEF: Final = {
    "called strike": "called",
    "swinging strike": "missed",
    "hit by pitch": "hit him",
    "in play": "",
}
_NOT_KNOWN: Final = "The order is not known yet: the next three are those who come up."


def next_three(state: State, name: Callable[[State, str], str] = State.label) -> str:
    """Return a page: the next three hitters we pitch to, each with his at-bats of tonight.

    Parameters
    ----------
    state : State
    name : callable
        What to call a person of a game.
    """
    due = _due(state)
    if not due:
        return _NOT_KNOWN
    return "\n".join(line for person in due for line in _hitter(state, person, name))


def _due(state: State) -> tuple[str, ...]:
    if state.pitching == "us":
        return state.due[:_NEXT]
    return state.orders.get("them", Order()).coming(_NEXT)


def _hitter(state: State, person: str, name: Callable[[State, str], str]) -> Iterable[str]:
    known = state.people.get(person)
    number = f"#{known.number} " if known and known.number and known.name else ""
    up = state.up
    bats = up.bats if up and up.person == person else known.bats if known else ""
    side = f" ({bats})" if bats else ""
    at_bats = _at_bats(state, person)
    none = "" if at_bats else "   not up yet tonight"
    yield f"{number}{name(state, person)}{side}{none}"
    for at_bat in at_bats:
        yield _line(at_bat)


def _at_bats(state: State, person: str) -> list[list[Logged]]:
    found: dict[int, list[Logged]] = {}
    for logged in state.log:
        if logged.before.hitter == person:
            found.setdefault(logged.before.at_bat, []).append(logged)
    return list(found.values())


def _line(at_bat: list[Logged]) -> str:
    end = at_bat[-1].after
    came = end.play or end.end or "going on"
    pitches = ", ".join(filter(None, map(pitch_words, at_bat)))
    return f"  {at_bat[0].before.inning}: {pitches} = {came}"


def pitch_words(logged: Logged) -> str:
    """Say a pitch in as few words as it takes: `changeup down-away missed`."""
    pitch = logged.pitch
    known = pitch.cell not in ("", "unknown")
    cell = to_hitter(pitch.cell, logged.before.bats) if known else ""
    return in_brief(pitch.pitch, cell, pitch.result)


def in_brief(kind: str | None, cell: str | None, result: str) -> str:
    """Say a pitch by its type, its cell in the hitter's words, and its result."""
    known = [word for word in (kind, cell) if word not in (None, "", "unknown")]
    words = ["middle" if word == "belt-middle" else word for word in known]
    return " ".join(filter(None, (*words, _BRIEF.get(result, result)))) or "pitch"
