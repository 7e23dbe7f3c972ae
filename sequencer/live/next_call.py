"""The next call of a game as it goes on: at once from what is solved, then from what is learnt.

After a pitch the tables that are there answer in under a frame of a screen; they are from before
it, and say so. Meanwhile the hitter, the pitcher and the zone are learnt and the at-bat is solved
anew. Nothing here writes to the book, and logging never waits for it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.estimates.todays_zone import FEWEST
from sequencer.live import times_through
from sequencer.live.advice import NoAdvice, keep, last_call, moment_of
from sequencer.live.draws import redrawn, seed_of
from sequencer.live.guess_rate import GuessRate
from sequencer.live.tonight import Tonight
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.context import NO_RULES, context
from sequencer.planning.stakes import Catcher, Moment
from sequencer.planning.suggest import Ready, Suggestion, ready
from sequencer.planning.trust import Trust
from sequencer.records.state import State
from sequencer.records.store import Book

if TYPE_CHECKING:
    import pandas as pd

#: Said where the rules of a game leave advice to nobody, or to the league.
BARRED: Final = "The rules of this game do not allow electronic advice in the dugout."
ASK: Final = (
    "These rules leave electronic advice to your league: ask it first, then log with "
    "--rule electronic_advice=allowed."
)


@dataclass(frozen=True, slots=True)
class Advice:
    """What there is to say before the next pitch.

    Attributes
    ----------
    suggestion : Suggestion
        The mix with its reasons; `draw` is the call that the seed of this pitch draws from it.
    bats : str
        The side of who is up.
    behind : int
        Entries of the log that its tables do not know yet.
    time_up : int
        Which time the hitter meets this pitcher tonight.
    rate : GuessRate or None
        None in an answer at once.
    zone : str
        Today's zone in one sentence; "" in an answer at once, and from few called pitches.
    notes : tuple of str
        Pitches left out today and on what; what is not known of the hitter.
    """

    suggestion: Suggestion
    bats: str
    behind: int = 0
    time_up: int = 0
    rate: GuessRate | None = None
    zone: str = ""
    notes: tuple[str, ...] = ()

    @property
    def draw(self) -> Call:
        """The call drawn."""
        return self.suggestion.draw

    @property
    def why(self) -> str:
        """Why the call drawn is in the mix."""
        return next(one.why for one in self.suggestion.calls if one.call == self.draw)


@dataclass(frozen=True, eq=False)
class _Solved:
    """An at-bat solved: the tables, what they were made from, pitches logged by then."""

    tables: Ready
    version: int
    hitter: HitterBelief
    pitches: int
    notes: tuple[str, ...]

    def answers(self, state: State, version: int, man: HitterBelief) -> bool:
        """Tell whether nothing was learnt since, and the count is that which it was solved from."""
        as_asked = self.tables.solved.since == tuple(state.count)
        return as_asked and self.version == version and self.hitter is man


_Key = tuple[str, str, str, str, Moment, Trust]


class NextCall:
    """The next call of one game at a time.

    Parameters
    ----------
    book : Book
    pitches : callable, optional
        As for `Tonight`.
    coach, catcher
        As for a plan.
    """

    def __init__(
        self,
        book: Book,
        pitches: "Callable[[], pd.DataFrame] | None" = None,
        *,
        coach: CoachRules = NO_RULES,
        catcher: str | Catcher = "average",
    ) -> None:
        self._tonight = Tonight(book, pitches)
        self._coach, self._catcher = coach, catcher
        self._solved: dict[_Key, _Solved] = {}

    def at_once(self, state: State, trust: Trust = 0.0) -> Advice | None:
        """Return advice from the tables that are there; None when none are of this situation.

        Raises
        ------
        NoAdvice
            If nothing can be advised in this state.
        """
        held = self._solved.get(_key(state, trust))
        if held is None or not held.tables.solved.reaches(*state.count):
            return None
        return _advice(held, state)

    def advise(self, state: State, trust: Trust = 0.0) -> Advice:
        """Return advice with every pitch of the game learnt, solved anew where that moved it.

        Raises
        ------
        NoAdvice
            If nothing can be advised in this state.
        """
        key = _key(state, trust)
        self._tonight.follow(state)
        _, hitter_id, bats, _, moment, _ = key
        man = self._tonight.hitter(hitter_id, bats)
        held = self._solved.pop(key, None)
        if not (held and held.answers(state, self._tonight.version, man)):
            held = self._solve(state, man, moment, trust)
        keep(self._solved, key, held)
        return _advice(held, state, self._tonight)

    def _solve(self, state: State, man: HitterBelief, moment: Moment, trust: Trust) -> _Solved:
        pitcher = self._tonight.pitcher()
        around = context(
            self._tonight.level,
            rules=state.rules,
            coach=self._coach,
            moment=moment,
            catcher=self._catcher,
        )
        tables = ready(man, pitcher, self._tonight.league, around, trust, state.count)
        said = (*shelved(pitcher), *unknown(state, man))
        return _Solved(tables, self._tonight.version, man, len(state.log), said)


def _key(state: State, trust: Trust) -> _Key:
    """Return the situation a state asks about.

    Raises
    ------
    NoAdvice
        If we hit, nobody is known to be up, or the half is over.
    """
    if state.pitching != "us":
        raise NoAdvice("We hit this half.")
    if state.up is None:
        raise NoAdvice("Nobody is up: say who hits.")
    if state.outs > 2:
        raise NoAdvice("The half is over.")
    up = state.up
    return state.game.id, up.person, up.bats, state.pitcher, moment_of(state), trust


def _advice(held: _Solved, state: State, tonight: Tonight | None = None) -> Advice:
    found = held.tables.at(state.count, last_call(state))
    behind = 0 if tonight else abs(len(state.log) - held.pitches)
    return Advice(
        redrawn(found, seed_of(state)),
        state.up.bats if state.up else "R",
        behind,
        times_through.time_up(state),
        tonight.rate() if tonight else None,
        tonight.zone.says() if tonight and tonight.zone.pitches >= FEWEST else "",
        held.notes,
    )


def shelved(pitcher: PitcherBelief) -> tuple[str, ...]:
    """Say which pitches are left out today and on what evidence."""
    return tuple(
        f"No {pitch.pitch}: {pitch.evidence}" for pitch in pitcher.arsenal if pitch.shelved
    )


def unknown(state: State, man: HitterBelief) -> tuple[str, ...]:
    """Say what is not known of who is up: himself, or the side he hits from."""
    said = []
    if not man.pitches and not man.start.any():
        said.append("Nothing known of him: as the usual hitter")
    if state.up is not None and state.up.assumed:
        side = "left" if state.up.bats == "L" else "right"
        said.append(f"His side is not known: taken to hit {side}")
    return tuple(said)


def barred(state: State) -> str:
    """Return why the rules of a game give no advice in the dugout, "" where they allow it."""
    return {"allowed": "", "no": BARRED, "ask": ASK}[state.rules.electronic_advice]
