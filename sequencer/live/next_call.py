"""The next call of a game as it goes on: at once from what is solved, then from what is learnt.

After a pitch the tables that are there answer in under a frame of a screen; they are from before
it, and say so. Meanwhile the hitter, the pitcher and the zone are learnt and the at-bat is solved
anew. Nothing here writes to the book, and logging never waits for it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple

from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.estimates.todays_zone import FEWEST
from sequencer.live import times_through
from sequencer.live.advice import NoAdvice, keep, last_call, moment_of
from sequencer.live.catching import Behind
from sequencer.live.coaching import NO_COACHING, Coaching
from sequencer.live.draws import redrawn, seed_of
from sequencer.live.guess_rate import GuessRate
from sequencer.live.tonight import Tonight
from sequencer.planning.beside import Beside, beside
from sequencer.planning.calls import Call, CoachRules
from sequencer.planning.context import Context, context
from sequencer.planning.stakes import Moment
from sequencer.planning.suggest import Ready, Suggestion, ready
from sequencer.planning.trust import Trust
from sequencer.records.halves import side_of
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
    rules : tuple of str
        The coach's rules in force against him, and that he has proved one.
    """

    suggestion: Suggestion
    bats: str
    behind: int = 0
    time_up: int = 0
    rate: GuessRate | None = None
    zone: str = ""
    notes: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()

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
    around: Context
    pitches: int
    notes: tuple[str, ...]

    def answers(self, state: State, version: int, man: HitterBelief) -> bool:
        """Tell whether nothing was learnt since, and the count is that which it was solved from."""
        as_asked = self.tables.solved.since == tuple(state.count)
        return as_asked and self.version == version and self.hitter is man


class _Key(NamedTuple):
    """What a solved at-bat is for."""

    game: str
    hitter: str
    bats: str
    pitcher: str
    catcher: str
    moment: Moment
    trust: Trust
    coach: CoachRules


class NextCall:
    """The next call of one game at a time.

    Parameters
    ----------
    book : Book
    pitches : callable, optional
        As for `Tonight`.
    """

    def __init__(self, book: Book, pitches: "Callable[[], pd.DataFrame] | None" = None) -> None:
        self._tonight = Tonight(book, pitches)
        self._behind = Behind(book)
        self._solved: dict[_Key, _Solved] = {}

    def at_once(
        self, state: State, trust: Trust = 0.0, coaching: Coaching = NO_COACHING
    ) -> Advice | None:
        """Return advice from the tables that are there; None when none are of this situation.

        Raises
        ------
        NoAdvice
            If nothing can be advised in this state.
        """
        held = self._solved.get(_key(state, trust, coaching))
        if held is None or not held.tables.solved.reaches(*state.count):
            return None
        return _advice(held, state, coaching)

    def advise(self, state: State, trust: Trust = 0.0, coaching: Coaching = NO_COACHING) -> Advice:
        """Return advice with every pitch of the game learnt, solved anew where that moved it.

        Raises
        ------
        NoAdvice
            If nothing can be advised in this state.
        BadInput
            If the coach's rules leave no call.
        """
        return _advice(self._learnt(state, trust, coaching), state, coaching, self._tonight)

    def beside(
        self, state: State, trust: Trust = 0.0, coaching: Coaching = NO_COACHING
    ) -> Beside | None:
        """Return what walking him and pitching around him are worth, None where neither matters.

        Either does with first base open, or where it is not dearer by more than a coin flip. It
        takes longer than a call: ask once that is shown.

        Raises
        ------
        NoAdvice, BadInput
            As for `advise`.
        """
        held = self._learnt(state, trust, coaching)

        def ways(on_deck: HitterBelief | None = None) -> Beside:
            return beside(
                held.tables.solved,
                held.hitter,
                self._tonight.pitcher(),
                self._tonight.league,
                held.around,
                state.count,
                last=last_call(state),
                on_deck=on_deck,
            )

        if state.bases[0] and not ways().worth_a_look:
            return None
        return ways(self._on_deck(state))

    def _on_deck(self, state: State) -> HitterBelief | None:
        """Return who hits next as he is known by now; None for one of whom nothing is."""
        following = state.due[1:2]
        if not following or not following[0]:
            return None
        man = self._tonight.hitter(following[0], side_of(state, following[0])[0])
        return None if _stranger(man) else man

    def _learnt(self, state: State, trust: Trust, coaching: Coaching) -> _Solved:
        """Return the at-bat solved with every pitch of the game learnt."""
        key = _key(state, trust, coaching)
        self._tonight.follow(state)
        man = self._tonight.hitter(key.hitter, key.bats)
        held = self._solved.pop(key, None)
        if not (held and held.answers(state, self._tonight.version, man)):
            held = self._solve(state, man, key)
        keep(self._solved, key, held)
        return held

    def _solve(self, state: State, man: HitterBelief, key: _Key) -> _Solved:
        pitcher = self._tonight.pitcher()
        around = context(
            self._tonight.level,
            rules=state.rules,
            coach=key.coach,
            moment=key.moment,
            catcher=self._behind.catcher(state, self._tonight.level),
        )
        tables = ready(man, pitcher, self._tonight.league, around, key.trust, state.count)
        said = (*shelved(pitcher), *unknown(state, man))
        return _Solved(tables, self._tonight.version, man, around, len(state.log), said)


def _key(state: State, trust: Trust, coaching: Coaching) -> _Key:
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
    up, coach, moment = state.up, coaching.against(state), moment_of(state)
    game, battery = state.game.id, (state.pitcher, state.catcher)
    return _Key(game, up.person, up.bats, *battery, moment, trust, coach)


def _advice(
    held: _Solved, state: State, coaching: Coaching, tonight: Tonight | None = None
) -> Advice:
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
        coaching.says(state),
    )


def shelved(pitcher: PitcherBelief) -> tuple[str, ...]:
    """Say which pitches are left out today and on what evidence."""
    return tuple(
        f"No {pitch.pitch}: {pitch.evidence}" for pitch in pitcher.arsenal if pitch.shelved
    )


def unknown(state: State, man: HitterBelief) -> tuple[str, ...]:
    """Say what is not known of who is up: himself, or the side he hits from."""
    said = []
    if _stranger(man):
        said.append("Nothing known of him: as the usual hitter")
    if state.up is not None and state.up.assumed:
        side = "left" if state.up.bats == "L" else "right"
        said.append(f"His side is not known: taken to hit {side}")
    return tuple(said)


def _stranger(man: HitterBelief) -> bool:
    return not man.pitches and not man.start.any()


def barred(state: State) -> str:
    """Return why the rules of a game give no advice in the dugout, "" where they allow it."""
    return {"allowed": "", "no": BARRED, "ask": ASK}[state.rules.electronic_advice]
