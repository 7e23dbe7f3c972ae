"""Who catches, as a plan takes him: by a word, or by what the book has seen get away from him."""

from collections.abc import Iterable

from sequencer.errors import NotInBook
from sequencer.estimates.blocking import Blocking, expected_lost
from sequencer.live.scouting import Scouting
from sequencer.planning.stakes import ARM, BLOCKING, GETS_AWAY, Catcher
from sequencer.records import tables
from sequencer.records.state import State

_AWAY = ("wild pitch", "passed ball")


def catcher(known: Scouting, said: str, level: str, arm: str = "average") -> Catcher:
    """Return the catcher of a word (good, average, poor) or of a name in the book.

    Parameters
    ----------
    known : Scouting
    said : str
        A word, or the name or number of one of ours.
    level : str
    arm : str
        good, average or poor against the steal.

    Raises
    ------
    NotInBook
        If it is no word, and nobody of the book is called so.
    """
    if said in BLOCKING:
        return Catcher(BLOCKING[said], ARM[arm])
    person = known.find_pitcher(said)
    if person is None or known.book is None:
        raise NotInBook(
            f"{said} is not in the book: name a catcher of ours, or say good, average or poor."
        )
    seen = blocking_of(tables.states(known.book), person.id, level)
    return Catcher(seen.factor, ARM[arm], seen.says(person.label))


def blocking_of(states: Iterable[State], person: str, level: str) -> Blocking:
    """Return how well a person has blocked over some games.

    Where no ball is ever charted to get away from anybody, nobody wrote them down: he is taken for
    an average one.
    """
    lost = pitches = 0
    below = elsewhere = unknown = 0
    kept = False
    for state in states:
        away = {each.after_n for each in state.happened if each.event.event in _AWAY}
        kept = kept or bool(away)
        for logged in state.log:
            before = logged.before
            if not any(before.bases) or state.meant(before.catcher) != person:
                continue
            pitches += 1
            lost += logged.n in away
            cell = logged.pitch.cell
            below += cell.startswith("below")
            unknown += cell in ("", "unknown")
            elsewhere += not cell.startswith("below") and cell not in ("", "unknown")
    if not kept:
        return Blocking(0, 0.0, 0)
    return Blocking(lost, expected_lost(GETS_AWAY[level], below, elsewhere, unknown), pitches)
