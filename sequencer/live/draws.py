"""One call drawn from a mix, so that nobody can know it beforehand and a review can find it again.

The seed is the game's id, which chance gave it and only the book holds, the pitches logged so far
and the pitcher. Each call runs against a clock of its own (the exponential race: the first of
independent exponential clocks of rates p is call i with chance p[i]), so that a mix that moves a
little seldom draws another call.
"""

import hashlib
import math
from collections.abc import Iterable
from dataclasses import replace

from sequencer.planning.calls import Call
from sequencer.planning.suggest import Suggestion
from sequencer.records.state import State


def seed_of(state: State) -> str:
    """Return the seed of the next pitch's draw."""
    return f"{state.game.id} {len(state.log)} {state.pitcher}"


def drawn(mix: Iterable[tuple[Call, float]], seed: str) -> Call:
    """Return one call of a mix; the same seed and mix always draw the same.

    Parameters
    ----------
    mix : calls with their shares, which sum to one
    seed : str

    Raises
    ------
    ValueError
        If no call has a share.
    """
    return min((_clock(seed, call) / share, call) for call, share in mix if share > 0.0)[1]


def redrawn(suggestion: Suggestion, seed: str) -> Suggestion:
    """Return a suggestion with the call that a seed draws from its mix."""
    return replace(suggestion, draw=drawn([(c.call, c.share) for c in suggestion.calls], seed))


def _clock(seed: str, call: Call) -> float:
    """Return when the clock of a call strikes, exponential of rate one."""
    digest = hashlib.sha256(f"{seed} {call}".encode()).digest()
    uniform = (int.from_bytes(digest[:7], "big") + 0.5) / 2.0**56
    return -math.log(uniform)
