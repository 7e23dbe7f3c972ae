"""Who catches, as a plan takes him: by a word, or by what the book has seen get away from him."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sequencer.errors import NotInBook
from sequencer.estimates.blocking import Blocking, expected_lost
from sequencer.live.scouting import Scouting
from sequencer.planning.stakes import ARM, BLOCKING, GETS_AWAY, Catcher
from sequencer.records import tables
from sequencer.records.state import State
from sequencer.records.store import Book

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


@dataclass(frozen=True, slots=True)
class _Seen:
    """What catchers of some games caught or lost with a runner on, and where it was charted.

    `kept` is whether anybody wrote down what got away.
    """

    by_catcher: Mapping[str, Counter[str]]
    kept: bool

    def of(self, person: str) -> Counter[str]:
        """Return what one of them caught."""
        return self.by_catcher.get(person, Counter())


def _seen(states: Iterable[State]) -> _Seen:
    found: defaultdict[str, Counter[str]] = defaultdict(Counter)
    kept = False
    for state in states:
        away = {each.after_n for each in state.happened if each.event.event in _AWAY}
        kept = kept or bool(away)
        for logged in state.log:
            if any(logged.before.bases):
                his = found[state.meant(logged.before.catcher)]
                his[_charted(logged.pitch.cell)] += 1
                his["lost"] += logged.n in away
    return _Seen(found, kept)


def _charted(cell: str) -> str:
    if cell in ("", "unknown"):
        return "unknown"
    return "below" if cell.startswith("below") else "elsewhere"


def _blocking(caught: Counter[str], level: str) -> Blocking:
    below, elsewhere, unknown = (caught[where] for where in ("below", "elsewhere", "unknown"))
    usual = expected_lost(GETS_AWAY[level], below, elsewhere, unknown)
    return Blocking(caught["lost"], usual, below + elsewhere + unknown)


def blocking_of(states: Iterable[State], person: str, level: str) -> Blocking:
    """Return how well a person has blocked over some games.

    Where no ball is ever charted to get away from anybody, nobody wrote them down: he is taken for
    an average one.
    """
    seen = _seen(states)
    return _blocking(seen.of(person), level) if seen.kept else Blocking(0, 0.0, 0)


class Behind:
    """Who catches for us tonight, as the games before have seen him block, and tonight's log.

    Parameters
    ----------
    book : Book
    """

    def __init__(self, book: Book) -> None:
        self._book = book
        self._stamp: object = None
        self._past = _Seen({}, kept=False)

    def catcher(self, state: State, level: str) -> Catcher:
        """Return who catches now; an average one where nobody is known to, or nothing of him."""
        if not state.catcher:
            return Catcher()
        who, tonight = state.meant(state.catcher), _seen([state])
        self._follow(state, who)
        if not (self._past.kept or tonight.kept):
            return Catcher()
        return Catcher(_blocking(self._past.of(who) + tonight.of(who), level).factor)

    def _follow(self, state: State, who: str) -> None:
        """Read the games before that name him, again only where a game has changed."""
        others = {id_: rows for id_, rows in self._book.stamps().items() if id_ != state.game.id}
        stamp = state.game.id, who, others, self._book.merges()
        if stamp != self._stamp:
            named = self._book.mentioned(others)
            his = {who, *(id_ for id_, person in state.people.items() if person.id == who)}
            games = {id_ for id_, words in named.items() if not his.isdisjoint(words)}
            kept = any(not words.isdisjoint(_AWAY) for words in named.values())
            self._past = replace(_seen(tables.states(self._book, games=games)), kept=kept)
            self._stamp = stamp
