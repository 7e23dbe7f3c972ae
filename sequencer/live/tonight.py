"""What is believed of everyone in one game, moved by every pitch as it is logged.

Hitters, the umpire and the readers are learnt pitch by pitch, each from what was believed before;
the pitcher by all of today's pitches. A game that grows is learnt on; where an entry changed the
past (undo, a correction, a pitch put in between) whoever it touches is learnt anew from the book.
Either way what is believed hangs on the log alone, not on how it came about.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from sequencer.estimates import hitter, league, todays_zone
from sequencer.estimates.arsenal import as_said
from sequencer.estimates.command import Before, PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.estimates.next_pitch import watched_in
from sequencer.estimates.todays_zone import TodaysZone
from sequencer.estimates.umpires import Edges
from sequencer.live import guess_rate
from sequencer.live.guess_rate import GuessRate
from sequencer.live.scouting import Met, Scouting
from sequencer.records import frames
from sequencer.records.people import Mark, Person
from sequencer.records.said_tonight import said_there
from sequencer.records.state import Logged, State
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd

#: What is learnt from: columns of the pitch log.
LEARNT: Final = frozenset(
    {
        *("game_id", "pitcher_id", "hitter_id", "bats", "throws", "balls", "strikes", "intent"),
        *("pitch", "called", "target", "target_when", "cell", "side_in", "height_in", "top_in"),
        *("bottom_in", "seen_from", "speed_mph", "break_side_in", "break_up_in", "result", "bunt"),
        *("timing", "contact", "flight", "spray", "play", "exit_mph", "launch_deg"),
        "contact_value",
    }
)
#: What a hitter is known by before tonight: himself, his marks, his side, the pitcher's hand.
_Known = tuple[Person, tuple[Mark, ...], str, str]


@dataclass(slots=True)
class _Learnt:
    """A belief and the pitches of tonight behind it."""

    known: _Known
    belief: HitterBelief
    pitches: tuple[Logged, ...] = ()


@dataclass(frozen=True, slots=True)
class _Thrower:
    """A pitcher, what was known of him before today, and his throws of today's warm-up."""

    person: Person
    before: Before
    warm_up: "pd.DataFrame"


class Tonight:
    """Beliefs of a game; `follow` it, then ask.

    Parameters
    ----------
    book : Book
    pitches : callable, optional
        Gives every pitch of the book, where they are held already; asked again only when another
        game or who is one person has changed.
    """

    def __init__(self, book: Book, pitches: "Callable[[], pd.DataFrame] | None" = None) -> None:
        self._book = book
        self._pitches = pitches or (lambda: frames.pitch_frame(book))
        self._stamp: object = None
        self._state: State | None = None
        self._called: tuple[Logged, ...] = ()
        self.version = 0

    def follow(self, state: State) -> None:
        """Take the game as it stands; `version` is another when anything may be believed anew."""
        stamp = self._stamp_of(state)
        if stamp != self._stamp:
            self._begin(state)
            self._stamp = stamp
        elif _same(state, self._state):
            self._state = state
            return
        self.version += 1
        self._state, self._frame = state, frames.game_frame(state, LEARNT)
        if state.log[: len(self._called)] != self._called:
            self._zone, self._called = todays_zone.usual(self.level), ()
        more = self._frame.iloc[len(self._called) :]
        self._zone = todays_zone.learn(self._zone, more, self._usual)
        self._called = state.log

    def _stamp_of(self, state: State) -> object:
        """Return what the book of before tonight is known by."""
        others = {id_: rows for id_, rows in self._book.stamps().items() if id_ != state.game.id}
        return state.game, others, self._book.merges(), self._book.throws_kept()

    def _begin(self, state: State) -> None:
        """Read the book of before tonight, and forget what was learnt."""
        every = self._pitches()
        self._before = every[every["game_id"] != state.game.id]
        self._scouting = Scouting(self._book, self._before)
        self.level = self._scouting.level_of(None, state.game.level or self._ours(state))
        self._usual = league.load(self.level)
        self._zone, self._called = todays_zone.usual(self.level), ()
        self._hitters: dict[tuple[str, str], _Learnt] = {}
        self._pitchers: dict[str, _Thrower] = {}
        self._readers: dict[str, guess_rate.Tonight] = {}
        self._leagues: dict[Edges, League] = {}

    def _ours(self, state: State) -> str:
        levels = (team.level for team in self._book.teams() if team.name == state.game.us)
        return next(levels, "")

    # whom and what one may ask about

    @property
    def zone(self) -> TodaysZone:
        """Today's called zone, from the calls of both halves."""
        return self._zone

    @property
    def league(self) -> League:
        """The league as today's umpire calls it."""
        edges = self._zone.edges
        if edges not in self._leagues:
            self._leagues[edges] = replace(self._usual, edges=edges)
        return self._leagues[edges]

    def pitcher(self) -> PitcherBelief:
        """Return what is believed of who pitches now, with what he threw today."""
        person = self._thrower()
        held = self._pitchers.get(person.id)
        if held is None or held.person != person:
            his = self._before[self._before["pitcher_id"] == person.id]
            pens = frames.bullpen_frame(self._book, pitcher=person.id)
            of_today = (pens["date"] == self._at.game.date.isoformat()).to_numpy(dtype=bool)
            before = Before(person, pens[~of_today], his, self.level)
            held = _Thrower(person, before, pens[of_today])
            self._pitchers[person.id] = held
        today = self._frame[self._frame["pitcher_id"] == person.id]
        found = held.before.with_today(today, held.warm_up)
        found = replace(found, throws=self._at.throws or found.throws)
        return as_said(found, said_there(self._at, self._at.pitcher))

    def hitter(self, person: str, bats: str) -> HitterBelief:
        """Return what is believed of a hitter from one side, with what he did tonight."""
        known = self._person(person, self._at.game.them)
        hand = self._at.throws or "R"
        before: _Known = (known, tuple(self._book.marks(known.id)), bats, hand)
        seen = [i for i, each in enumerate(self._at.log) if each.before.hitter == person]
        his = tuple(self._at.log[i] for i in seen)
        held = self._hitters.get((person, bats))
        if held is None or held.known != before or his[: len(held.pitches)] != held.pitches:
            held = _Learnt(before, self._before_tonight(before))
        held.belief = self._learn(held.belief, seen[len(held.pitches) :])
        held.pitches = his
        self._hitters[person, bats] = held
        return held.belief

    def _before_tonight(self, known: _Known) -> HitterBelief:
        person, marks, bats, hand = known
        return self._scouting.hitter(Met(person, marks), self._usual, throws=hand, bats=bats)

    def _learn(self, belief: HitterBelief, rows: Iterable[int]) -> HitterBelief:
        for i in rows:
            belief = hitter.learn(belief, self._frame.iloc[i : i + 1], self._usual)
        return belief

    @property
    def _at(self) -> State:
        if self._state is None:
            raise ValueError("follow a game before asking about it")
        return self._state

    def _thrower(self) -> Person:
        return self._person(self._at.pitcher, self._at.game.us)

    def _person(self, id_: str, team: str) -> Person:
        return self._at.people.get(id_) or Person(id=id_, team=team)

    def rate(self) -> GuessRate:
        """Return how well who pitches now is read tonight."""
        pitcher, seen = self._at.pitcher, self._before
        if pitcher not in self._readers:
            past = watched_in(seen[seen["pitcher_id"] == pitcher])
            self._readers[pitcher] = guess_rate.Tonight(past)
        today = guess_rate.watched(self._at.log, self._at.game.id, pitcher)
        return self._readers[pitcher].rate(today)


def _same(state: State, known: State | None) -> bool:
    """Return whether nothing has come that anyone could be learnt from."""
    if known is None or state.pitcher != known.pitcher:
        return False
    said = said_there(state, state.pitcher) == said_there(known, known.pitcher)
    said = said and state.throws == known.throws
    return said and state.log == known.log and state.people == known.people
