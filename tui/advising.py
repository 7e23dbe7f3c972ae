"""The next call of the game being logged, as the dugout shows it."""

from sequencer.baseball.zone import to_catcher
from sequencer.errors import CoachError
from sequencer.live import coaching, times_through
from sequencer.live.guess_rate import FEWEST, GuessRate
from sequencer.live.next_call import Advice, NextCall
from sequencer.planning.beside import COIN_FLIP, Beside
from sequencer.planning.trust import from_tenths
from sequencer.records.held_pitches import Pitches, Told, quiet
from sequencer.records.state import State
from sequencer.records.store import Book
from tui.views import AdviceAsked, AdviceView, WaysView

#: Calls listed; the rest of a mix is rarer than these.
_LISTED = 4


class Advising:
    """Advice for one game at a time."""

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._book, self._pitches = book, pitches
        self._of: frozenset[str] = frozenset()
        self._past: frozenset[str] = frozenset()
        self._told: Told = quiet
        self._next_call = self._begun()

    def _begun(self) -> NextCall:
        return NextCall(self._book, lambda: self._pitches.of(self._of, self._told))

    def _meeting(self, state: State) -> NextCall:
        """Return the next call of whoever meets in a game: only their games are read.

        Someone new among them with a past begins it anew: what is believed hangs on the log alone.
        """
        hitters = {person.id for person in state.people.values() if person.team == state.game.them}
        order = state.orders.get("them")
        met = hitters.union(order.slots if order else (), [state.pitcher], state.pitchers.values())
        if not met <= self._of:
            past = self._pitches.games_of(met) - {state.game.id}
            if not past <= self._past:
                self._next_call = self._begun()
            self._of, self._past = frozenset(met), past
        return self._next_call

    def at_once(self, state: State, asked: AdviceAsked) -> AdviceView | None:
        """Return the next call by the tables that are there, None when there are none.

        Raises
        ------
        CoachError
            If nothing can be advised in this state, and why.
        """
        trust, rules = from_tenths(asked.trust), coaching.read(asked.rules)
        advice = self._meeting(state).at_once(state, trust, rules)
        return None if advice is None else advice_view(advice, asked.stamp)

    def advise(self, state: State, asked: AdviceAsked, told: Told = quiet) -> AdviceView:
        """Return the same with every pitch learnt, and the guess rate and the zone tonight.

        Stopped midway nothing half learnt is kept; what was read of the book is.
        """
        trust, rules = from_tenths(asked.trust), coaching.read(asked.rules)
        self._told = told
        try:
            return advice_view(self._meeting(state).advise(state, trust, rules), asked.stamp)
        except CoachError:
            raise
        except BaseException:
            self._next_call = self._begun()
            raise
        finally:
            self._told = quiet

    def beside(self, state: State, asked: AdviceAsked) -> WaysView:
        """Return what walking him and pitching around him are worth, once the call is shown."""
        trust, rules = from_tenths(asked.trust), coaching.read(asked.rules)
        ways = self._meeting(state).beside(state, trust, rules)
        return WaysView(asked.stamp) if ways is None else ways_view(ways, asked.stamp)


def advice_view(advice: Advice, stamp: int) -> AdviceView:
    """Return what the dugout shows: the mix, the call drawn and why, what is said tonight."""
    calls = advice.suggestion.calls
    return AdviceView(
        stamp,
        tuple((f"{100 * one.share:.0f}", str(one.call)) for one in calls[:_LISTED]),
        advice.why,
        rate_words(advice.rate) if advice.rate else "",
        "\n".join(advice.notes),
        pitch=advice.draw.pitch,
        target=to_catcher(advice.draw.target, advice.bats),
        words=str(advice.draw),
        leading=calls[0].why,
        time_up=times_through.says(advice.time_up),
        zone=advice.zone,
        behind=advice.behind,
        rules="\n".join(advice.rules),
    )


def ways_view(ways: Beside, stamp: int) -> WaysView:
    """Return the ways beside the call, in a line of 26 columns and in sentences."""
    walk, around = (_more(way - ways.plan) for way in (ways.walk, ways.pitch_around))
    short = f"Walk {walk}, around {around}"
    if ways.developing and ways.worth_a_look:
        short = "Development: pitch to him"
    return WaysView(stamp, short, ways.says())


def _more(costs: float) -> str:
    """Say what a way costs over pitching to him, in runs."""
    return "even" if abs(costs) < COIN_FLIP else f"{costs:+.2f}".replace("0.", ".", 1)


def rate_words(rate: GuessRate) -> str:
    """Say the guess rate tonight in one line."""
    if rate.named is None or rate.constant is None:
        return f"Guess rate tonight: from {FEWEST} pitches on, {rate.pitches} so far."
    verdict = "He is being read: change something." if rate.being_read else "No sign he is read."
    return (
        f"Guess rate tonight: {100 * rate.named:.0f} of 100, "
        f"his usual pitch {100 * rate.constant:.0f}. {verdict}"
    )
