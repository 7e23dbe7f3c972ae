"""What the keys of the dugout say of pitches already logged, and of tonight's pitcher."""

from collections.abc import Iterable, Mapping
from typing import Any

from sequencer.errors import IllegalEntry
from sequencer.live.session import Session
from sequencer.live.who import person
from sequencer.records.entry import runner_events, with_tell
from sequencer.records.event import Event, Side
from sequencer.records.people import Person
from sequencer.records.said_tonight import said_there
from sequencer.records.state import Moment, moment, other


class Place:
    """Where entries go: at the end of the game, or before one of its pitches.

    Parameters
    ----------
    session : Session
    before : int
        The pitch; 0 for the end.
    """

    def __init__(self, session: Session, before: int = 0) -> None:
        self.session, self._before = session, before

    @property
    def now(self) -> Moment:
        """Where the game stood there."""
        return (
            self.session.pitch(self._before).before if self._before else moment(self.session.state)
        )

    @property
    def hitting(self) -> Side:
        """Who was at bat."""
        return other(self.now.pitching)

    def put(self, *entries: Event, new: Iterable[Person] = ()) -> None:
        """Log events there, as one act."""
        if self._before:
            self.session.insert(self._before, *entries, new=new)
        else:
            self.session.add(*entries, new=new)


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


def runner(place: Place, said: Mapping[str, Any]) -> None:
    """Let the n-th runner from the lead do something; on a balk everybody."""
    place.put(*runner_events(said["event"], said["nth"], place.now.bases))


def at(place: Place, said: Mapping[str, Any]) -> None:
    """Say that a number of the side at bat is up."""
    one, new = person(place.session, place.hitting, f"#{said['number']}", said["bats"])
    place.put(Event(event="at", who=one.id, bats=said["bats"]), new=new)


def come_in(place: Place, said: Mapping[str, Any]) -> None:
    """Let a number of the side at bat hit for who is up, or run for the n-th runner from the lead.

    Raises
    ------
    IllegalEntry
        If nobody is up, or there is no such runner.
    """
    on = [who for who in reversed(place.now.bases) if who]
    if said["nth"] >= len(on):
        raise IllegalEntry("There is no such runner on base to run for.")
    out = _up(place) if said["nth"] < 0 else on[said["nth"]]
    one, new = person(place.session, place.hitting, f"#{said['number']}")
    reason = "courtesy runner" if said["courtesy"] else ""
    fields = {"who": one.id, "for_whom": out, "side": place.hitting, "reason": reason}
    place.put(Event.model_validate({"event": "substitution", **fields}), new=new)


def absent(place: Place) -> None:
    """Say that who is up is not there: his turn is over."""
    place.put(Event(event="absent", who=_up(place), side=place.hitting))


def _up(place: Place) -> str:
    if not place.now.hitter:
        raise IllegalEntry("Nobody is known to be up: # and his number says who is.")
    return place.now.hitter


def there(place: Place, said: Mapping[str, Any]) -> None:
    """Say that a pitch of who pitches is not there today; said again, that it is."""
    pitcher, pitch = place.now.pitcher, said["pitch"]
    if not pitcher:
        raise IllegalEntry("Say first who pitches: pitcher NAME.")
    is_there = said_there(place.session.state, pitcher).get(pitch, True)
    place.put(Event(event="not there" if is_there else "there", reason=pitch))
