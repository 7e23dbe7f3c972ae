"""An event as the line of `log --plain` that says it, to be put right and said again."""

from collections.abc import Iterable

from sequencer.records.event import RUNNER_EVENTS
from sequencer.records.people import Person
from sequencer.records.state import Happened, State


def address(state: State, seq: int) -> str:
    """Return where an event stands, as `remove` takes it: `12 steal`, of several `12 steal 2`.

    "" when no event of the game was written in row `seq`.
    """
    item = event_at(state, seq)
    if item is None:
        return ""
    alike = [
        one.seq
        for one in state.happened
        if one.after_n == item.after_n and one.event.event == item.event.event
    ]
    which = f" {alike.index(seq) + 1}" if len(alike) > 1 else ""
    return f"{item.after_n} {item.event.event}{which}"


def event_at(state: State, seq: int) -> Happened | None:
    """Return the event first written in a row, None for none."""
    return next((one for one in state.happened if one.seq == seq), None)


def event_line(state: State, item: Happened) -> str:
    """Return the line that says an event again."""
    event = item.event
    if event.event in RUNNER_EVENTS:
        return f"runner {_base(item)}-{_to(item)} {event.event}"
    who, out = (_named(state, id_) for id_ in (event.who, event.for_whom))
    said = {
        "at": f"at {who} {event.bats}",
        "absent": f"absent {who}",
        "substitution": f"sub {'courtesy ' * bool(event.reason)}{who} for {out}",
        "pitcher": f"pitcher {who}",
        "catcher": f"catcher {who}",
        "throws": f"throws {event.throws} {event.reason}",
        "intentional walk": "walk intentional",
        "count": f"count {event.balls}-{event.strikes}",
        "score": f"score {event.score_us} {event.score_them}",
        "pitch count": f"pitches {event.pitches}",
        "not there": f"lacks {event.reason}",
        "there": f"has {event.reason}",
        "half ended": f"end half {event.reason}",
    }
    return said.get(event.event, f"{event.event} {event.reason}").strip()


def _base(item: Happened) -> str:
    """Return the base a runner left, which an outside log need not say."""
    if item.event.base_from:
        return item.event.base_from
    on = item.before.bases
    return str(on.index(item.who) + 1) if item.who in on else "1"


def _to(item: Happened) -> str:
    if item.event.base_to:
        return item.event.base_to
    if item.who in item.bases:
        return str(item.bases.index(item.who) + 1)
    return "home" if item.who in item.scored else "out"


def _named(state: State, id_: str) -> str:
    """Return what means this person and nobody else of his team, as far as words can."""
    person = state.people.get(id_)
    if person is None:
        return state.label(id_)
    if person.name and person.number and _shared(person, state.people.values()):
        return f"{person.name} #{person.number}"
    return person.label


def _shared(person: Person, people: Iterable[Person]) -> bool:
    name = person.name.casefold()
    return any(
        one.id != person.id and one.team == person.team and one.name.casefold() == name
        for one in people
    )
