"""The next call of the game being logged, as the dugout shows it."""

from sequencer.baseball.zone import to_catcher
from sequencer.live import times_through
from sequencer.live.guess_rate import FEWEST, GuessRate
from sequencer.live.next_call import Advice, NextCall
from sequencer.planning.trust import from_tenths
from sequencer.records.state import State
from sequencer.records.store import Book
from tui.reading import Pitches
from tui.views import AdviceView

#: Calls listed; the rest of a mix is rarer than these.
_LISTED = 4


class Advising:
    """Advice for one game at a time."""

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._next_call = NextCall(book, pitches.all)

    def at_once(self, state: State, stamp: int, trust: int) -> AdviceView | None:
        """Return the next call by the tables that are there, None when there are none.

        Parameters
        ----------
        state : State
            The game as it stands.
        stamp : int
            Its last row, given back so that a stale answer can be told.
        trust : int
            Tenths, or `BY_BOOK`.

        Raises
        ------
        CoachError
            If nothing can be advised in this state, and why.
        """
        advice = self._next_call.at_once(state, from_tenths(trust))
        return None if advice is None else advice_view(advice, stamp)

    def advise(self, state: State, stamp: int, trust: int) -> AdviceView:
        """Return the same with every pitch learnt, and the guess rate and the zone tonight."""
        return advice_view(self._next_call.advise(state, from_tenths(trust)), stamp)


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
