"""The next call of the game being logged, kept ready between pitches of one at-bat."""

import zlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sequencer.baseball.zone import to_catcher
from sequencer.estimates import league
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.next_pitch import watched_in
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.live.advice import Adviser, asked_of
from sequencer.live.guess_rate import FEWEST, GuessRate, Tonight, watched
from sequencer.live.scouting import Met, Scouting
from sequencer.planning.suggest import Suggestion
from sequencer.planning.trust import from_tenths
from sequencer.records.people import Person
from sequencer.records.state import State
from sequencer.records.store import Book
from tui.reading import Pitches
from tui.views import AdviceView

if TYPE_CHECKING:
    import pandas as pd

#: Calls listed; the rest of a mix is rarer than these.
_LISTED = 4
At = tuple[str, str, int, int]


@dataclass(frozen=True, eq=False)
class _Ready:
    """What holds for one at-bat: the adviser, who reads his pitcher tonight, the book."""

    at: At
    adviser: Adviser
    tonight: Tonight
    scouting: Scouting
    hitters: dict[tuple[str, str], HitterBelief]


class Advising:
    """Advice for one game at a time; beliefs are made anew for every at-bat."""

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._book = book
        self._pitches = pitches
        self._ready: _Ready | None = None

    def advise(self, state: State, stamp: int, trust: int) -> AdviceView:
        """Return the next call, why, and the guess rate tonight.

        Parameters
        ----------
        state : State
            The game as it stands.
        stamp : int
            Its last row, given back so that a stale answer can be told.
        trust : int
            Tenths.

        Raises
        ------
        CoachError
            If nothing can be advised in this state, and why.
        """
        ready = self._at_bat(state, trust)
        today = watched(state.log, state.game.id, state.pitcher)
        rate = rate_words(ready.tonight.rate(today))
        asked = asked_of(state, lambda person, bats: self._hitter(ready, state, person, bats))
        seed = (zlib.crc32(state.game.id.encode()), len(state.log))
        suggestion = ready.adviser.advise(asked, seed)
        bats = state.up.bats if state.up else "R"
        return advice_view(suggestion, bats, stamp, rate, shelved_words(ready.adviser.pitcher))

    def _at_bat(self, state: State, trust: int) -> _Ready:
        at = (state.game.id, state.pitcher, state.at_bat, trust)
        if self._ready is None or self._ready.at != at:
            self._ready = self._make(state, at)
        return self._ready

    def _make(self, state: State, at: At) -> _Ready:
        scouting = Scouting(self._book)
        pitches = scouting.pitches = self._pitches.all()
        pitcher = state.people.get(state.pitcher) or Person(id=state.pitcher, team=state.game.us)
        level = scouting.level_of(pitcher, state.game.level)
        his = pitches[pitches["pitcher_id"] == pitcher.id]
        tonight = his["game_id"] == state.game.id
        adviser = Adviser(
            scouting.pitcher(pitcher.id, level, today=_or_none(his[tonight])),
            league.load(level),
            state.rules,
            trust=from_tenths(at[3]),
        )
        return _Ready(at, adviser, Tonight(watched_in(his[~tonight])), scouting, {})

    def _hitter(self, ready: _Ready, state: State, person: str, bats: str) -> HitterBelief:
        if (person, bats) not in ready.hitters:
            known = state.people.get(person) or Person(id=person, team=state.game.them)
            met = Met(known, tuple(self._book.marks(person)))
            belief = ready.scouting.hitter(met, ready.adviser.league, bats=bats)
            ready.hitters[(person, bats)] = belief
        return ready.hitters[(person, bats)]


def _or_none(frame: "pd.DataFrame") -> "pd.DataFrame | None":
    return None if frame.empty else frame


def advice_view(
    suggestion: Suggestion, bats: str, stamp: int, rate: str, note: str = ""
) -> AdviceView:
    """Return what the dugout shows: the call drawn, why, and the mix it was drawn from."""
    drawn = suggestion.draw
    why = next(one.why for one in suggestion.calls if one.call == drawn)
    mix = tuple((f"{100 * one.share:.0f}", str(one.call)) for one in suggestion.calls[:_LISTED])
    return AdviceView(
        stamp,
        mix,
        why,
        rate,
        note,
        pitch=drawn.pitch,
        target=to_catcher(drawn.target, bats),
        words=str(drawn),
    )


def shelved_words(pitcher: PitcherBelief) -> str:
    """Say which pitches are left out today and on what evidence, a line each."""
    return "\n".join(
        f"No {pitch.pitch}: {pitch.evidence}" for pitch in pitcher.arsenal if pitch.shelved
    )


def rate_words(rate: GuessRate) -> str:
    """Say the guess rate tonight in one line."""
    if rate.named is None or rate.constant is None:
        return f"Guess rate tonight: from {FEWEST} pitches on, {rate.pitches} so far."
    verdict = "He is being read: change something." if rate.being_read else "No sign he is read."
    return (
        f"Guess rate tonight: {100 * rate.named:.0f} of 100, "
        f"his usual pitch {100 * rate.constant:.0f}. {verdict}"
    )
