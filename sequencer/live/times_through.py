"""Times through the order: how often a hitter has met this pitcher tonight, and what that gives."""

from types import MappingProxyType
from typing import Final

from sequencer.records.state import State

#: Runs per 100 plate appearances that hitters gain over their first of the night against a
#: starter: fitted on 259,169 plate appearances of starters among 433,908 (Retrosheet 2016, 2019,
#: 2020), every pitcher's and hitter's season levelled out, standard errors .20 and .23
#: (`python -m tests.live.times_through_open`). Tiring is in it as well as having seen him. The
#: information used here was obtained free of charge from and is copyrighted by Retrosheet.
#: Interested parties may contact Retrosheet at www.retrosheet.org.
GAINS: Final = MappingProxyType({1: 0.0, 2: 1.1, 3: 1.6})
_ORDINALS: Final = ("1st", "2nd", "3rd")


def time_up(state: State) -> int:
    """Return which time who is up meets this pitcher tonight, from 1; 0 when nobody is."""
    if state.up is None:
        return 0
    met = {
        each.before.at_bat
        for each in state.log
        if (each.before.hitter, each.before.pitcher) == (state.up.person, state.pitcher)
    }
    return len(met - {state.at_bat}) + 1


def says(time: int) -> str:
    """Say the time through the order and what hitters gain by it; it moves no share of the mix."""
    if time < 1:
        return ""
    word = _ORDINALS[time - 1] if time <= len(_ORDINALS) else f"{time}th"
    gain = GAINS[min(time, max(GAINS))]
    return f"{word} time up: +{gain:.1f} per 100" if gain else f"{word} time up"
