"""What the keys of the dugout say of pitches already logged, and of tonight's pitcher."""

from collections.abc import Mapping
from typing import Any

from sequencer.errors import IllegalEntry
from sequencer.live.session import Session
from sequencer.live.who import person
from sequencer.records.entry import with_tell
from sequencer.records.event import Event
from sequencer.records.said_tonight import said_there


def amend(session: Session, said: Mapping[str, Any]) -> None:
    """Add to a pitch of the game, `n` or the last: its fields, or a tell seen or not seen."""
    changes = dict(said)
    n = changes.pop("n", 0) or len(session.state.log)
    if "tell" in changes:
        noted = session.pitch(n).pitch
        held = {"tells": noted.tells, "tells_watched": noted.tells_watched}
        now = with_tell(held, changes.pop("tell"), seen=changes.pop("seen"))
        changes |= {name: list(now.get(name, ())) for name in held}
    session.correct(n, changes)


def move(session: Session, said: Mapping[str, Any]) -> None:
    """Say where a runner went on the last pitch; the others stay as they were said, or as usual."""
    n = len(session.state.log)
    held = session.pitch(n).pitch.moves
    moves = dict(one.split("-", 1) for one in held.split(";") if one)
    moves[said["base"]] = said["to"]
    session.correct(n, {"moves": ";".join(f"{base}-{to}" for base, to in moves.items())})


def come_in(session: Session, said: Mapping[str, Any]) -> None:
    """Let a number of the side at bat hit for who is up, or run for the n-th runner from the lead.

    Raises
    ------
    IllegalEntry
        If nobody is up, or there is no such runner.
    """
    state = session.state
    if said["nth"] < 0:
        out = state.up.person if state.up else ""
        if not out:
            raise IllegalEntry("Nobody is known to be up: # and his number says who is.")
    else:
        on = [who for who in reversed(state.bases) if who]
        if said["nth"] >= len(on):
            raise IllegalEntry("There is no such runner on base to run for.")
        out = on[said["nth"]]
    one, new = person(session, state.hitting, f"#{said['number']}")
    reason = "courtesy runner" if said["courtesy"] else ""
    event = Event(event="substitution", who=one.id, for_whom=out, side=state.hitting, reason=reason)
    session.add(event, new=new)


def throws(session: Session, said: Mapping[str, Any]) -> None:
    """Say the hand that whoever pitches throws with in this at-bat."""
    session.add(Event.model_validate({"event": "throws", "throws": said["throws"]}))


def absent(session: Session) -> None:
    """Say that who is up is not there: his turn is over."""
    state = session.state
    if state.up is None:
        raise IllegalEntry("Nobody is known to be up: # and his number says who is.")
    session.add(Event(event="absent", who=state.up.person, side=state.hitting))


def there(session: Session, said: Mapping[str, Any]) -> None:
    """Say that a pitch of who pitches is not there today; said again, that it is."""
    state, pitch = session.state, said["pitch"]
    if not state.pitcher:
        raise IllegalEntry("Say first who pitches: pitcher NAME.")
    is_there = said_there(state, state.pitcher).get(pitch, True)
    session.add(Event(event="not there" if is_there else "there", reason=pitch))
